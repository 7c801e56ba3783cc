"""Types of the number arrays that geometry and folding hand about; shapes stand in the docstrings."""
from __future__ import annotations

from dataclasses import Field
from typing import Any, ClassVar, TypeAlias

import numpy as np
import numpy.typing as npt

FloatArray: TypeAlias = npt.NDArray[np.float64]
IntArray: TypeAlias = npt.NDArray[np.intp]
BoolArray: TypeAlias = npt.NDArray[np.bool_]


class ReadOnlyArrays:
    """Base of frozen records with arrays: after construction nobody can write into the arrays either."""

    __slots__ = ()
    __dataclass_fields__: ClassVar[dict[str, Field[Any]]]       # every subclass is a dataclass

    def __post_init__(self) -> None:
        for name in self.__dataclass_fields__:
            value = getattr(self, name)
            if isinstance(value, np.ndarray):
                value.flags.writeable = False

"""Records whose mappings are as frozen as the records themselves."""
from __future__ import annotations

from dataclasses import fields
from types import MappingProxyType
from typing import Any


class FrozenRecord:
    """The base of frozen dataclasses with mappings: dicts become read-only copies, also within each other."""

    __slots__ = ()

    def __post_init__(self) -> None:
        for each in fields(self):   # type: ignore[arg-type]    # every subclass is a dataclass
            value = getattr(self, each.name)
            if isinstance(value, dict):
                object.__setattr__(self, each.name, _read_only(value))


def _read_only(value: Any) -> Any:      # whatever the dicts hold
    if not isinstance(value, dict):
        return value
    return MappingProxyType({key: _read_only(inner) for key, inner in value.items()})

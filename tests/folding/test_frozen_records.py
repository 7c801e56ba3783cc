"""What folding answers is frozen through and through."""
from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import FrozenInstanceError, fields, is_dataclass

import numpy as np
import pytest

from tests.tutorial.small_source import tutorial_of


def parts_of(value: object) -> Iterator[object]:
    """A record and everything in it, but for the plan's own records."""
    yield value
    if is_dataclass(value) and type(value).__module__.startswith("generator.folding"):
        for field in fields(value):
            yield from parts_of(getattr(value, field.name))
    elif isinstance(value, tuple):
        for each in value:
            yield from parts_of(each)


@pytest.mark.parametrize("name", ["caddy", "lidded-box"])
def test_nothing_in_a_folded_plan_can_be_changed(name):
    """Arrays are read-only, mappings and lists have no place in it, and no field can be set."""
    tutorial = tutorial_of(name)
    found = list(parts_of(tutorial.folds[tutorial.drawn_in]))
    assert sum(isinstance(each, np.ndarray) for each in found) > 20
    for each in found:
        assert not isinstance(each, list | set | dict | Mapping)
        if isinstance(each, np.ndarray):
            assert not each.flags.writeable
        elif is_dataclass(each):
            with pytest.raises(FrozenInstanceError):
                setattr(each, fields(each)[0].name, None)

"""What is called frozen is: nothing that a loaded tutorial holds can be changed from outside."""
from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass

import numpy as np
import pytest

from generator.tutorial import load
from tests.language.small_tutorials import BENCHES
from tests.tutorial.site_tutorials import SHELF

MUTABLE = (list, set, dict, bytearray)


def held(value: object, where: str, seen: dict[int, object]) -> Iterator[tuple[str, object]]:
    """Everything that a record holds, records within records, each with the field that holds it."""
    if id(value) in seen or isinstance(value, type):
        return
    seen[id(value)] = value     # kept, so that no other object takes its place
    yield where, value
    if is_dataclass(value):
        for field in fields(value):
            yield from held(getattr(value, field.name), f"{type(value).__name__}.{field.name}", seen)
    elif isinstance(value, Mapping):
        for inner in value.values():
            yield from held(inner, where, seen)
    elif isinstance(value, tuple | frozenset | list | set):
        for inner in value:
            yield from held(inner, where, seen)


# a dome, parts of the language and layouts, a translation
@pytest.mark.parametrize("slug", ["tea-caddy", "biscuit-bag", "seed-envelope"])
def test_no_record_of_a_tutorial_holds_what_can_be_changed(slug):
    """No dict, list or set, no array that can be written to, no record whose fields can be set."""
    loaded = load(SHELF[slug], f"{slug}/index.md", BENCHES)
    found = list(held(loaded, "LoadedSource", {}))
    kinds = {type(value).__name__ for _, value in found}
    assert {"Tutorial", "Plan", "FoldedPlan", "PieceState", "Mark", "Quantity", "Step", "Locale"} <= kinds
    wrong = Counter()
    for where, value in found:
        if isinstance(value, MUTABLE) or (isinstance(value, np.ndarray) and value.flags.writeable) or (
                is_dataclass(value) and type(value).__setattr__ is object.__setattr__):
            wrong[where, type(value).__name__] += 1
    assert not wrong

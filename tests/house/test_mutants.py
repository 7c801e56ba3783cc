"""`make mutants` changes what it says it changes, one thing at a time."""
from __future__ import annotations

import pytest

pytest.importorskip("resource", reason="mutants are tried in processes that are forked")

from tests.bench.mutants import Mutant, mutants_of, mutated_code, unit_of  # noqa: E402

SOURCE = '''
LIMIT = 3


class Box:
    @property
    def room(self) -> int:
        """Not a word of this is changed."""
        return 7


def fits(high: int, limit: int = 4) -> bool:
    inner: int = high - 1
    if not inner:
        return None
    return 0 < inner <= limit and min(inner, high) == inner
'''


@pytest.fixture
def mutants(tmp_path) -> list[Mutant]:
    """Those of the small source."""
    path = tmp_path / "box.py"
    path.write_text(SOURCE, encoding="utf-8")
    return list(mutants_of(path))


def test_each_place_in_a_function_is_changed_and_nothing_else(mutants):
    """No constants of the module, no defaults, no annotations, no docstrings; nothing is returned twice."""
    assert sorted((each.unit[1], each.line, each.told) for each in mutants) == sorted([
        ("Box.room", 9, "returns None"), ("Box.room", 9, "7 → 8"),
        ("fits", 13, "Sub → Add"), ("fits", 13, "1 → 2"), ("fits", 14, "not taken away"),
        ("fits", 16, "returns None"), ("fits", 16, "And → Or"), ("fits", 16, "Lt → GtE"),
        ("fits", 16, "LtE → Gt"), ("fits", 16, "Eq → NotEq"), ("fits", 16, "0 → 1"),
        ("fits", 16, "min → max")])


@pytest.mark.parametrize(("told", "high", "answer"), [
    ("Sub → Add", 4, False), ("1 → 2", 2, None), ("not taken away", 3, None), ("And → Or", 9, True),
    ("Lt → GtE", 3, False), ("LtE → Gt", 3, False), ("0 → 1", 2, False), ("min → max", 3, False),
    ("returns None", 3, None)])
def test_the_code_of_a_function_is_that_of_its_mutant(mutants, told, high, answer):
    """What it answers then was worked out by hand."""
    given: dict[str, object] = {}
    path = mutants[0].unit[0]
    exec(compile(SOURCE, path, "exec"), given)
    fits = given["fits"]
    assert fits(3) is True
    mutant = next(each for each in mutants if each.told == told and each.unit == unit_of(fits.__code__))
    fits.__code__ = mutated_code(mutant)
    assert fits(high) is answer

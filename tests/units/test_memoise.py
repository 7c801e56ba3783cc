"""Answers that are worked out once for several who ask."""
from __future__ import annotations

from dataclasses import dataclass

import pytest

from generator.units import memoised


@dataclass(frozen=True)
class Record:
    """Something with a value, equal to others with the same."""

    value: int


def counted(most: int):
    """A function that is remembered, and the list of what it was asked in earnest."""
    asked = []

    @memoised(most)
    def work(record: Record, factor: int = 1) -> int:
        asked.append((record.value, factor))
        if factor < 0:
            raise ValueError("less than nothing")
        return record.value * factor
    return work, asked


def test_the_same_object_is_worked_out_once():
    """Whoever asks again is given the same answer, and nothing is done for it."""
    work, asked = counted(4)
    one = Record(3)
    assert [work(one, 2), work(one, 2), work(one, factor=2), work(one, factor=2)] == [6] * 4
    assert asked == [(3, 2), (3, 2)]       # once as it stands, once by its name


def test_an_equal_object_is_another_one():
    """A record is known by itself and not by its values, which may be large to compare."""
    work, asked = counted(4)
    assert work(Record(3)) == work(Record(3)) == 3 and len(asked) == 2


def test_no_object_takes_the_place_of_another():
    """What was asked about is kept as long as its answer: its place in memory goes to no newcomer."""
    work, _ = counted(50)
    assert [work(Record(value)) for value in range(40)] == list(range(40))


def test_plain_values_are_told_apart_by_kind():
    """1, 1.0 and True are equal to Python and need not be to the function."""
    seen = []
    work = memoised(8)(lambda value: seen.append(value) or type(value))
    assert [work(value) for value in (1, 1.0, True, "1", None)] == [int, float, bool, str,
                                                                    type(None)] and len(seen) == 5


def test_the_oldest_is_forgotten():
    """No more is kept than was said, what was asked for longest ago goes first."""
    work, asked = counted(2)
    records = [Record(value) for value in range(3)]
    for record in (records[0], records[1], records[0], records[2]):
        work(record)
    work(records[0])
    assert asked == [(0, 1), (1, 1), (2, 1)]
    work(records[1])
    assert asked[-1] == (1, 1) and len(asked) == 4


def test_a_failure_is_no_answer():
    """What went wrong is tried again, and fails again as it did."""
    work, asked = counted(2)
    one = Record(1)
    for _ in range(2):
        with pytest.raises(ValueError, match="less than nothing"):
            work(one, -1)
    assert len(asked) == 2

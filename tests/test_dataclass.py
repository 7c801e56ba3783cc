"""Records behave as those of the standard library, and compile nothing before the first is made."""
from __future__ import annotations

import dataclasses
import pickle
from dataclasses import FrozenInstanceError, field, fields, replace

import pytest

from generator.dataclass import dataclass


def made_by(decorator):
    """Classes of every form that the package uses."""
    @decorator(frozen=True, slots=True)
    class Frozen:
        """With a default, one made anew, and one that tells no two apart."""

        first: int
        second: tuple[str, ...] = ("a",)
        third: dict[str, int] = field(default_factory=dict, compare=False, repr=False)

    @decorator(frozen=True, slots=True)
    class Single:
        """One field alone."""

        only: int

    @decorator(frozen=True)
    class Below(Single):
        """A field more."""

        more: str = "x"

    @decorator(slots=True)
    class Open:
        """One that may change, and is completed when it is made."""

        first: int
        doubled: int = 0

        def __post_init__(self):
            """Fill in."""
            self.doubled = 2 * self.first

    @decorator(frozen=True, eq=False)
    class Itself:
        """Equal to itself alone."""

        first: int

    @decorator(frozen=True, slots=True)
    class Told:
        """One with words of its own."""

        first: int

        def __repr__(self):
            """Say it."""
            return f"<{self.first}>"

        def __eq__(self, other):
            """Compare signs away."""
            return abs(self.first) == abs(other.first)

        def __hash__(self):
            """As it compares."""
            return abs(self.first)
    return Frozen, Single, Below, Open, Itself, Told


@dataclass(frozen=True, slots=True)
class Sent:
    """One that goes to another process."""

    first: int
    second: str = "b"


OURS, STANDARD = made_by(dataclass), made_by(dataclasses.dataclass)


@pytest.mark.parametrize("number", range(len(OURS)))
def test_records_are_those_of_the_standard_library(number):
    """The same fields, text, comparison and hash; the same arguments are taken and refused."""
    ours, theirs = OURS[number], STANDARD[number]
    assert [each.name for each in fields(ours)] == [each.name for each in fields(theirs)]
    assert ours.__match_args__ == theirs.__match_args__ and ours.__doc__ == theirs.__doc__
    assert (ours.__setattr__ is object.__setattr__) == (theirs.__setattr__ is object.__setattr__)
    assert repr(ours(1)) == repr(theirs(1)) and repr(replace(ours(1))) == repr(ours(1))
    for one, other in ((1, 1), (1, 2), (1, -1)):
        assert (ours(one) == ours(other)) == (theirs(one) == theirs(other))
    assert number == 5 or ours(1) != 1
    if theirs.__hash__ is None:
        assert ours.__hash__ is None
    elif theirs.__eq__ is not object.__eq__:
        assert hash(ours(1)) == hash(theirs(1))
    for wrong in ({}, {"first": 1, "unknown": 2}):
        for kind in (ours, theirs):
            with pytest.raises(TypeError):
                kind(**wrong)


def test_what_is_frozen_stays_as_it_is():
    """No field is set or deleted, no other added, and what was made anew is not shared."""
    frozen = OURS[0](1)
    for act in (lambda: setattr(frozen, "first", 2), lambda: delattr(frozen, "first"),
                lambda: setattr(frozen, "other", 2)):
        with pytest.raises(FrozenInstanceError):
            act()
    assert frozen.third is not OURS[0](1).third and not hasattr(frozen, "__dict__")
    assert len({OURS[0](1), OURS[0](1, third={"a": 1}), OURS[0](2)}) == 2
    free = OURS[3](2)
    free.first = 5
    assert (free.first, free.doubled) == (5, 4)


def test_a_record_reaches_another_process_whole():
    """Also a frozen one with slots."""
    assert pickle.loads(pickle.dumps(Sent(1, "c"))) == Sent(1, "c")


def test_nothing_is_compiled_before_a_record_is_made(monkeypatch):
    """Loading a file with records costs little; the first record compiles, and only then."""
    compiled = []
    monkeypatch.setattr("generator.dataclass.exec",
                        lambda text, scope: compiled.append(text) or exec(text, scope), raising=False)
    kind = made_by(dataclass)[0]
    assert not compiled
    assert kind(1) == kind(1)
    assert len(compiled) == 1

"""What an author says of the tools that curves are traced with."""
from __future__ import annotations

import pytest

from generator.language.source.front_matter_values import read_oval
from generator.units import QuantityError
from tests.language.parsing_helpers import front

HEAD = "title: x\ndrawn_in: mm\n"


def guides(text: str):
    """What the front matter says of guides."""
    found, problems = front(HEAD + text)
    assert not problems
    return found.guides


def test_what_is_not_said_is_usual():
    """A tip of half a millimetre that runs round the outside, half a millimetre off.

    Common practice, no source.
    """
    usual = guides("")
    assert {float(usual.stylus[s]) for s in ("mm", "in")} == {0.5} and usual.edge == "outside"
    assert {float(usual.within[s]) for s in ("mm", "in")} == {0.5} and not usual.ovals.get("mm")


def test_a_tip_may_differ_between_systems():
    """Said once it holds in both; tools that fix it have one size each."""
    assert {float(q) for q in guides("guides: {stylus: 0.4 mm}").stylus.values()} == {0.4}
    both = guides("guides: {stylus: {mm: 0.75 mm, in: 1/32 in}, edge: inside}")
    assert (float(both.stylus["mm"]), float(both.stylus["in"]), both.edge) == (0.75, 25.4 / 32, "inside")


def test_ovals_and_circles_keep_their_system():
    """Each is listed in the edition that measures as it does; the longer side of an oval comes first."""
    found = guides("guides: {ovals: [100 x 150 mm, 6x4 in], circles: [5 in]}")
    assert [tuple(map(float, oval)) for oval in found.ovals["mm"]] == [(150, 100)]
    assert [tuple(map(float, oval)) for oval in found.ovals["in"]] == [(152.4, 101.6)]
    assert not found.circles["mm"] and float(found.circles["in"][0]) == 127


@pytest.mark.parametrize(("text", "width", "height"), [("150 x 100 mm", 150, 100), ("15 × 10 cm", 150, 100),
                                                      ("1 1/2 in x 1 in", 38.1, 25.4),
                                                       ('4x6"', 152.4, 101.6)])
def test_ovals_are_read_as_people_type_them(text, width, height):
    """With one unit or two."""
    oval = read_oval(text)
    assert (float(oval.width), float(oval.height)) == (width, height)


@pytest.mark.parametrize("text", [None, 5, "", "x", "150", "150 x 100", "0 x 10 mm", "9 m x 9 m",
                                  "2000 x 10 mm", [1]])
def test_what_is_no_oval_is_refused(text):
    """In plain words, with what would mend it."""
    with pytest.raises(QuantityError) as told:
        read_oval(text)
    assert told.value.hint

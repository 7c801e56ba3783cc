"""From a plan to the blanks that are cut: their sizes, and the ways they may lie."""
from __future__ import annotations

from fractions import Fraction

import pytest

from generator.paper.records import Paper
from generator.paper.sheet_layouts import STOCK_SHEETS
from generator.sheets import blanks_of, direction_of, most_of_blank, most_sets_layout
from generator.tutorial import load_text
from generator.units import INCH, default_bench, length

BENCHES = {system: default_bench(system) for system in ("mm", "in")}
SOURCE = """---
title: A box
drawn_in: mm
lengths: {side: 60 mm, wall: 40 mm, tab: 10 mm}
editions: {in: {side: 2 3/8 in, wall: 1 5/8 in, tab: 3/8 in}}
papers:
  card: {grain: across}
  wrap: {one_way: true}
---

## Cut

```geometry
strip = sheet(width=4*side + tab, height=wall, paper=card)
remove(strip, x=4*side..right, y=wall/2..top)
base = panel(ngon(4, side=side), paper=card)
```

```geometry
sides = attach(free_edges(base), rectangle(height=wall))
band = sheet(width=wall, height=side, paper=wrap)
lace = ribbon(length=side)
```
"""


@pytest.fixture(scope="module")
def plans():
    """Both editions of the box above."""
    loaded = load_text(SOURCE, "box.md", BENCHES)
    assert loaded.tutorial is not None, loaded.findings
    return loaded.tutorial.plans


def test_blanks_by_paper(plans):
    """A strip keeps its size though part of it goes; a net takes the rectangle around all its panels."""
    blanks = blanks_of(plans["mm"])
    assert list(blanks) == ["card", "wrap"]
    strip, base = blanks["card"]
    assert (strip.name, strip.width.value, strip.height.value, strip.bounding) == ("strip", 250, 40, False)
    assert (base.name, base.width.value, base.height.value, base.bounding) == ("base", 140, 140, True)
    assert [b.name for b in blanks["wrap"]] == ["band"]


def test_a_blank_keeps_the_name_of_the_source():
    """Words for it are found where it is shown, in the language of the page."""
    loaded = load_text(SOURCE.replace("strip", "long_strip"), "box.md", BENCHES)
    assert loaded.tutorial is not None, loaded.findings
    assert blanks_of(loaded.tutorial.plans["mm"])["card"][0].name == "long_strip"


def test_each_edition_has_its_own(plans):
    """The inch blanks are no conversions."""
    strip = blanks_of(plans["in"])["card"][0]
    assert (strip.width.value, strip.height.value) == (Fraction(79, 8) * INCH.mm,
                                                       Fraction(13, 8) * INCH.mm)


def test_grain_and_pattern_say_how_a_blank_lies(plans):
    """Across a strip the grain runs up its short side; a one-way pattern stands upright."""
    blanks = blanks_of(plans["mm"])
    assert [b.direction for b in blanks["card"]] == ["y", "y"]
    assert blanks["wrap"][0].direction == "y"


@pytest.mark.parametrize(("paper", "size", "direction"), [
    (None, (9, 5), None), (Paper("p"), (9, 5), None), (Paper("p", grain="along"), (9, 5), "x"),
    (Paper("p", grain="along"), (5, 9), "y"), (Paper("p", grain="across"), (9, 5), "y"),
    (Paper("p", grain="across"), (5, 9), "x"), (Paper("p", grain="along"), (5, 5), "x"),
    (Paper("p", grain="along", one_way=True), (9, 5), "y"), (Paper("p", one_way=True), (5, 9), "y")])
def test_direction_of_a_piece(paper, size, direction):
    """The longer side is what grain runs along or across; what shows, a pattern, comes first."""
    assert direction_of(paper, *map(length, size)) == direction


def test_the_layout_says_what_is_a_rectangle_around_a_piece(plans):
    """So that the text can say so."""
    card = blanks_of(plans["mm"])["card"]
    found = most_sets_layout(STOCK_SHEETS["a3"], card)
    assert found.sets >= 1 and found.bounding == ("base",)
    assert most_of_blank(STOCK_SHEETS["a4"], card[1]).bounding == ("base",)
    assert most_of_blank(STOCK_SHEETS["a4"], card[0]).bounding == ()

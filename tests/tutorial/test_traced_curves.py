"""Ovals and circles that serve in place of the template: the author's and a graded set, best first, within
what is stated.
"""
from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from generator.drawing.templates.curves import GuideCurve
from generator.geometry import Arc, Circle, EllipseArc, Point
from generator.language.front_matter import Guides
from generator.tutorial import load, load_text, traced_curves
from generator.tutorial.traced_curves import MAX_CIRCLES, MAX_OVALS, tracing_tools
from generator.units import default_bench, length

ROOT = Path(__file__).resolve().parents[2]
BENCHES = {system: default_bench(system) for system in ("mm", "in")}
BOW = load_text("""\
---
title: A bow
summary: One curve from corner to corner.
drawn_in: mm
lengths: {side: 60 mm, rise: 8 mm}
editions:
  in: {side: 2 3/8 in, rise: 5/16 in}
---

## Score it

```geometry
card = sheet(width=side, height=side)
bow  = score(card, arc(at(left, bottom), at(right, bottom), bulge=rise))
```
""", "bow.md", BENCHES, slug="bow").tutorial
TRAY = load(ROOT / "tests/sources/tray.md", "tray.md", BENCHES).tutorial


def fitted(tools: Guides, system: str = "mm"):
    """The only curve with these tools: 60 mm from end to end, 8 mm high, radius 60.25 mm."""
    (only,) = tracing_tools(replace(BOW, front=replace(BOW.front, guides=tools)))[system]
    return only


def with_tip(edge: str = "outside", **tools) -> Guides:
    """A tip of half a millimetre."""
    return replace(Guides(), edge=edge, **tools)


@pytest.mark.parametrize(("edge", "by"), [("outside", -0.5), ("inside", 0.5)])
def test_the_circle_that_fits_allows_for_the_tip(edge, by):
    """Radius (c²/4 + b²)/2b of the chord and the bulge (sagitta formula), less the tip when it runs round the
    outside.
    """
    assert float(fitted(with_tip(edge)).exactly) == pytest.approx(2 * ((30 ** 2 + 8 ** 2) / 16 + by),
                                                                  abs=1e-6)


def test_the_best_stand_first_and_none_beyond_what_is_stated():
    """Four ovals and two circles of the graded set at most, in the order of their deviation."""
    found = fitted(with_tip())
    offs = [round(fit.off, 2) for fit in found.fits]
    assert offs == sorted(offs) and offs and offs[-1] <= 0.5
    assert 0 < sum(len(f.sides) == 2 for f in found.fits) <= MAX_OVALS
    assert 0 < sum(len(f.sides) == 1 for f in found.fits) <= MAX_CIRCLES
    closer = fitted(with_tip(within={"mm": length(Fraction(1, 10)), "in": length(1)}))
    assert all(fit.off <= 0.1 for fit in closer.fits)


def test_the_authors_own_are_all_shown_where_they_do():
    """In the edition that measures as they do, and marked; what does not reach, or is far off, is
    left out.
    """
    tools = with_tip(ovals={"mm": ((length(128), length(100)), (length(60), length(20)))},
                     circles={"mm": (length(121), length(20)), "in": (length(121),)})
    own = {tuple(map(float, fit.sides)) for fit in fitted(tools).fits if fit.own}
    assert own == {(128, 100), (121,)}
    assert {tuple(map(float, f.sides)) for f in fitted(tools, "in").fits if f.own} == {(121,)}


def test_sizes_of_the_graded_set_lie_on_the_rule():
    """Whole millimetres, or sixteenths of an inch, as the bench's rule has them."""
    for system, step in (("mm", 1), ("in", 25.4 / 16)):
        for fit in fitted(with_tip(), system).fits:
            assert all(abs(float(side) / step - round(float(side) / step)) < 1e-9 for side in fit.sides)


def test_without_curves_there_is_nothing_to_trace():
    """A tray of straight lines; and holes of a punch need no oval."""
    assert tracing_tools(TRAY) == {"mm": (), "in": ()}


def test_what_a_tool_of_the_source_is_laid_on_for_needs_no_other():
    """A half moon round a coin of 20 mm that the source names; with a larger coin it is like other curves."""
    text = """---
title: A moon
summary: One half moon.
drawn_in: mm
lengths: {side: 60 mm}
tools: {coin: {mm: 20 mm, in: 3/4 in}}
editions: {in: {side: 2 3/8 in}}
---

## Cut it

```geometry
card = sheet(width=side, height=side)
remove(card, circle(at(middle, top), diameter=coin))
```
"""
    own, other = (load_text(each, "moon.md", BENCHES, slug="moon").tutorial
                  for each in (text, text.replace("diameter=coin", "diameter=coin*2")))
    assert tracing_tools(own) == {"mm": (), "in": ()}
    assert [len(each) for each in tracing_tools(other).values()] == [1, 1]


def test_an_arc_of_an_oval_names_its_own_axes():
    """100 × 60 mm in the plan: an oval of 99 × 59 mm for a tip of half a millimetre that runs round it."""
    curve = GuideCurve(EllipseArc(Point(0.0, 0.0), Point(60.0, 0.0), 50.0, 30.0, True, 0.0), ("bow",), 1,
                       "score")
    found = traced_curves._curve_tracing(curve, with_tip(), "mm", BENCHES["mm"])
    (fit,) = found.fits
    assert tuple(map(float, fit.sides)) == (99, 59) and 0 < fit.off < 0.1 and found.exactly is None


@pytest.mark.parametrize("edge", ["outside", "inside"])
def test_a_cut_has_no_allowance(edge):
    """A blade runs along the edge itself: for a window of 60 mm a disc or an opening of 60 mm, none off; and
    the oval of an arc as it is in the plan (common practice, no source).
    """
    curve = GuideCurve(Circle(Point(0.0, 0.0), 30.0), ("window",), 1, "cut")
    found = traced_curves._curve_tracing(curve, with_tip(edge), "mm", BENCHES["mm"])
    assert float(found.exactly) == 60 and (float(found.fits[0].sides[0]), found.fits[0].off) == (60, 0)
    oval = GuideCurve(EllipseArc(Point(0.0, 0.0), Point(60.0, 0.0), 50.0, 30.0, True, 0.0), ("lip",), 1,
                      "cut")
    (fit,) = traced_curves._curve_tracing(oval, with_tip(edge), "mm", BENCHES["mm"]).fits
    assert tuple(map(float, fit.sides)) == (100, 60) and fit.off == pytest.approx(0, abs=1e-9)


def test_a_curve_that_is_narrower_than_the_tip_has_none():
    """Nothing is said of tools that could not follow it."""
    curve = GuideCurve(Arc(Point(0.0, 0.0), Point(0.8, 0.0), 0.4), ("bow",), 1, "score")
    assert traced_curves._curve_tracing(curve, with_tip(), "mm",
                                        BENCHES["mm"]) == traced_curves.CurveTracing(curve, None, ())

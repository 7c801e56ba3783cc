"""The rule at the head of the page is a real one."""
from __future__ import annotations

import re

import pytest
from lxml import etree

from generator.website.ruler import ruler_svg

RULE = etree.fromstring(ruler_svg())


def ticks(side: int) -> list[tuple[float, float]]:
    """(middle, height) of the ticks above the line (-1) or below it (1), each a dash of a wide line."""
    found: dict[float, float] = {}
    for path in RULE.findall("path")[1:]:
        high = float(path.get("stroke-width"))
        dash, gap = map(float, path.get("stroke-dasharray").split())
        x, y, long = map(float, re.fullmatch(r"M(-?[\d.]+) ([\d.]+)h([\d.]+)", path.get("d")).groups())
        if y == 7.5 + side * high / 2:
            for n in range(round((long - dash) / (dash + gap)) + 1):
                place = round(x + dash / 2 + n * (dash + gap), 4)
                found[place] = max(high, found.get(place, 0))
    return sorted(found.items())


INCH, METRIC = ticks(-1), ticks(1)


def test_a_unit_of_the_drawing_is_a_millimetre():
    """Width and height are in mm and the same as in the viewBox, so nothing scales it."""
    wide, high = RULE.get("width"), RULE.get("height")
    assert RULE.get("viewBox") == f"0 0 {wide.removesuffix('mm')} {high.removesuffix('mm')}"
    assert wide.endswith("mm") and high.endswith("mm")


def test_inches_lie_every_25_4_mm():
    """Sixteenths over one foot; 1 in = 25.4 mm exactly (NIST Handbook 44, Appendix C); drawn to 0.01 mm."""
    assert len(INCH) == 12 * 16 + 1
    assert all(x == pytest.approx(n * 25.4 / 16, abs=0.01) for n, (x, _) in enumerate(INCH))


def test_millimetres_lie_every_millimetre():
    """One tick for each whole millimetre of the foot: 304 of them fit in 304.8 mm."""
    assert [x for x, _ in METRIC] == list(range(305))


def test_longer_ticks_stand_for_larger_parts():
    """As on a rule: whole, half, quarter, eighth, sixteenth; centimetre, half, millimetre."""
    heights = [INCH[n][1] for n in (16, 8, 4, 2, 1)]
    assert heights == sorted(heights, reverse=True) and len(set(heights)) == 5
    assert METRIC[10][1] > METRIC[5][1] > METRIC[1][1]


def test_it_says_nothing():
    """It is an ornament: nothing of it is read aloud, and its figures are no text of the page."""
    assert RULE.get("aria-hidden") == "true"

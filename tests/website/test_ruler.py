"""The rule at the head of the page is a real one."""
from __future__ import annotations

import re

import pytest
from lxml import etree

from generator.website.ruler import ruler_svg

RULE = etree.fromstring(ruler_svg())
TICKS = [tuple(map(float, found)) for found in
         re.findall(r"M([\d.]+) 7\.5v(-?[\d.]+)", RULE.find("path").get("d"))]
INCH = [(x, height) for x, height in TICKS if height < 0]
METRIC = [(x, height) for x, height in TICKS if height > 0]


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
    heights = [-INCH[n][1] for n in (16, 8, 4, 2, 1)]
    assert heights == sorted(heights, reverse=True) and len(set(heights)) == 5
    assert METRIC[10][1] > METRIC[5][1] > METRIC[1][1]


def test_it_says_nothing():
    """It is an ornament: nothing of it is read aloud, and its figures are no text of the page."""
    assert RULE.get("aria-hidden") == "true"

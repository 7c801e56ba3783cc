"""The double rule is a rule."""
from __future__ import annotations

from io import BytesIO

import numpy as np
import pdfplumber
import pytest

from generator.drawing.templates.documents import double_rule
from generator.drawing.templates.page import PRINT_PAPERS, UNPRINTABLE_EDGE
from tests.drawing.templates import pdf_reader

LINE = UNPRINTABLE_EDGE + 22    # mm from the top of the page to the line of the level rule


@pytest.mark.parametrize("paper", PRINT_PAPERS)
@pytest.mark.parametrize("upright", [False, True])
def test_ticks_stand_where_a_rule_has_them(paper, upright):
    """Every sixteenth of an inch (25.4 mm: NIST Handbook 44) on one side, every millimetre on the other, to
    0.01 mm.
    """
    page = pdf_reader.read(double_rule(paper))[0]
    along, across = (1, 0) if upright else (0, 1)
    ticks = [p for p in page.paths if len(p) == 2 and abs(p[0][along] - p[1][along]) < 1e-6
             and 1.5 < abs(p[0][across] - p[1][across]) < 6.5]
    base = _common([p[0][across] for p in ticks])
    mine = [p for p in ticks if abs(p[0][across] - base) < 1e-6]
    signs = {+1: [], -1: []}
    for tick in mine:
        signs[1 if tick[1][across] > base else -1].append(tick[0][along])
    inch, metric = (signs[-1], signs[1]) if upright else (signs[1], signs[-1])
    zero, inches = min(inch), 5 if upright else 10
    assert np.array(sorted(inch)) - zero == pytest.approx(np.arange(inches * 16 + 1) * 25.4 / 16, abs=0.01)
    assert np.array(sorted(metric)) - zero == pytest.approx(np.arange(int(inches * 25.4) + 1), abs=0.01)


def _common(values) -> float:
    found, counts = np.unique(np.round(values, 4), return_counts=True)
    return float(found[counts.argmax()])


@pytest.mark.parametrize("paper", PRINT_PAPERS)
def test_the_rule_stays_clear_of_the_edges(paper):
    """Nothing within 10 mm of an edge, but for half the width of a line."""
    page = pdf_reader.read(double_rule(paper))[0]
    points = np.vstack(page.paths)
    assert points.min() >= UNPRINTABLE_EDGE - 0.01
    assert (points.max(axis=0) <= np.array((page.width, page.height)) - UNPRINTABLE_EDGE + 0.01).all()


@pytest.mark.parametrize("paper", PRINT_PAPERS)
def test_the_rule_measures_right_in_pixels(paper):
    """At 600 dpi 100 mm and 4 in between two ticks of the level rule, to a pixel."""
    image = pdf_reader.rendered(double_rule(paper))
    with pdfplumber.open(BytesIO(double_rule(paper))) as document:
        assert "A rule at true size" in document.pages[0].extract_text()
    for side, lengths in ((-1.2, (101.6, 254.0)), (1.2, (100.0, 254.0))):   # the inches stand above the line
        row = image[round(pdf_reader.pixels(LINE + side))]
        ends = pdf_reader.middles(row)[1:-1]     # without the edges of the strip
        for mm in lengths:
            assert min(abs(x - ends[0] - pdf_reader.pixels(mm)) for x in ends) <= 1, mm

"""Folds that meet in a point: what is published of points that fold flat, against the solver."""
from __future__ import annotations

import math

import numpy as np
import pytest

from tests.folding.sample_boxes import codes, folded

SHEET = """
sheet_ = sheet(width=2*half, height=2*half)
one    = score(sheet_, line(at(half, half), at({0}, {1})))
two    = score(sheet_, line(at(half, half), at({2}, {3})))
three  = score(sheet_, line(at(half, half), at({4}, {5})))
four   = score(sheet_, line(at(half, half), at({6}, {7})))
fold(one, {ways[0]}, by=turn*(1 deg))
fold(two, {ways[1]})
fold(three, {ways[2]})
fold(four, {ways[3]})
"""


def _vertex(sectors, ways, turn):
    """A sheet with four folds from its middle, with these angles between them.

    The first is folded by ``turn`` degrees.
    """
    half, sizes, names, direction = 100, {"half": 100}, [], 0.0
    for k in range(len(sectors)):
        direction += 0 if k == 0 else sectors[k - 1]
        x, y = math.cos(math.radians(direction)), math.sin(math.radians(direction))
        reach = half / max(abs(x), abs(y))
        for axis, value in (("x", x), ("y", y)):
            place = half + reach * value
            low, high = ("left", "right") if axis == "x" else ("bottom", "top")
            name = f"{axis}{k}"
            if place < 1e-9 or place > 2 * half - 1e-9:
                names.append(low if place < 1 else high)
            else:
                sizes[name] = place
                names.append(name)
    return folded(SHEET.format(*names, ways=ways), {"turn": turn}, **sizes)


def test_a_published_point_folds_flat_on_paper():
    """Kawasaki: the alternating sum of the sectors is nothing.

    Maekawa: mountains and valleys differ by two (row 15).
    """
    sectors, ways = (90, 45, 22.5, 22.5, 45, 90, 22.5, 22.5), "MVMMMVMM"
    assert sum(sectors) == 360 and sum(s * (-1) ** k for k,
                                       s in enumerate(sectors)) == pytest.approx(0, abs=1e-9)
    assert abs(ways.count("M") - ways.count("V")) in (2, 4)


@pytest.mark.parametrize("turn", [20, 60, 100, 150])
@pytest.mark.parametrize(("a", "b"), [(60, 100), (50, 80), (75, 120)])
def test_four_folds_that_fold_flat_have_one_freedom(a, b, turn):
    """Opposite folds turn by the same angle, and the tangents of half the angles keep one ratio.

    Published for flat-foldable points of four folds (Lang, Tachi and others; from memory): with sectors a, b,
    180° − a, 180° − b the ratio is ± cos((a + b)/2) / cos((a − b)/2), or the sine form for the other pair.
    """
    sectors = (a, b, 180 - a, 180 - b)
    ways, ratios = _branch(sectors, turn)
    assert ways is not None and ratios
    cosine = abs(math.cos(math.radians(a + b) / 2) / math.cos(math.radians(a - b) / 2))
    sine = abs(math.sin(math.radians(a - b) / 2) / math.sin(math.radians(a + b) / 2))
    for ratio in ratios:
        assert min(abs(ratio - x) for x in (cosine, 1 / cosine, sine, 1 / sine)) < 1e-5


def _branch(sectors, turn):
    """The folds that close when one of the four bends the other way.

    Also the ratios of their half-angle tangents.
    """
    found, ratios = None, []
    for odd in range(4):
        ways = ["mountain"] * 4
        ways[odd] = "valley"
        piece, = _vertex(sectors, ways, turn).pieces
        angles = piece.angles[np.argsort([h.mark for h in piece.flat.hinges])]
        if piece.judged and angles.min() > 1e-3 and max(r.gap for r in piece.residuals) < 1e-7:
            assert angles[0] == pytest.approx(angles[2],
                                              abs=1e-5) and angles[1] == pytest.approx(angles[3], abs=1e-5)
            found = ways
            ratios.append(math.tan(angles[0] / 2) / math.tan(angles[1] / 2))
    return found, ratios


def test_four_folds_one_way_cannot_be_folded_and_nothing_is_said_before_anything_is_glued():
    """Four mountains in a flat sheet.

    Not judged while the design is open, since pre-creasing is no folding.
    """
    done = _vertex((80, 100, 70, 110), ["mountain"] * 4, 60)
    piece, = done.pieces
    assert not piece.judged and codes(done) == [] and "not judged" in done.facts[0]

"""Folds that meet in a point: what is published of points that fold flat, against what the solver folds."""
from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import numpy as np
import pytest

from generator.folding import FoldedPiece
from tests.folding.sample_boxes import codes, folded

WAYS = {"M": "mountain", "V": "valley"}
HALF = 100      # mm, of the sheet
# check-values, row 15: sectors that alternate to nothing, mountains and valleys that differ by two
PUBLISHED, ASSIGNED = (90, 45, 22.5, 22.5, 45, 90, 22.5, 22.5), "MMMVMVMV"
# the waterbomb base, traditional (Lang, Origami Design Secrets, from memory): a crease along the middle of a
# square and both diagonals, the diagonals one way and the middle the other
WATERBOMB = (45, 90, 45, 45, 90, 45)


def vertex(sectors: Sequence[float], folds: Sequence[str]) -> FoldedPiece:
    """A sheet with folds from its middle and these angles between them; its one piece, folded."""
    sizes, statements, folding = {"half": HALF}, ["sheet_ = sheet(width=2*half, height=2*half)"], []
    for k, fold in enumerate(folds):
        turn = math.radians(sum(sectors[:k]))
        step = np.array((math.cos(turn), math.sin(turn)))
        end = HALF + HALF * step / np.abs(step).max()
        names = []
        for axis, low, high, place in zip("xy", ("left", "bottom"), ("right", "top"), end, strict=True):
            names.append(low if place < 1e-9 else high if place > 2 * HALF - 1e-9 else f"{axis}{k}")
            sizes |= {f"{axis}{k}": place}
        statements.append(f"k{k} = score(sheet_, line(at(half, half), at({', '.join(names)})))")
        folding.append(f"fold(k{k}, {fold})")
    done = folded("\n".join((*statements, *folding)), **sizes)
    assert codes(done) == []
    return done.pieces[0]


def angles(piece: FoldedPiece) -> np.ndarray:
    """How far each fold is folded, radians, in the order in which they were scored."""
    return piece.angles[np.argsort([h.mark for h in piece.flat.hinges])]


def closes(piece: FoldedPiece) -> bool:
    """Whether the paper holds together with every fold bent."""
    return piece.judged and angles(piece).min() > 1e-3 and max(r.gap for r in piece.residuals) < 1e-7


@pytest.mark.parametrize(("changed", "flat"), [
    ({}, True), ({0: 3, 1: 3, 2: -3, 3: -3}, True), ({5: -8, 6: -8, 3: 8, 4: 8}, True),
    ({0: 1, 1: -1}, False), ({0: 0.5, 7: -0.5}, False), ({1: -2, 4: 2}, False)])
def test_the_published_vertex_folds_flat_and_one_that_alternates_to_something_does_not(changed, flat):
    """Kawasaki: folded by half a turn each, all sectors lie in one plane if every other adds up to 180°."""
    sectors = [sector + changed.get(k, 0) for k, sector in enumerate(PUBLISHED)]
    assert sum(sectors) == 360 and (sum(sectors[::2]) == 180) == flat
    piece = vertex(sectors, [f"{WAYS[way]}, by=180 deg" for way in ASSIGNED])
    assert piece.judged == flat
    if flat:
        normals = np.array([piece.normal(k) for k in range(len(sectors))])
        assert np.abs(normals[:, :2]).max() < 1e-9 and normals[:, 2].sum() == pytest.approx(0, abs=1e-9)


def test_the_published_vertex_has_an_order_of_layers_only_where_it_may():
    """One that crimps down to nothing has (Hull 2002, from memory), six mountains with two valleys not."""
    vertex(PUBLISHED, [f"{WAYS[way]}, by=180 deg" for way in ASSIGNED])
    with pytest.raises(AssertionError, match="flat-layers"):       # they must differ by two (Maekawa)
        vertex(PUBLISHED, [f"{WAYS[way]}, by=180 deg" for way in "MVMMMVMM"])


@pytest.mark.parametrize(("a", "b"), [(60, 100), (50, 80), (75, 120)])
def test_of_sixteen_assignments_four_fold(a, b):
    """Mountains and valleys differ by two (Maekawa), and not alike beside the smallest sector.

    Big-little-big lemma (Kawasaki; Hull 2002, from memory): the creases beside a sector smaller than both its
    neighbours differ, so the odd fold is one of the two beside it.
    """
    sectors = (a, b, 180 - a, 180 - b)
    smallest = sectors.index(min(sectors))
    odd = {"".join("V" if k == one else "M" for k in range(4)) for one in (smallest, (smallest + 1) % 4)}
    found = set()
    for ways in itertools.product("MV", repeat=4):
        first, *rest = (WAYS[way] for way in ways)
        if closes(vertex(sectors, [f"{first}, by=60 deg", *rest])):
            found.add("".join(ways))
    assert found == odd | {ways.translate({77: "V", 86: "M"}) for ways in odd}


@pytest.mark.parametrize("turn", [20, 60, 100, 150])
@pytest.mark.parametrize(("a", "b"), [(60, 100), (50, 80), (40, 75)])
@pytest.mark.parametrize("odd", [0, 1])
def test_four_folds_that_fold_flat_have_one_freedom(a, b, turn, odd):
    """Opposite folds turn by the same angle, and the tangents of half the angles keep one ratio.

    Published for flat-foldable points of four folds (Lang, Tachi and others; from memory), with sectors
    a, b, 180° − a, 180° − b. Which of the two ratios belongs to which odd fold follows from small folds by
    hand: fold angles along the creases, added as vectors, come to nothing.
    """
    ways = ["mountain"] * 4
    ways[odd] = "valley"
    piece = vertex((a, b, 180 - a, 180 - b), [f"{ways[0]}, by={turn} deg", *ways[1:]])
    found = angles(piece)
    assert closes(piece) and found[:2] == pytest.approx(found[2:], abs=1e-5)
    plus, minus = math.radians(a + b) / 2, math.radians(b - a) / 2
    ratio = (math.sin(minus) / math.sin(plus), math.cos(minus) / math.cos(plus))[odd]
    assert math.tan(found[0] / 2) / math.tan(found[1] / 2) == pytest.approx(abs(ratio), rel=1e-5)


@pytest.mark.parametrize("lean", [5, 20, 35, 60, 85])
def test_the_waterbomb_base_on_its_way(lean):
    """Its diagonals folded by one angle: how far the middle crease folds then, worked out by hand.

    With the middle at (± cos α, 0, − sin α) the square sector between two diagonals is symmetric, so a
    diagonal is (1, cos β, − sin β) / √2; it lies 45° from the middle, hence sin β = tan(α/2).
    """
    alpha = math.radians(lean)
    beta = math.asin(math.tan(alpha / 2))
    middle = np.array((math.cos(alpha), 0, -math.sin(alpha)))
    diagonal = np.array((1, math.cos(beta), -math.sin(beta)))
    other = diagonal * (1, -1, 1)
    square = np.cross((1, 0, 0), diagonal)
    upper, lower = np.cross(middle, diagonal), np.cross(other, middle)

    def between(one: np.ndarray, two: np.ndarray) -> float:
        return math.acos(min(1.0, one @ two / np.linalg.norm(one) / np.linalg.norm(two)))

    by = math.degrees(between(square, upper))
    folds = ["valley", *["mountain, by=given"] * 2, "valley", *["mountain, by=given"] * 2]
    piece = vertex(WATERBOMB, [fold.replace("given", f"{by:.12f} deg") for fold in folds])
    assert closes(piece)
    assert angles(piece)[[0, 3]] == pytest.approx([between(upper, lower)] * 2, abs=1e-5)


def test_four_folds_one_way_cannot_be_folded_and_nothing_is_said_before_anything_is_glued():
    """Four mountains in a flat sheet.

    Not judged while the design is open, since pre-creasing is no folding.
    """
    piece = vertex((80, 100, 70, 110), ["mountain, by=60 deg", *["mountain"] * 3])
    assert not piece.judged and "nothing on it is glued" in piece.why_not_judged

"""Cuts replace scores, and what is removed takes its marks along."""
from __future__ import annotations

import math

import pytest

from generator.geometry import Arc
from generator.paper.area import region_of
from tests.paper.statement_evaluation import codes, ends, made, marks, near, outline, state

SHEET = "p = sheet(width=w, height=h)\n"
SIZE = {"w": 120, "h": 80, "a": 30, "b": 20, "d": 6}


def test_a_cut_replaces_the_part_of_the_score_it_lies_on():
    """The score keeps the rest of its run and its whole line; the cut has its own."""
    done = made(SHEET + "k = score(p, x=every(a, 3))\nf = score(p, y=b)\nc = cut(p, x=k, y=bottom..f)",
                **SIZE)
    assert [ends(m.runs) for m in marks(done, "k")] == [[(x, 20, x, 80)] for x in (30, 60, 90)]
    assert [ends(m.whole) for m in marks(done, "k")] == [[(x, 0, x, 80)] for x in (30, 60, 90)]
    assert [ends(m.runs) for m in marks(done, "c")] == [[(x, 0, x, 20)] for x in (30, 60, 90)]
    assert ends(marks(done, "f")[0].runs) == [(0, 20, 120, 20)]


@pytest.mark.parametrize("verb", ["cut", "slit"])
def test_a_cut_in_the_middle_leaves_two_runs(verb):
    """A slit does the same as a cut; a score cut all along is left without a run."""
    done = (made(SHEET + f"k = score(p, x=a)\nq = score(p, y=b)\nc = {verb}(p, x=a, y=b..2*b)\n"
                         f"e = {verb}(p, y=q, x=left..right)", **SIZE))
    assert ends(marks(done, "k")[0].runs) == [(30, 0, 30, 20), (30, 40, 30, 80)]
    assert marks(done, "q")[0].runs == ()


def test_a_slanted_score_is_cut_along_its_own_line():
    """A cut by a line on the same straight line takes the common part away."""
    done = (made(SHEET + "k = score(p, line(at(left, bottom), at(2*a, 2*b)))\n"
                         "c = cut(p, line(at(a, b), at(2*a, 2*b)))", **SIZE))
    assert ends(marks(done, "k")[0].runs) == [(0, 0, 30, 20)]


def test_an_arc_is_cut_along_its_own_circle():
    """A cut along half of a curved score leaves the other half, on the same circle."""
    done = made(SHEET + "k = score(p, arc(at(a, b), at(a + 2*b, b), bulge=b))\n"
                "c = cut(p, arc(at(a, b), at(a + b, 2*b), radius=b))", **SIZE)
    left, = marks(done, "k")[0].runs
    assert isinstance(left, Arc) and near((*left.start, *left.end), (50, 40, 70, 20))
    assert near([left.length()], [math.pi * 10])


def test_a_fold_that_was_made_is_cut_as_its_score():
    """Cutting or removing paper after folding shortens the fold too."""
    done = (made(SHEET + "k = score(p, x=a)\nfold(k, mountain)\nc = cut(p, x=a, y=bottom..b)\n"
                         "remove(p, x=left..2*a, y=3*b..top)", **SIZE))
    assert ends(state(done, "p").folds[0].runs) == [(30, 20, 30, 60)] == ends(marks(done, "k")[0].runs)


def test_removing_cuts_marks_back():
    """What lies in the area goes, what lies across ends at its edge, what lay along the edge is gone."""
    done = made(SHEET + "k = score(p, x=every(a, 3))\nu = score(p, y=b)\n"
                        "o = punch(p, x=right - d, y=top - d, diameter=d)\n"
                "remove(p, x=k.last..right, y=b..top)", **SIZE)
    runs = [ends(m.runs) for m in marks(done, "k")]
    assert runs == [[(30, 0, 30, 80)], [(60, 0, 60, 80)], [(90, 0, 90, 20)]]
    assert ends(marks(done, "u")[0].runs) == [(0, 20, 90, 20)]
    assert marks(done, "o")[0].runs == () and len(marks(done, "o")[0].whole) == 1


def test_the_outline_follows_what_is_removed():
    """A corner goes: six corners are left, exact; every edge knows the statement that made it."""
    done = made(SHEET + "remove(p, x=left..a, y=bottom..b)", **SIZE)
    assert set(outline(done, "p")) == {(30, 0), (120, 0), (120, 80), (0, 80), (0, 20), (30, 20)}
    acts = {(tuple(r.stroke.start), tuple(r.stroke.end)): r.act for r in state(done, "p").outline}
    assert {key for key, act in acts.items() if act == 1} == {((30, 20), (30, 0)), ((0, 20), (30, 20))}
    assert region_of(state(done, "p")).area() == 120 * 80 - 600


def test_a_window_is_a_hole():
    """An area within the piece leaves the outline and makes a hole, clockwise; a circle stays a circle."""
    done = made(SHEET + "remove(p, x=a..2*a, y=b..2*b)\nremove(p, circle(at(3*a, 2*b), diameter=d))", **SIZE)
    now = state(done, "p")
    assert len(now.outline) == 4 and len(now.holes) == 2
    assert math.isclose(region_of(now).area(), 120 * 80 - 600 - math.pi * 9, abs_tol=1e-9)


def test_areas_zip():
    """A group of bays, each from the bottom up to its own height."""
    done = made(SHEET + "k = score(p, x=every(a, 3))\nremove(p, x=k.bays, y=bottom..every(d, 3))", **SIZE)
    assert region_of(state(done, "p")).area() == 120 * 80 - 30 * (6 + 12 + 18)


def test_a_notch_is_a_v_in_the_edge():
    """Width along the edge, depth into the paper; the reader sets its two ends and its depth."""
    done = (made(SHEET + "notch(p, edge=top, at=every(a, 2), width=b, depth=d)\n"
                         "notch(p, edge=left, at=middle, width=b, depth=d)", **SIZE))
    corners = set(outline(done, "p"))
    assert {(20, 80), (30, 74), (40, 80), (50, 80), (60, 74), (70, 80), (0, 30), (6, 40), (0, 50)} < corners
    first, second = (act.detail for act in done.plan.acts[1:])
    assert [(q.value, side) for q, side in first.positions] == [
        (20, "left"), (40, "left"), (6, "top"), (50, "left"), (70, "left")]
    assert [(q.value, side) for q, side in second.positions] == [(30, "bottom"), (50, "bottom"), (6, "left")]
    assert region_of(state(done, "p")).area() == 120 * 80 - 3 * 60


def test_notches_of_different_sizes():
    """Widths and depths are paired off with the places."""
    done = made(SHEET + "notch(p, edge=bottom, at=every(a, 2), width=b, depth=every(d, 2))", **SIZE)
    assert {(30, 6), (60, 12)} < set(outline(done, "p"))


def test_what_must_be_set_for_an_area_is_known():
    """Edges and marks need no setting; bare distances do, and the points of a shape."""
    done = made(SHEET + "k = score(p, x=a)\nremove(p, x=left..k, y=bottom..b)\n"
                "remove(p, polygon(at(right, top), at(right - a, top), at(right, top - d)))", **SIZE)
    first, second = (act.detail for act in done.plan.acts[2:])
    assert (first.tool, [(q.value, side) for q, side in first.positions]) == ("trimmer", [(20, "bottom")])
    assert (second.tool,
            [(q.value, side) for q, side in second.positions]) == ("template", [(90, "left"), (74, "bottom")])


@pytest.mark.parametrize(("text", "code"), [
    ("remove(p, x=left..right)", "zero-length"), ("remove(p, x=a..2*a)", "shape-wrong"),
    ("remove(p, y=bottom..b)\nremove(p, y=bottom..b)", "mark-off-piece"), ("remove(p)", "call-missing"),
    ("remove(p, line(at(a, b), at(2*a, b)))", "shape-wrong"),
    ("remove(p, circle(at(a, b), diameter=d), x=left..a)", "call-parameter"),
    ("remove(p, x=every(a, 3)..every(b, 2))", "group-sizes"),
    ("notch(p, edge=top, at=a, width=d - b, depth=d)", "length-negative"),
    ("notch(p, edge=top, at=a, width=b, depth=d - b)", "length-negative"),
    ("remove(p, polygon(at(a, b), at(a, h)))", "call-missing"),
    ("remove(p, polygon(at(a, b), at(2*a, 2*b), at(a, 2*b), at(2*a, b)))", "shape-wrong"),
    ("remove(p, circle(at(a, b), diameter=d - b))", "shape-wrong")])
def test_what_cannot_be_removed_is_refused(text, code):
    """The whole of it, what parts it, what is gone, nothing, an open shape, one that crosses itself."""
    assert codes(SHEET + text, **SIZE) == [code]

"""Lines, ticks and holes on a sheet: where they lie, what the reader sets, and what is refused."""
from __future__ import annotations

from fractions import Fraction

import pytest

from tests.paper.statement_evaluation import codes, ends, made, marks, measures, value, wrong

SHEET = "p = sheet(width=w, height=h)\n"
SIZE = {"w": 120, "h": 80, "a": 30, "b": 20, "d": 6}


def lines_of(done, name: str = "u") -> list:
    """Ends of all runs of a group."""
    return [ends(mark.runs) for mark in marks(done, name)]


def test_scores_run_from_edge_to_edge():
    """Upright scores at every step from the left, with their distances, order and tool."""
    done = made(SHEET + "u = score(p, x=every(a, 3))", **SIZE)
    assert lines_of(done) == [[(x, 0, x, 80)] for x in (30, 60, 90)]
    assert measures(done, "u.marks") == [30, 60, 90]
    assert [(m.index, m.count, m.axis, m.tool, m.verb) for m in marks(done, "u")] == [
        (k, 3, "x", "board", "score") for k in (1, 2, 3)]
    assert [m.length.value for m in marks(done, "u")] == [80, 80, 80]


def test_a_single_place_gives_a_single_mark():
    """One place makes one mark, not a group of one."""
    done = made(SHEET + "u = score(p, y=b)", **SIZE)
    mark = value(done, "u")
    assert (mark.position.value, mark.measured_from, ends(mark.runs)) == (20, "bottom", [(0, 20, 120, 20)])
    assert measures(done, "u.length") == [120] and value(done, "u.length").form == {"w": 1}


@pytest.mark.parametrize(("say", "where", "side"), [
    ("x=a, measured_from=right", (90, 0, 90, 80), "right"),
    ("x=a, measured_from=left", (30, 0, 30, 80), "left"),
    ("y=b, measured_from=top", (0, 60, 120, 60), "top"),
    ("y=b, measured_from=bottom", (0, 20, 120, 20), "bottom")])
def test_distances_count_from_the_edge_that_is_named(say, where, side):
    """``measured_from`` changes the edge and the line, not the distance that is set."""
    mark = value(made(SHEET + f"u = score(p, {say})", **SIZE), "u")
    assert ends(mark.runs) == [where] and mark.measured_from == side
    assert mark.position.value in (30, 20)


def test_a_span_ends_a_line():
    """Between edges, marks and places; what is no edge and no mark has to be set as well."""
    done = made(SHEET + "k = score(p, y=b)\nu = cut(p, x=a, y=bottom..k)\nv = score(p, x=2*a, y=k..h - b)",
                **SIZE)
    cut_, = marks(done, "u")
    score_, = marks(done, "v")
    assert ends(cut_.runs) == [(30, 0, 30, 20)] and ends(score_.runs) == [(60, 20, 60, 60)]
    assert [(q.value, side) for q, side in cut_.positions] == [(30, "left")]
    assert [(q.value, side) for q, side in score_.positions] == [(60, "left"), (60, "bottom")]
    assert score_.length.form == {"h": 1, "b": -2}


def test_spans_zip_with_places():
    """A row of level lines, each within its own bay; a row of uprights, each up to its own height."""
    done = made(SHEET + "k = score(p, x=every(a, 3))\nu = score(p, y=b, x=k.bays)\n"
                "v = cut(p, x=every(2*d, 2), y=bottom..every(d, 2))", **SIZE)
    assert lines_of(done) == [[(0, 20, 30, 20)], [(30, 20, 60, 20)], [(60, 20, 90, 20)]]
    assert lines_of(done, "v") == [[(12, 0, 12, 6)], [(24, 0, 24, 12)]]


def test_a_score_across_a_cut_out_is_in_two_runs():
    """A score from edge to edge is made where there is paper; its whole line is kept."""
    done = made(SHEET + "remove(p, x=a..2*a, y=b..top)\nu = score(p, y=2*b)", **SIZE)
    mark, = marks(done, "u")
    assert ends(mark.runs) == [(0, 40, 30, 40), (60, 40, 120, 40)] and ends(mark.whole) == [(0, 40, 120, 40)]


def test_ticks_lie_on_their_edge():
    """Four millimetres long, on the edge that is named, at the distances that are set."""
    done = (made(SHEET + "k = score(p, x=every(a, 3))\nt = tick(p, x=midway(k), edge=top)\n"
                         "s = tick(p, y=b, edge=right)", **SIZE))
    assert lines_of(done, "t") == [[(x, 76, x, 80)] for x in (15, 45, 75)]
    assert measures(done, "t.marks") == [15, 45, 75]
    assert lines_of(done, "s") == [[(116, 20, 120, 20)]]


def test_holes_lie_at_their_middles():
    """Circles of half the diameter; the reader sets across and up, from the edges that are named."""
    done = made(SHEET + "u = punch(p, x=every(a, 2), y=b, diameter=d, measured_from=top)", **SIZE)
    assert [ends(m.runs) for m in marks(done, "u")] == [[(30, 60, 3, 0)], [(60, 60, 3, 0)]]
    assert [[(q.value, side) for q, side in m.positions] for m in marks(done, "u")] == [
        [(30, "left"), (20, "top")], [(60, "left"), (20, "top")]]
    assert [m.sizes[0].value for m in marks(done, "u")] == [6, 6]


def test_holes_of_different_sizes_stand_beside_their_places():
    """A group of diameters is paired off with a group of places: one statement, one act, counted through."""
    done = made(SHEET + "u = punch(p, x=every(a, 2), y=b, diameter=every(d, 2))", **SIZE)
    assert [(ends(m.runs), m.index, m.count)
            for m in marks(done, "u")] == [([(30, 20, 3, 0)], 1, 2), ([(60, 20, 6, 0)], 2, 2)]
    assert [a.verb for a in done.plan.acts] == ["sheet", "punch"]


def test_slits_and_tools():
    """A slit is made with the rule unless another tool is named; a shape wants its template."""
    done = made(SHEET + "s = slit(p, y=b, x=a..2*a)\nt = score(p, x=a, tool=rule)\n"
                        "c = cut(p, circle(at(4*b, 2*b), diameter=d))\n"
                "k = tick(p, x=a, edge=bottom, tool=template)", **SIZE)
    assert [marks(done, n)[0].tool for n in "stck"] == ["rule", "rule", "template", "template"]
    assert ends(marks(done, "s")[0].runs) == [(30, 20, 60, 20)]


def test_a_slanted_line_has_two_points_on_edges():
    """Of a line from edge to edge the reader sets one distance on each edge, and no single position."""
    done = made(SHEET + "u = score(p, line(at(left, b), at(a, top)), line(at(a, b), at(right, h - b)))",
                **SIZE)
    first, second = marks(done, "u")
    assert [(q.value, side) for q, side in first.positions] == [(20, "bottom"), (30, "left")]
    assert [(q.value, side) for q, side in second.positions] == [(30, "left"), (20, "bottom"), (60, "bottom")]
    assert first.position is None and first.axis is None and first.count == 2
    assert abs(float(first.length) - (30 ** 2 + 60 ** 2) ** 0.5) < 1e-9
    assert measures(done, "u.first.marks") == [20, 30]


def test_places_are_added_and_shifted():
    """Edges, marks and the middle move with + and −; the sum keeps its affine form."""
    done = (made(SHEET + "k = score(p, x=a)\nu = score(p, x=k + b)\nv = score(p, x=right - d)\n"
                         "s = score(p, x=middle - d)", **SIZE))
    assert [marks(done, n)[0].position.value for n in "uvs"] == [50, 114, 54]
    assert marks(done, "u")[0].place.form == {"a": 1, "b": 1}
    assert marks(done, "v")[0].place.form == {"w": 1, "d": -1}
    assert marks(done, "s")[0].place.form == {"w": Fraction(1, 2), "d": -1}


@pytest.mark.parametrize(("text", "code"), [
    ("u = score(p, x=w)", "mark-off-piece"), ("u = score(p, x=w + d)", "mark-off-piece"),
    ("u = score(p, x=d - a)", "mark-off-piece"), ("u = score(p, x=left)", "mark-off-piece"),
    ("u = tick(p, x=w + d, edge=top)", "mark-off-piece"),
    ("u = punch(p, x=w + d, y=b, diameter=d)", "mark-off-piece"),
    ("u = score(p, x=a, y=b..h + d)", "mark-off-piece"),
    ("u = score(p, line(at(left, b), at(w + d, b)))", "mark-off-piece"),
    ("u = score(p, x=a, y=b..b)", "zero-length"), ("u = score(p, line(at(a, b), at(a, b)))", "zero-length"),
    ("u = score(p)", "call-missing"), ("u = score(p, x=a, y=b)", "call-kind"),
    ("u = score(p, x=left..right, y=bottom..top)", "call-kind"),
    ("u = score(p, line(at(a, b), at(a, h)), x=a)", "call-parameter"), ("u = score(p, x=top)", "call-kind"),
    ("u = score(p, x=a, measured_from=top)", "call-kind"), ("u = tick(p, x=a, edge=left)", "call-kind"),
    ("u = tick(p, edge=left)", "call-missing"), ("u = tick(p, x=a, y=b, edge=left)", "call-missing"),
    ("u = punch(p, x=a, y=b, diameter=d - a)", "length-negative"),
    ("k = score(p, y=b)\nu = score(p, x=k)", "call-kind"),
    ("q = sheet(width=w, height=h)\nk = score(q, x=a)\nu = score(p, x=k)", "piece-wrong"),
    ("q = sheet(width=w, height=h)\nk = score(q, x=every(a, 2))\nu = score(p, y=b, x=k.bays)", "piece-wrong"),
    ("k = score(p, line(at(left, b), at(a, top)))\nu = score(p, x=k)", "call-kind"),
    ("u = score(p, x=a)\nv = score(p, x=a)", "mark-doubled"),
    ("u = score(p, x=a)\nv = score(p, x=a, y=b..top)", "mark-doubled"),
    ("u = score(p, x=a, y=bottom..b)\nv = score(p, line(at(a, bottom), at(a, d)))", "mark-doubled"),
    ("u = cut(p, x=a)\nv = score(p, x=a)", "mark-doubled"),
    ("u = cut(p, x=a, y=bottom..b)\nv = cut(p, y=d, x=left..2*a)", "cuts-cross"),
    ("u = cut(p, x=a, y=bottom..b)\nv = slit(p, line(at(left, bottom), at(2*a, b)))", "cuts-cross")])
def test_what_cannot_be_marked_is_refused(text, code):
    """Off the piece, nowhere, twice, across a cut, measured from the wrong side: one finding each."""
    assert codes(SHEET + text, **SIZE) == [code]


@pytest.mark.parametrize("text", [
    "u = score(p, x=a, y=bottom..b)\nv = score(p, x=a, y=b..top)", "u = score(p, x=a)\nv = score(p, y=b)",
    "u = cut(p, x=a, y=bottom..b)\nv = cut(p, y=b, x=left..2*a)", "u = score(p, x=a)\nv = cut(p, x=a)",
    "u = score(p, arc(at(a, b), at(2*a, b), bulge=d))\nv = score(p, line(at(a, b), at(2*a, b)))",
    "u = cut(p, x=a)\nv = score(p, y=b)"])
def test_lines_that_only_touch_or_cross_are_let_be(text):
    """End to end, a T of two cuts, a score under a cut, a chord below its arc, a score across a cut."""
    assert codes(SHEET + text, **SIZE) == []


def test_a_mark_off_the_piece_says_how_large_it_is():
    """The message gives the distance and the side, the hint the size of the piece."""
    found, = wrong(SHEET + "u = score(p, x=w + d, measured_from=right)", **SIZE)
    assert found.message == "the score at 126 mm from the right is not inside 'p'"
    assert found.hint.startswith("'p' is 120 mm by 80 mm")

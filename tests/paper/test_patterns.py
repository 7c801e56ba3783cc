"""Patterns: places and groups made from others, and selections from them."""
from __future__ import annotations

from fractions import Fraction

import pytest

from tests.paper.statement_evaluation import codes, ends, made, marks, measures, value, wrong

ROW = "p = sheet(width=w, height=h)\nk = score(p, x=every(a, 5))\n"
SIZE = {"w": 180, "h": 80, "a": 30, "b": 20, "d": 6}


def places(text: str, **more: int) -> list:
    """The own coordinates of a group of places made from a row of scores."""
    return [item.at.value for item in value(made(ROW + f"u = {text}", **SIZE, **more), "u").items]


def test_every_step_on():
    """One step, two steps, three …; from a start where one is given."""
    done = made("u = every(a, 4)\nv = every(a, 3, start=d)", **SIZE)
    assert measures(done, "u") == [30, 60, 90, 120] and measures(done, "v") == [36, 66, 96]
    assert [q.form for q in value(done, "v").items] == [{"d": 1, "a": k} for k in (1, 2, 3)]


def test_distances_that_follow_one_another():
    """Panels of unequal width: each distance is the sum of all widths so far; groups are taken in order."""
    done = made("u = along(a, b, a, b)\nv = along(d, every(a, 2))", **SIZE)
    assert measures(done, "u") == [30, 50, 80, 100] and measures(done, "v") == [6, 36, 96]
    assert value(done, "u.last").form == {"a": 2, "b": 2}


def test_a_sleeve_of_unequal_panels():
    """Front, side, back, side: four scores with their bays and half-way places."""
    done = (made("p = sheet(width=2*a + 2*b + d, height=h)\nk = score(p, x=along(a, b, a, b))\n"
                 "t = tick(p, x=midway(k), edge=top)", **SIZE))
    assert measures(done, "k.bays.width") == [30, 20, 30,
                                              20] and measures(done, "t.marks") == [15, 40, 65, 90]


def test_half_way_places():
    """One a bay, the first from the starting edge."""
    assert places("midway(k)") == [15, 45, 75, 105, 135]


def test_half_way_places_from_the_right():
    """Marks measured from the right have their first bay there."""
    done = made("p = sheet(width=w, height=h)\nk = score(p, x=every(a, 2), measured_from=right)\n"
                "u = midway(k)", **SIZE)
    assert [item.at.value for item in value(done, "u").items] == [165, 135]
    assert [(bay.low.value, bay.high.value)
            for bay in value(done, "k.bays").items] == [(150, 180), (120, 150)]


@pytest.mark.parametrize(("one", "bay"),
                         [("x=a", (0, 30)), ("x=a, measured_from=right", (150, 180)), ("y=b", (0, 20)),
                                          ("y=b, measured_from=top", (60, 80))])
def test_a_single_mark_has_the_bay_it_is_measured_over(one, bay):
    """From its own edge to the mark."""
    done = made(f"p = sheet(width=w, height=h)\nk = score(p, {one})", **SIZE)
    assert [(each.low.value, each.high.value) for each in value(done, "k.bays").items] == [bay]


def test_bays_have_edges_a_middle_and_a_width():
    """The second bay of a row, as a span and as places."""
    done = made(ROW, **SIZE)
    assert [value(done, f"k.bays[2].{side}").at.value for side in ("left", "middle", "right")] == [30, 45, 60]
    assert measures(done, "k.bays.width") == [30] * 5
    level = made("p = sheet(width=w, height=h)\nk = score(p, y=every(b, 3))", **SIZE)
    assert [value(level, f"k.bays[2].{side}").at.value
            for side in ("bottom", "middle", "top")] == [20, 30, 40]
    assert codes("p = sheet(width=w, height=h)\nk = score(p, y=every(b, 3))\nu = k.bays.left",
                 **SIZE) == ["attribute-unknown"]


def test_offset_places():
    """Distances, marks, edges and groups of them, moved right or back; two groups are paired off."""
    assert places("offset(k, d)") == [36, 66, 96, 126, 156]
    assert places("offset(k.odd, -d)") == [24, 84, 144]
    assert places("offset(k[1..3], every(d, 3))") == [36, 72, 108]
    done = (made(ROW + "u = score(p, x=offset(right, -d))\nv = score(p, x=offset(offset(left, d), d))\n"
                       "s = offset(a, d)", **SIZE))
    assert [marks(done, n)[0].position.value for n in "uv"] == [174, 12] and measures(done, "s") == [36]


def test_mirrored_places():
    """About the middle of the piece, a mark, or an edge moved inwards; the order stays."""
    assert places("mirrored(k[1..2])") == [150, 120]
    assert places("mirrored(k[1..2], about=k[3])") == [150, 120]
    assert places("mirrored(k[1..2], about=right - 2*a)") == [210, 180]
    done = made(ROW + "q = score(p, y=b)\nu = score(p, y=mirrored(q))", **SIZE)
    assert ends(marks(done, "u")[0].runs) == [(0, 60, 180,
                                               60)] and marks(done, "u")[0].place.form == {"h": 1, "b": -1}


@pytest.mark.parametrize(("text", "which"), [
    ("k.first", [1]), ("k.last", [5]), ("k.odd", [1, 3, 5]), ("k.even", [2, 4]), ("k[2]", [2]),
    ("k[2..4]", [2, 3, 4]),
    ("k[3..3]", [3]), ("k[n]", [3]), ("k[n - 1..n + 1]", [2, 3, 4]), ("k.odd.even", [3]), ("k.odd.last", [5]),
    ("rotated(k)", [2, 3, 4, 5, 1]), ("rotated(k, 2)", [3, 4, 5, 1, 2]),
    ("rotated(k, by=5)", [1, 2, 3, 4, 5]),
    ("rotated(k, 7)", [3, 4, 5, 1, 2]), ("reversed_order(k)", [5, 4, 3, 2, 1]),
    ("group(k.last, k[1..2])", [5, 1, 2]),
    ("group(k.even, k.odd)", [2, 4, 1, 3, 5]), ("k.all", [1, 2, 3, 4, 5]), ("group(k.first)", [1]),
    ("k.first.all", [1]),
    ("k.first.last", [1]), ("rotated(k.first)", [1]), ("reversed_order(k.odd.even)", [3])])
def test_selections_count_from_one(text, which):
    """First, last, odd, even, one, several; begun further on; back to front; put together."""
    done = made(ROW + f"u = {text}", counts={"n": 3}, **SIZE)
    chosen = value(done, "u")
    items = getattr(chosen, "items", (chosen,))
    assert [mark.index for mark in items] == which
    assert measures(done, "u.count") == [len(which)]


def test_selections_within_each_member():
    """``.each`` selects from every member of a group of groups.

    Without it the groups themselves are selected.
    """
    done = made("p = panel(ngon(4, side=a))\nf = attach(p.edges, rectangle(height=b))", **SIZE)
    edges = {(e.face, e.index) for e in value(done, "f.edges.each[3]").items}
    assert {index for _, index in edges} == {2} and len(edges) == 4
    for text, index in (("first", 0), ("last", 3)):
        assert [e.index for e in value(done, f"f.edges.each.{text}").items] == [index] * 4
    assert [[e.index for e in g.items] for g in value(done, "f.edges.each[2..3]").items] == [[1, 2]] * 4
    assert [[e.index for e in g.items] for g in value(done, "f.edges.each.odd").items] == [[0, 2]] * 4
    assert [e.index for e in value(done, "f.edges[3]").items] == [0, 1, 2, 3]
    assert measures(done, "f.edges.all.count") == [16] and measures(done, "f.edges.count") == [4]
    assert measures(done, "f.edges.each.count") == [4] * 4


@pytest.mark.parametrize(("text", "code", "said"), [
    ("k[0]", "select-range", "no number 0 in a group of 5"),
    ("k[6]", "select-range", "no number 6 in a group of 5"),
    ("k[2..6]", "select-range", "no number 6"), ("k[3..2]", "select-range", "from 3 back to 2"),
    ("k[1/2]", "call-kind", "whole number"), ("k[a]", "call-kind", "it cannot use a length"),
    ("a[1]", "select-range", "no group"),
    ("every(a, 0)", "call-kind", "less than 1"), ("every(a, 1/2)", "call-kind", "whole"),
    ("every(a - a, 3)", "length-negative", "leads nowhere"),
    ("every(a, 2000)", "too-much", "2000"), ("along()", "call-missing", "nothing follows"),
    ("along(3)", "call-kind", "a length"),
    ("midway(a)", "call-kind", "marks"),
    ("midway(reversed_order(rotated(k)))", "call-kind", "do not follow one another"),
    ("rotated(k).bays", "call-kind", "do not follow one another"),
    ("group(k, score(p, y=b)).bays", "call-kind", "only parallel marks"),
    ("offset(k, d, d)", "call-parameter", "without a name"), ("offset(k, 2)", "call-kind", "takes a length"),
    ("mirrored(a)", "call-kind", "shapes, marks or places"),
    ("mirrored(k, about=top)", "call-kind", "no place on x"),
    ("k.first.even", "attribute-unknown", "no property 'even'")])
def test_selections_and_patterns_that_do_not_exist_are_refused(text, code, said):
    """Counted past the end, backwards, by halves or by lengths.

    Steps that lead nowhere; marks in no order.
    """
    found = wrong(ROW + f"u = {text}", **SIZE)
    assert [f.code for f in found] == [code] and said in found[0].message


def test_bays_of_a_group_from_the_other_end():
    """A row from last to first has its bays from the other edge."""
    done = made(ROW + "u = reversed_order(k).bays", **SIZE)
    assert [(bay.low.value, bay.high.value) for bay in value(done, "u").items] == [
        (150, 180), (120, 150), (90, 120), (60, 90), (30, 60)]
    assert value(done, "u.first").high.form == {"w": 1}
    assert value(done, "u[2]").high.form == {"a": Fraction(5)}

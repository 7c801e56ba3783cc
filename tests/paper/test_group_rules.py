"""Groups zip with groups of equal size, single values repeat, and nothing is ever multiplied out."""
from __future__ import annotations

import re

import pytest

from tests.paper.statement_evaluation import codes, ends, made, marks, measures, state, value, wrong

SIZE = {"w": 200, "h": 80, "a": 30, "b": 20, "d": 6}
BASE = "p = sheet(width=w, height=h)\nq = sheet(width=w, height=h)\nk = score(p, x=every(a, 3))\n"

# statement, with a group of three beside one of two
UNEQUAL = {
    "sums": "u = every(a, 3) + every(b, 2)",
    "products": "u = every(a, 3) * group(1, 2)",
    "comparisons": "expect(every(a, 3) > every(d, 2))",
    "spans": "u = every(a, 3)..every(b, 2)",
    "points": "u = at(every(a, 3), every(b, 2))",
    "functions": "u = hypot(every(a, 3), every(b, 2))",
    "patterns": "u = every(every(a, 3), group(1, 2))",
    "offsets": "u = offset(every(a, 3), every(b, 2))",
    "lines": "u = score(p, line(at(every(a, 3), bottom), at(every(b, 2), top)))",
    "places and spans": "u = score(p, y=every(b, 2), x=k.bays)",
    "holes": "u = punch(p, x=every(a, 3), y=every(b, 2), diameter=d)",
    "diameters": "u = punch(p, x=every(a, 3), y=b, diameter=every(d, 2))",
    "notches": "notch(p, edge=top, at=every(a, 3), width=every(d, 2), depth=d)",
    "areas": "remove(p, x=k.bays, y=bottom..every(d, 2))",
    "faces": "u = faces(p, x=k.bays, y=bottom..every(d, 2))",
    "folds": "u = fold(k, group(mountain, valley))",
    "angles": "u = fold(k, mountain, by=group(1, 2)*(20 deg))",
    "pieces and places": "u = score(group(p, q), x=every(b, 3))",
    "pieces and shapes": "u = score(group(p, q), line(at(every(b, 3), bottom), at(every(b, 3), top)))",
    "sides": "u = tick(p, x=every(b, 3), edge=group(top, bottom))",
    "panels": "r = panel(rectangle(width=w, height=h))\n"
              "u = attach(r.edges[1..3], rectangle(height=every(d, 2)))",
    "edge numbers": "r = panel(ngon(4, side=a))\nu = attach(r.edges[1..3], ngon(4, side=a), by=group(1, 2))",
    "mirrors": "u = mirrored(k, about=every(b, 2))",
    "insets": "u = inset(group(p, q), by=every(d, 3))",
}


@pytest.mark.parametrize("statement", UNEQUAL.values(), ids=UNEQUAL)
def test_unequal_groups_are_refused_with_both_counts(statement):
    """Three beside two is one finding that names both, wherever they stand; nothing is made."""
    found = wrong(BASE + statement, **SIZE)
    assert [f.code for f in found] == ["group-sizes"]
    assert {"2", "3"} <= set(re.findall(r"\d+", found[0].message)), found[0].message


# statement → how many things it makes
EQUAL = {
    "u = every(a, 3) + every(b, 3)": 3, "u = every(a, 3) + b": 3, "u = at(every(a, 3), b)": 3,
    "u = score(p, y=every(b, 3), x=k.bays)": 3,
    "u = punch(p, x=every(a, 3), y=every(b, 3), diameter=every(d, 3))": 3,
    "u = punch(p, x=a, y=b, diameter=every(d, 2))": 2, "u = fold(k, group(mountain, valley, mountain))": 3,
    "u = faces(p, x=k.bays, y=bottom..every(d, 3))": 3,
    "u = score(q, line(at(every(a, 3), bottom), at(every(b, 3), top)))": 3,
    "u = hypot(every(a, 3), b)": 3, "u = circle(at(every(a, 3), b), diameter=every(d, 3))": 3,
    "u = inset(group(p, q), by=every(d, 2))": 2, "u = inset(group(p, q), by=d)": 2,
    "u = score(group(p, q), y=every(b, 2))": 2, "u = score(group(p, q), y=b)": 2,
    "u = offset(k, every(d, 3))": 3,
    "u = tick(p, x=every(b, 2), edge=group(top, bottom))": 2,
}


@pytest.mark.parametrize(("statement", "count"), EQUAL.items())
def test_equal_groups_are_paired_off_and_single_values_repeat(statement, count):
    """As many things as the groups have members, never the product of two sizes."""
    assert measures(made(BASE + statement, **SIZE), "u.count") == [count]


def test_a_call_for_several_pieces_pairs_them_with_their_places():
    """Each piece takes its own place; a single place serves all."""
    done = made(BASE + "u = score(group(p, q), y=every(b, 2))\nv = cut(group(p, q), x=d)", **SIZE)
    assert [[ends(m.runs) for m in state(done, piece).marks if m.name == "u"] for piece in "pq"] == [
        [[(0, 20, 200, 20)]], [[(0, 40, 200, 40)]]]
    assert [m.piece for m in value(done, "v").items] == [0, 1]


def test_a_group_taken_as_one_thing_is_not_paired_off():
    """Holes of a ribbon, rotated groups and joined groups stay whole beside another group."""
    done = made(BASE + "o = punch(p, x=k.bays.middle, y=b, diameter=d)\nr = ribbon(length=group(w, h))\n"
                       "s = thread(r, through=o)\n"
                "u = rotated(k, by=group(1, 2))", **SIZE)
    assert measures(done, "s.count") == [3, 3] or measures(done, "s.first.count") == [3]
    assert [[m.index for m in g.items] for g in value(done, "u").items] == [[2, 3, 1], [3, 1, 2]]


def test_the_least_of_a_group():
    """Min and max take groups whole, alone or beside others, and keep the sum that was taken."""
    done = made("u = min(every(a, 3))\nv = max(every(a, 3), w - b)\ns = min(every(a, 2), b + d)", **SIZE)
    assert measures(done, "group(u, v, s)") == [30, 180, 26]
    assert [value(done, n).form for n in "uvs"] == [{"a": 1}, {"w": 1, "b": -1}, {"b": 1, "d": 1}]


def test_groups_within_groups_are_paired_level_by_level():
    """A group of groups beside a group pairs each inner group with one member."""
    done = made("u = every(group(a, b), 3)\nv = u + group(d, 2*d)", **SIZE)
    assert [[q.value for q in g.items] for g in value(done, "v").items] == [[36, 66, 96], [32, 52, 72]]


def test_groups_within_groups_are_refused_where_one_group_is_meant():
    """A row of places takes one group; the hint says how to flatten."""
    found, = wrong(BASE + "u = score(q, x=every(group(a, b), 3))", **SIZE)
    assert found.code == "call-kind" and ".all" in found.hint
    assert codes(BASE + "u = score(q, x=every(group(a, 7*d), 2).all)", **SIZE) == []


def test_a_group_keeps_the_place_of_each_member_in_the_source():
    """Every mark of a group carries the span of the place it was made from."""
    done = made(BASE + "u = score(q,\n    x=every(a, 3))", **SIZE)
    assert [(m.span.line, m.span.column) for m in marks(done, "u")] == [(5, 7)] * 3

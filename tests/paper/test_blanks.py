"""The pieces a box begins with: their sizes, outlines and what they depend on."""
from __future__ import annotations

from fractions import Fraction

import pytest

from tests.paper.statement_evaluation import (
    codes,
    made,
    measures,
    names_of,
    near,
    outline,
    state,
    value,
    wrong,
)


def test_a_sheet_lies_with_its_lower_left_corner_at_the_origin():
    """Width by height, counter-clockwise, exact; the piece knows its paper, its side up and its step."""
    done = made("strip = sheet(width=8*panel + tab, height=foot, paper=card, up=printed)", panel=30, tab=12,
                foot=40)
    assert outline(done, "strip") == [(0, 0), (252, 0), (252, 40), (0, 40)]
    assert all(isinstance(x, Fraction) for corner in outline(done, "strip") for x in corner)
    info = done.plan.pieces[0]
    assert (info.name, info.kind, info.up, info.paper.name,
            info.step) == ("strip", "sheet", "printed", "card", 1)
    assert value(done, "strip.width").form == {"panel": 8, "tab": 1}
    assert measures(done, "group(strip.width, strip.height)") == [252, 40]


def test_a_sheet_lies_plain_side_up_unless_told():
    """The printed side is down where nothing is said, and no paper is assumed."""
    done = made("p = sheet(width=a, height=a)", a=10)
    assert (done.plan.pieces[0].up, done.plan.pieces[0].paper) == ("plain", None)


def test_a_ribbon_is_as_long_as_told():
    """Its length is kept with its name; its width matters only where it is given."""
    done = made("r = ribbon(length=lace)\ns = ribbon(length=lace, width=w)", lace=600, w=7)
    assert [p.kind for p in done.plan.pieces] == ["ribbon", "ribbon"]
    assert value(done, "r.width").form == {"lace": 1}
    assert measures(done, "group(s.width, s.height)") == [600, 7]


def test_a_panel_of_a_net_is_laid_with_its_lower_left_corner_at_the_origin():
    """A rectangle keeps exact sizes with their names; a triangle is as wide and high as it is said to be."""
    done = made("p = panel(rectangle(width=w, height=h), paper=card)\nq = panel(triangle(base=w, height=h))",
                w=50, h=30)
    assert outline(done, "p") == [(0, 0), (50, 0), (50, 30), (0, 30)]
    assert (value(done, "p.width").form, value(done, "p.height").form) == ({"w": 1}, {"h": 1})
    assert outline(done, "q") == [(0, 0), (50, 0), (25, 30)]
    assert measures(done, "group(q.width, q.height)") == [50, 30]
    assert names_of(value(done, "q.width")) == {"w", "h"}


def test_an_inset_is_smaller_by_its_border_on_every_side():
    """A liner of a sheet is smaller by twice the border, exactly, and lies at its own origin."""
    done = made("p = sheet(width=w, height=h)\nl = inset(p, by=edge, paper=card)", w=100, h=60, edge=5)
    assert outline(done, "l") == [(0, 0), (90, 0), (90, 50), (0, 50)]
    assert value(done, "l.width").form == {"w": 1, "edge": -2}
    assert (done.plan.pieces[1].kind, done.plan.pieces[1].paper.name) == ("liner", "card")


def test_an_inset_of_a_face_is_made_of_that_face():
    """The liner of one bay of a row of panels is as large as the bay, less its border."""
    done = made("p = sheet(width=4*a, height=h)\nk = score(p, x=every(a, 3))\n"
                "f = faces(p, x=k.bays[2], y=bottom..top)\nl = inset(f, by=edge)", a=30, h=60, edge=2)
    assert outline(done, "l") == [(0, 0), (26, 0), (26, 56), (0, 56)]
    assert value(done, "l.width").form == {"a": 1, "edge": -2}


def test_an_inset_of_a_slanted_shape_keeps_its_border_square_to_the_edges():
    """A square on its point with half diagonal 50, inset by 5, has half diagonal 50 − 5·√2."""
    done = made("p = sheet(width=2*a, height=2*a)\n"
                "f = faces(p, polygon(at(middle, bottom), at(right, middle), at(middle, top), "
                "at(left, middle)))\nl = inset(f, by=edge)", a=50, edge=5)
    assert near(measures(done, "group(l.width, l.height)"), [100 - 10 * 2 ** 0.5] * 2)
    assert names_of(value(done, "l.width")) == {"a", "edge"}


@pytest.mark.parametrize(("text", "code"), [
    ("p = sheet(width=a - b, height=a)", "length-negative"),
    ("p = sheet(width=a - a, height=a)", "length-negative"),
    ("p = ribbon(length=a - b)", "length-negative"), ("p = sheet(width=1000*a, height=a)", "mark-off-piece"),
    ("p = panel(rectangle(width=1000*a, height=a))", "mark-off-piece"),
    ("p = panel(rectangle(height=a))", "shape-wrong"),
    ("p = panel(trapezoid(top=a, height=a))", "shape-wrong"),
    ("p = sheet(width=a, height=a)\nl = inset(p, by=a)", "shape-wrong"),
    ("p = panel(rectangle(width=a - b, height=a))", "shape-wrong"),
    ("p = panel(triangle(base=a, height=a - b))", "shape-wrong"),
    ("p = sheet(width=b, height=b)\nremove(p, circle(at(a, a), diameter=a))\nl = inset(p, by=a - b)",
     "length-negative"),
    ("p = sheet(width=b, height=b)\nremove(p, circle(at(left, top), diameter=a))\nl = inset(p, by=a)",
     "shape-wrong")])
def test_blanks_of_nothing_or_of_too_much_are_refused(text, code):
    """No paper, a piece beyond all sheets, a panel without a width, a border that leaves nothing.

    One finding each.
    """
    assert codes(text, a=10, b=40) == [code]


def test_a_refused_size_names_its_parameter():
    """The finding stands at the value that is wrong and says what it comes to."""
    found, = wrong("p = sheet(width=a, height=a - b)", a=10, b=40)
    assert (found.span.column, found.message) == (27, "height comes to −30 mm, which is no paper at all")


def test_a_failed_blank_leaves_nothing_behind():
    """What follows is worked on a sound plan, and what rests on the blank is not blamed."""
    done = made("p = sheet(width=b, height=b)", a=10, b=40)
    from_wrong = [f.code
                  for f in wrong("q = sheet(width=a - b, height=a)\nk = score(q, x=a)\n"
                                 "p = sheet(width=b, height=b)",
                                        a=10, b=40)]
    assert from_wrong == ["length-negative"] and len(state(done, "p").outline) == 4

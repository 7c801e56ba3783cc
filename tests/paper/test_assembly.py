"""Folding, gluing, threading, and what the design must keep."""
from __future__ import annotations

import pytest

from tests.paper.statement_evaluation import (
    codes,
    ends,
    made,
    marks,
    measures,
    names_of,
    state,
    text_of,
    value,
    wrong,
)

SIZE = {"w": 120, "h": 80, "a": 30, "b": 20, "d": 6}
ROW = "p = sheet(width=w, height=h)\nk = score(p, x=every(a, 3))\nf = score(p, y=b)\n"


def test_folds_run_where_the_scores_run():
    """Whole scores, or the part of them within a span; without an angle it is left open."""
    done = made(ROW + "g = fold(k, mountain, y=f..top)\nq = fold(k.first, valley, y=bottom..f, by=90 deg)",
                **SIZE)
    folds = state(done, "p").folds
    assert [ends(f.runs) for f in folds] == [[(x, 20, x, 80)] for x in (30, 60, 90)] + [[(30, 0, 30, 20)]]
    assert [(f.direction, f.angle) for f in folds] == [("mountain", None)] * 3 + [("valley", 90.0)]
    assert done.plan.acts[-1].detail == folds[3:] and done.plan.acts[-2].detail == folds[:3]


def test_folds_zip_with_directions_and_angles():
    """Each score its own way and its own angle: one act, as many folds as scores."""
    done = made(ROW + "g = fold(k, group(mountain, valley, mountain), by=group(1, 2, 3)*(30 deg))", **SIZE)
    assert [(f.direction, f.angle) for f in state(done, "p").folds] == [("mountain", 30), ("valley", 60),
                                                                        ("mountain", 90)]
    assert len(done.plan.acts) == 4 and text_of(done, "g") == "valley, mountain, valley"
    assert codes(ROW + "g = fold(k, group(mountain, valley))", **SIZE) == ["group-sizes"]


def test_what_is_left_of_a_score_is_folded():
    """A score that was cut away where it would be folded is passed over, the others are folded."""
    done = made(ROW + "remove(p, x=2*a..right, y=f..top)\ng = fold(k, mountain, y=f..top)", **SIZE)
    assert [ends(f.runs) for f in state(done, "p").folds] == [[(30, 20, 30, 80)]]


def test_faces_lie_between_marks():
    """The bays of a row as faces, in order; width and height keep the names they depend on."""
    done = made(ROW + "u = faces(p, x=k.bays, y=f..top)\nv = faces(p, x=k.last..right)", **SIZE)
    assert [ends(face.outline)[0]
            for face in value(done, "u").items] == [(x, 20, x + 30, 20) for x in (0, 30, 60)]
    assert [(face.index, face.count, face.name)
            for face in value(done, "u").items] == [(i, 3, "u") for i in (1, 2, 3)]
    assert value(done, "u.first.height").form == {"h": 1, "b": -1}
    assert value(done, "v.width").form == {"w": 1, "a": -3}
    assert measures(done, "group(v.width, v.height)") == [30, 80]
    assert measures(done, "u.first.edges.length") == [30, 60, 30, 60]


def test_faces_by_their_shapes():
    """Any closed shape names an area; it is told counter-clockwise."""
    done = (made(ROW + "u = faces(p, polygon(at(left, bottom), at(left, top), at(a, b)), circle(at(2*a, b), "
                       "diameter=d))", **SIZE))
    assert ends(value(done, "u.first").outline) == [(0, 0, 30, 20), (30, 20, 0, 80), (0, 80, 0, 0)]
    assert measures(done, "u.count") == [2] and measures(done, "group(u[2].width, u[2].height)") == [6, 6]


@pytest.mark.parametrize(("count", "order"),
                         [(2, [1, 2]), (3, [1, 3, 2]), (4, [1, 3, 2, 4]), (6, [1, 4, 2, 5, 3, 6]),
                                              (8, [1, 5, 2, 6, 3, 7, 4, 8])])
def test_opposite_flaps_are_glued_in_pairs(count, order):
    """One flap, the one opposite, then the next pair; the last named lies on top."""
    done = made("p = sheet(width=sides*d, height=b)\nk = score(p, x=every(d, sides - 1))\n"
                "u = faces(p, x=group(k.bays, k.last..right), y=bottom..top)\ng = glue(u, order=opposite)\n"
                "again = faces(p, x=group(k.bays, k.last..right), y=bottom..top)\nv = glue(again)",
                counts={"sides": count}, **SIZE)
    assert measures(done, "g.order") == order and measures(done, "v.order") == list(range(1, count + 1))
    assert measures(done, "g.count") == [count] and list(done.plan.acts[-3].detail.order) == order


def test_faces_are_glued_under_or_over_others():
    """One under one, many under one, each under its own."""
    done = made(ROW + "u = faces(p, x=k.bays, y=f..top)\nv = faces(p, x=k.last..right, y=f..top)\n"
                "s = glue(v, under=u.first)\nt = glue(u, over=v)\nq = glue(u.odd, under=u.even[1])", **SIZE)
    first, second, third = (act.detail for act in done.plan.acts[-3:])
    assert ([face.id for face in first.faces], [face.id for face in first.target],
            first.over) == ([3], [0], False)
    assert (len(second.faces), len(second.target), second.over) == (3, 1, True)
    assert ([face.id for face in third.faces], [face.id for face in third.target]) == ([0, 2], [1])
    assert done.plan.acts[-1].name == "q" and done.plan.acts[-1].verb == "glue"


def test_a_ribbon_goes_through_holes_and_gathers():
    """Holes in their order, the ribbon's length, and the act that draws the top together."""
    done = made(ROW + "o = punch(p, x=k.bays.middle, y=h - d, diameter=d)\nr = ribbon(length=4*w)\n"
                      "s = thread(r, through=o)\n"
                "gather(p, by=r)\ngather(p)", **SIZE)
    thread, first, second = done.plan.acts[-3:]
    assert thread.detail.marks == tuple(m.id for m in value(done, "o").items)
    assert thread.detail.ribbon.value == 480
    assert thread.pieces == (1, 0) and first.pieces == (0, 1) and second.pieces == (0,)
    assert measures(done, "s.count") == [3]


def test_turns_are_acts():
    """Each turn is an act of its own; four quarters bring the piece back."""
    done = made(ROW + "turn(p, quarter)\nturn(p, half)\nturn(p, quarter)\nturn_over(p)\nturn_over(p)", **SIZE)
    assert [act.verb for act in done.plan.acts[-5:]] == ["turn"] * 3 + ["turn_over"] * 2
    orientation = state(done, "p").orientation
    assert (orientation.quarters, orientation.over) == (0, False)


def test_a_requirement_that_holds_is_silent():
    """Chains, groups, and, or, not: what holds is not spoken of."""
    assert codes("expect(b < a <= 2*a)\nexpect(a > b and b > d)\nexpect(a < b or b < w)\nexpect(not a < b)\n"
                 "expect(every(a, 3) > b)\nexpect(a != b)\nexpect(60 deg <= 90 deg)", **SIZE) == []


def test_a_requirement_that_fails_says_why():
    """Both sides in the words of the edition, and the author's reason; every one that fails is told."""
    found = wrong('expect(a < b, because="the flap would show")\nexpect(every(b, 2) > a)', **SIZE)
    assert [f.code for f in found] == ["expect-fails"] * 2
    assert all(part in found[0].message for part in ("30 mm", "20 mm", "because the flap would show"))


def test_the_size_of_the_finished_box_is_kept():
    """Width, height and depth by their names, with what they depend on."""
    done = made("finish(width=a, height=hypot(a, b))\nfinish(depth=b)", **SIZE)
    assert {name: float(q) for name, q in done.plan.finish.items()} == {"width": 30, "height": 1300 ** 0.5,
                                                                        "depth": 20}
    assert names_of(done.plan.finish["height"]) == {"a", "b"}


def test_every_act_knows_its_statement():
    """Number, verb, name, step, span and the text as it stands in the source."""
    done = made(ROW + "g = fold(k, mountain)", **SIZE)
    act = done.plan.acts[-1]
    assert (act.number, act.verb, act.name, act.step, act.text) == (3, "fold", "g", 1,
                                                                    "g = fold(k, mountain)")
    assert (act.span.line, act.span.column) == (4, 5)
    assert [m.span.line for m in marks(done, "k")] == [2] * 3


@pytest.mark.parametrize(("text", "code"), [
    ("c = cut(p, y=2*b)\ng = fold(c, mountain)", "fold-unscored"),
    ("g = fold(k, mountain, y=top..top)", "zero-length"),
    ("c = cut(p, x=k.first)\ng = fold(k.first, mountain)", "fold-unscored"),
    ("g = fold(k, top)", "call-kind"),
    ("g = fold(k, mountain, by=0 deg)", "angle-wrong"), ("g = fold(k, mountain, by=181 deg)", "angle-wrong"),
    ("g = fold(k, mountain, by=90)", "call-kind"), ("u = faces(p, x=right..w + d)", "mark-off-piece"),
    ("remove(p, x=a..right, y=b..top)\nu = faces(p, x=2*a..right, y=f..top)", "mark-off-piece"),
    ("u = faces(p)", "call-missing"), ("u = faces(p, line(at(a, b), at(a, h)))", "shape-wrong"),
    ("u = faces(p, x=left..a)\nglue(u)", "call-missing"),
    ("u = faces(p, x=k.bays)\nglue(u, under=u[1..2])", "group-sizes"),
    ("u = faces(p, x=k.bays)\nglue(u, under=u.first, over=u.last)", "call-parameter"),
    ("glue(p)", "call-kind"),
    ("r = ribbon(length=w)\nthread(r, through=k)", "call-kind"), ("turn(p, left)", "call-kind"),
    ("expect(a)", "call-kind"),
    ("expect(a < 4)", "units-mixed"), ("finish(width=4)", "call-kind"),
    ("expect(a < b, because=a)", "call-kind")])
def test_what_cannot_be_assembled_is_refused(text, code):
    """Folds along cuts or nothing, by no angle or too much.

    Faces off the paper; glue on nothing; ribbons through scores.
    """
    assert codes(ROW + text, **SIZE) == [code]

"""Work on a piece that was turned or turned over comes out as on a fresh piece of the same look.

Every verb is worked twice: on a sheet that lies as it was cut, and on one that
was turned first. The second picture, turned on the table by hand, must be the
first one.
"""
from __future__ import annotations

import pytest

from generator.geometry import Circle
from generator.language.evaluation.evaluate import Evaluation
from generator.paper.records import Mark, Removal
from tests.paper.statement_evaluation import made, measures, state, text_of, value
from tests.paper.turned_views import TURNS, Points, quarters, seen

W, H = 120, 80     # of the sheet as it lies when it is worked, mm
LENGTHS = {"w": W, "h": H, "a": 30, "b": 20, "d": 6, "r": 70}
WORK = {
    "score at x": "u = score(p, x=every(a, 3))",
    "score at y": "u = score(p, y=b)",
    "score from the right": "u = score(p, x=every(a, 2), measured_from=right)",
    "score from the top": "u = score(p, y=b, measured_from=top)",
    "score within a span": "u = score(p, x=a, y=bottom..b)",
    "score beyond a mark": "k = score(p, y=b)\nu = score(p, x=every(a, 3), y=k..top)",
    "score at the middle": "u = score(p, x=middle)",
    "score off an edge": "u = score(p, x=right - b)",
    "score off a mark": "k = score(p, x=a)\nu = score(p, x=k + b)",
    "cut from edge to edge": "u = cut(p, y=b)",
    "cut along a score": "k = score(p, x=a)\nu = cut(p, x=k, y=b..top)",
    "slit": "u = slit(p, y=b, x=a..right)",
    "perforate": "u = perforate(p, y=b, x=a..right)",
    "tick on top": "k = score(p, x=every(a, 3))\nu = tick(p, x=midway(k), edge=top)",
    "tick on the left": "u = tick(p, y=b, edge=left)",
    "punch": "u = punch(p, x=every(a, 3), y=b, diameter=d)",
    "punch from the top": "u = punch(p, x=a, y=b, diameter=d, measured_from=top)",
    "a line": "u = score(p, line(at(left, b), at(a, top)))",
    "an arc": "u = score(p, arc(at(a, b), at(a + b, h - d), bulge=d))",
    "an arc by its radius": "u = score(p, arc(at(a, b), at(a + b, h - d), radius=r))",
    "an arc to the right": "u = score(p, arc(at(a, b), at(a + b, h - d), bulge=d, side=right))",
    "an oval's arc": "u = score(p, ellipse(at(a, b), at(a + b, h - d), width=r, height=2*r))",
    "a circle": "u = cut(p, circle(at(a, b), diameter=d))",
    "a polygon": "u = cut(p, polygon(at(a, b), at(a + b, b), at(a, b + d)))",
    "a placed rectangle": "u = cut(p, placed(rectangle(width=a, height=d), at(a, b)))",
    "a placed triangle, "
    "turned": "u = cut(p, placed(triangle(base=a, height=b), at(w - b, b), turned=90 deg))",
    "a mirrored arc": "u = score(p, mirrored(arc(at(a, b), at(a + b, h - d), bulge=d)))",
    "an arc mirrored about a "
    "mark": "k = score(p, y=h/2)\nu = score(p, mirrored(arc(at(a, b), at(a + b, b), bulge=d), about=k))",
    "a mirrored mark": "k = score(p, x=every(b, 2))\nu = score(p, x=mirrored(k))",
    "lines around a "
    "point": "u = score(p, around(line(at(a + b, h/2), at(a + b + d, h/2)), centre=at(w/2, h/2), count=5))",
    "offset marks": "k = score(p, y=b)\nu = score(p, y=offset(k, d))",
    "bays": "k = score(p, x=every(a, 3))\nu = score(p, y=b, x=k.bays.even)",
    "ends of bays": "k = score(p, x=every(a, 3))\n"
                    "u = score(p, line(at(k.bays.first.left, b), at(k.bays.first.right, h - d)))",
}
AREAS = {
    "a corner": "remove(p, x=left..a, y=bottom..b)",
    "a strip": "remove(p, y=h - d..top)",
    "bays of a row": "k = score(p, x=every(a, 3))\nremove(p, x=k.bays.odd, y=bottom..b)",
    "a window": "remove(p, placed(rectangle(width=a, height=d), at(a, b)))",
    "a round window": "remove(p, circle(at(a, b), diameter=d))",
    "a polygon": "remove(p, polygon(at(left, bottom), at(a, bottom), at(left, b)))",
    "a notch on top": "notch(p, edge=top, at=a, width=b, depth=d)",
    "notches on the right": "notch(p, edge=right, at=every(b, 3), width=d, depth=2*d)",
    "a mirrored polygon": "remove(p, mirrored(polygon(at(left, bottom), at(a, bottom), at(left, b))))",
}


def worked(work: str, turns: tuple[str, ...]) -> Evaluation:
    """A sheet that lies W by H when the work begins, however it was turned before."""
    wide, high = ("h", "w") if quarters(turns) % 2 else ("w", "h")
    return made("\n".join([f"p = sheet(width={wide}, height={high})", *turns, work]), **LENGTHS)


def picture(strokes: list, turns: tuple[str, ...]) -> Points:
    """Ends and middles of strokes as they are seen.

    A circle as points that do not hang on where it begins.
    """
    wide, high = (H, W) if quarters(turns) % 2 else (W, H)
    corners = [(0.0, 0.0), (float(wide), 0.0), (float(wide), float(high)), (0.0, float(high))]
    points: Points = []
    for stroke in strokes:
        where = [stroke.center] if isinstance(stroke, Circle) else [stroke.start, stroke.at(0.5), stroke.end]
        points += [(float(x), float(y)) for x, y in where]
    return [(round(x, 6) + 0.0, round(y, 6) + 0.0) for x, y in seen(points, turns, corners)]


def lines(points: Points) -> set:
    """Strokes told by their three points, whichever way they are travelled."""
    if len(points) % 3:
        return set(points)
    threes = (points[k:k + 3] for k in range(0, len(points), 3))
    return {(frozenset((a, c)), b) for a, b, c in threes}


@pytest.mark.parametrize("work", WORK.values(), ids=WORK)
def test_marks_come_out_as_on_a_fresh_piece(work):
    """Runs and whole lines, turned by hand, lie where they lie on a sheet that was never turned.

    Order is kept.

    The reader is told the same distances from the same edges.
    """
    plain = state(worked(work, ()), "p").marks
    assert plain
    for said, turns in TURNS.items():
        mine = state(worked(work, turns), "p").marks
        for part in ("whole", "runs"):
            assert [lines(picture(list(getattr(mark, part)), turns)) for mark in mine] == [
                lines(picture(list(getattr(mark, part)), ())) for mark in plain], said
        assert [told(mark) for mark in mine] == [told(mark) for mark in plain], said


def told(mark: Mark) -> tuple:
    """What a mark says to the reader, as bare values."""
    return ([(q.value, side) for q, side in mark.positions], mark.measured_from,
            mark.position and mark.position.value, [q.value for q in mark.sizes],
            mark.length and round(float(mark.length), 9))


@pytest.mark.parametrize("work", AREAS.values(), ids=AREAS)
def test_what_is_cut_away_is_the_same(work):
    """Outline and holes, turned by hand, are those of a sheet that was never turned.

    So is what the reader sets.
    """
    fresh = worked(work, ())
    plain = state(fresh, "p")
    rims, holes = (lambda s: [r.stroke
                              for r in s.outline]), (lambda s: [r.stroke for h in s.holes for r in h])
    for said, turns in TURNS.items():
        done = worked(work, turns)
        for get in (rims, holes):
            assert lines(picture(get(state(done, "p")), turns)) == lines(picture(get(plain), ())), said
        assert set_for(done) == set_for(fresh), said


def set_for(done: Evaluation) -> list[tuple]:
    """What the reader sets for the areas that go."""
    return [(d.tool, [(q.value, side) for q, side in d.positions], [q.value for q in d.sizes])
            for d in (act.detail for act in done.plan.acts) if isinstance(d, Removal)]


@pytest.mark.parametrize("turns", TURNS.values(), ids=TURNS)
def test_faces_folds_and_sizes_follow_the_turns(turns):
    """A face lies where it was named, a fold along what was folded, and sizes are told as the piece lies."""
    work = ("k = score(p, x=every(a, 3))\nf = faces(p, x=k.bays, y=b..top)\n"
            "g = fold(k, mountain, y=b..top)\nl = inset(p, by=d)\nc = inset(f.first, by=d)")
    fresh, done = worked(work, ()), worked(work, turns)
    for name, get in (("f", lambda f: list(f.outline)), ("g", lambda f: list(f.runs))):
        mine = [lines(picture(get(item), turns)) for item in value(done, name).items]
        assert mine == [lines(picture(get(item), ())) for item in value(fresh, name).items]
    assert measures(done, "group(p.width, p.height, f.first.width, f.first.height)") == [W, H, 30, H - 20]
    assert measures(done, "group(l.width, l.height, c.width, c.height)") == [W - 12, H - 12, 18, H - 20 - 12]
    assert text_of(done, "size(p)") == f"{W} mm × {H} mm"


@pytest.mark.parametrize("turns", TURNS.values(), ids=TURNS)
def test_a_fold_is_worded_as_it_is_seen(turns):
    """From the plain side a mountain of the printed side is a valley; turned over it is a mountain."""
    done = worked("k = score(p, x=a)\ng = fold(k, mountain)\nv = score(p, x=2*a)\nq = fold(v, valley)", turns)
    over = sum(turn == "turn_over(p)" for turn in turns) % 2 == 1
    assert (text_of(done, "g"),
            text_of(done, "q.seen")) == (("mountain", "valley") if over else ("valley", "mountain"))
    assert [f.direction for f in state(done, "p").folds] == ["mountain", "valley"]


def test_a_fold_keeps_the_words_of_its_own_time():
    """Turning the piece over later does not change how a fold was made."""
    done = made("p = sheet(width=w, height=h)\nk = score(p, x=a)\nearly = fold(k, mountain)\nturn_over(p)\n"
                "u = score(p, x=b)\nlate = fold(u, mountain)", **LENGTHS)
    assert (text_of(done, "early"), text_of(done, "late.seen")) == ("valley", "mountain")


def test_a_printed_side_up_is_told_from_there():
    """On a sheet whose printed side lies up a mountain is a mountain."""
    done = made("p = sheet(width=w, height=h, up=printed)\nk = score(p, x=a)\ng = fold(k, mountain)",
                **LENGTHS)
    assert text_of(done, "g") == "mountain"
    assert done.plan.pieces[0].up == "printed"


@pytest.mark.parametrize(("how", "left", "top"), [
    ("turn(p, quarter)", "bottom", "left"), ("turn(p, half)", "right", "bottom"),
    ("turn(p, quarter_back)", "top", "right"), ("turn_over(p)", "right", "top")])
def test_sides_change_places(how, left, top):
    """What lies at the left and the top after a turn is the side that a hand would bring there."""
    done = made(f"p = sheet(width=w, height=h)\n{how}", **LENGTHS)
    own = {"left": ("x", 0), "right": ("x", W), "bottom": ("y", 0), "top": ("y", H)}
    for side, was in (("left", left), ("top", top)):
        place = value(done, f"p.{side}")
        assert (place.axis, place.at.value) == own[was]
    assert [a.verb for a in done.plan.acts] == ["sheet", how.split("(")[0]]

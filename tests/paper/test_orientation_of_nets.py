"""The same as for sheets on a net, whose lower left corner is not where its own frame begins."""
from __future__ import annotations

import pytest

from generator.geometry import Circle
from generator.language.evaluation.evaluate import Evaluation
from tests.paper.statement_evaluation import made, measures, state, text_of
from tests.paper.test_orientation import lines, told
from tests.paper.turned_views import TURNS, Points, quarters, seen

W, H, D = 120, 80, 15      # of the cross as it lies when it is worked, and how deep its walls are, mm
LENGTHS = {"w": W, "h": H, "d": D, "a": 40, "b": 30, "c": 4}
WORK = {
    "score at x": "u = score(p, x=every(a, 2))",
    "score from the right": "u = score(p, x=a, measured_from=right)",
    "score from the top": "u = score(p, y=b, measured_from=top)",
    "score within a span": "u = score(p, x=a, y=b..top)",
    "score off an edge": "u = score(p, y=top - b)", "score at the middle": "u = score(p, y=middle)",
    "cut within bays": "k = score(p, x=every(a, 2))\nu = cut(p, y=b, x=k.bays.last)",
    "tick": "u = tick(p, x=a, edge=top)",
    "tick on the right": "u = tick(p, y=b, edge=right)",
    "punch": "u = punch(p, x=a, y=b, diameter=c, measured_from=top)",
    "a line": "u = score(p, line(at(a, bottom), at(a + b, top)))",
    "an arc": "u = score(p, arc(at(a, b), at(a + b, b), bulge=c))",
    "a mirrored line": "u = score(p, mirrored(line(at(a, b), at(a + c, top))))",
    "a mirrored mark": "k = score(p, x=a)\nu = score(p, x=mirrored(k) + c)",
    "a circle around a "
    "point": "u = cut(p, around(circle(at(a, b), diameter=c), centre=at(middle, middle), count=3))",
}


def worked(work: str, turns: tuple[str, ...]) -> Evaluation:
    """A cross of five panels that lies W by H when the work begins."""
    wide, high = ("h", "w") if quarters(turns) % 2 else ("w", "h")
    return made("\n".join([f"p = panel(rectangle(width={wide} - 2*d, height={high} - 2*d))",
        "f = attach(p.edges, rectangle(height=d))",
                           *turns, work]), **LENGTHS)


def picture(strokes: list, turns: tuple[str, ...]) -> Points:
    """Ends and middles of strokes as they are seen; the own frame begins at the middle panel."""
    wide, high = (H, W) if quarters(turns) % 2 else (W, H)
    corners = [(x - D, y - D) for x in (0.0, float(wide)) for y in (0.0, float(high))]
    points: Points = []
    for stroke in strokes:
        where = [stroke.center] if isinstance(stroke, Circle) else [stroke.start, stroke.at(0.5), stroke.end]
        points += [(float(x), float(y)) for x, y in where]
    return [(round(x, 6) + 0.0, round(y, 6) + 0.0) for x, y in seen(points, turns, corners)]


@pytest.mark.parametrize("work", WORK.values(), ids=WORK)
def test_marks_on_a_net_come_out_the_same(work):
    """On a net that was turned every mark lies, and every distance is told, as on one that was not."""
    plain = [m for m in state(worked(work, ()), "p").marks if m.name in ("u", "k")]
    assert plain
    for said, turns in TURNS.items():
        mine = [m for m in state(worked(work, turns), "p").marks if m.name in ("u", "k")]
        for part in ("whole", "runs"):
            assert [lines(picture(list(getattr(m, part)), turns)) for m in mine] == [
                lines(picture(list(getattr(m, part)), ())) for m in plain], said
        assert [told(m) for m in mine] == [told(m) for m in plain], said


@pytest.mark.parametrize("area",
                         ["remove(p, x=left..a, y=bottom..b)", "remove(p, circle(at(a, b), diameter=c))",
                                  "notch(p, edge=top, at=middle, width=c, depth=c)",
                          "notch(p, edge=left, at=b, width=c, depth=c)"])
def test_what_is_cut_away_from_a_net_is_the_same(area):
    """Outline and holes of a net that was turned are those of one that was not."""
    plain = state(worked(area, ()), "p")
    for said, turns in TURNS.items():
        mine = state(worked(area, turns), "p")
        for get in (lambda s: [r.stroke for r in s.outline],
                    lambda s: [r.stroke for h in s.holes for r in h]):
            assert lines(picture(get(mine), turns)) == lines(picture(get(plain), ())), said


def test_a_net_is_hung_on_and_insets_are_made_however_it_lies():
    """Edges are counted by the panel, not by how it lies; sizes and a liner are told as it lies."""
    for said, turns in TURNS.items():
        done = worked("g = attach(f[3].edges[3], rectangle(height=b))\nl = inset(p.faces.first, by=c)", turns)
        flat = state(done, "p")
        assert max(float(r.stroke.start.y)
                   for r in flat.outline) == (W if quarters(turns) % 2 else H) - D + 30, said
        odd = quarters(turns) % 2
        assert measures(done, "group(p.width, p.height)") == ([W + 30, H] if odd else [W, H + 30]), said
        assert text_of(done, "size(l)") == "82 mm × 42 mm", said

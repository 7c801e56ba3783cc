"""The net way: panels hung on edges, the joints between them, the edges that are left."""
from __future__ import annotations

import math

import pytest
import shapely

from generator.paper.area import region_of
from tests.paper.statement_evaluation import (
    codes,
    ends,
    made,
    marks,
    measures,
    names_of,
    near,
    outline,
    state,
    value,
    wrong,
)

SIZE = {"a": 60, "b": 40, "c": 20, "d": 6}
BOX = "p = panel(rectangle(width=a, height=b))\nf = attach(p.edges, rectangle(height=c))\n"


def test_edges_count_from_the_first_side_round():
    """Of the first panel from its lower side leftward; of a hung one from the edge it hangs on."""
    done = made(BOX, **SIZE)
    first = [edge.length.value for edge in value(done, "p.edges").items]
    assert first == [60, 40, 60, 40] and measures(done, "f.first.edges.length") == [60, 20, 60, 20]
    hung = value(done, "f.first").outline
    # on the lower side of the first panel, travelled the other way
    assert ends(hung[:1]) == [(60, 0, 0, 0)]


def test_a_cross_of_five_panels():
    """Four walls about a floor: outline, size, origin, area and joints, all exact."""
    done = made(BOX, **SIZE)
    now = state(done, "p")
    assert set(outline(done, "p")) == {(0, 0), (0, -20), (60, -20), (60, 0), (80, 0), (80, 40), (60, 40),
                                       (60, 60), (0, 60),
                                       (0, 40), (-20, 40), (-20, 0)}
    assert measures(done, "group(p.width, p.height)") == [100, 80]
    assert [q.value for q in now.origin] == [-20, -20]
    assert region_of(now).area() == 60 * 40 + 2 * 20 * (60 + 40)
    assert [ends(m.runs) for m in now.marks] == [
        [(0, 0, 60, 0)], [(60, 0, 60, 40)], [(60, 40, 0, 40)], [(0, 40, 0, 0)]]
    assert {m.tool for m in now.marks} == {"template"} and {m.verb for m in now.marks} == {"score"}
    assert [m.length.value for m in now.marks] == [60, 40, 60, 40]


def test_a_net_goes_on_being_hung_on():
    """A lid on a wall and a tab on the lid: each face knows its joined edges, and has a hinge."""
    done = made(BOX + "l = attach(f[3].edges[3], rectangle(height=b))\nt = attach(l.edges[3], tab(depth=d))",
                **SIZE)
    faces = {face.id: face for face in state(done, "p").faces}
    lid, wall = value(done, "l"), value(done, "f[3]")
    assert faces[wall.id].joined == {0, 2} and faces[lid.id].joined == {0, 2}
    assert ends(value(done, "l.hinge").runs) == [(60, 60, 0, 60)]
    assert measures(done, "p.faces.count") == [7] and measures(done, "p.hinges.count") == [6]
    assert measures(done, "p.height") == [20 + 40 + 20 + 40 + 6]


def test_a_shape_hangs_by_the_edge_that_is_named():
    """``by`` turns the shape so that this edge of it lies on the edge it hangs on."""
    done = made("p = panel(rectangle(width=a, height=b))\n"
                "f = attach(p.edges[2], rectangle(width=c, height=b), by=2)", **SIZE)
    assert ends(value(done, "f").outline) == [(60, 40, 60, 0), (60, 0, 80, 0), (80, 0, 80, 40),
                                              (80, 40, 60, 40)]
    assert measures(done, "f.edges.length") == [40, 20, 40, 20]


def test_shapes_and_edges_are_paired_off():
    """Each edge takes its own shape by its own edge: a group never hangs on every edge of another."""
    done = made("p = panel(rectangle(width=a, height=b))\n"
                "f = attach(p.edges, trapezoid(top=p.edges.length + 2*d, height=c))\n"
                "g = attach(f.edges.each[3][1..2], rectangle(height=every(d, 2)))", **SIZE)
    assert [measures(done, f"f[{k}].edges[3].length") for k in (1, 2, 3, 4)] == [[72], [52], [72], [52]]
    assert value(done, "f.first.edges[3].length").form == {"a": 1, "d": 2}
    assert [measures(done, f"g[{k}].edges[2].length") for k in (1, 2)] == [[6], [12]]
    assert [act.verb for act in done.plan.acts] == ["panel", "attach", "attach"]
    assert codes("p = panel(rectangle(width=a, height=b))\n"
                 "f = attach(p.edges, rectangle(height=every(c, 3)))",
        **SIZE) == ["group-sizes"]


def test_hinges_are_folded():
    """All joints by one angle, or each by its own; the scores are those of the net."""
    done = made(BOX + "g = fold(p.hinges, valley, by=90 deg)", **SIZE)
    assert [(f.angle, f.direction) for f in state(done, "p").folds] == [(90.0, "valley")] * 4
    own = made(BOX + "g = fold(f.hinge, mountain, by=group(1, 2, 3, 4)*(20 deg))", **SIZE)
    assert [f.angle for f in state(own, "p").folds] == [20.0, 40.0, 60.0, 80.0]
    assert [f.mark for f in state(own, "p").folds] == [m.id for m in state(own, "p").marks]


def test_free_edges_run_round_the_outline():
    """Every edge that nothing hangs on, once, in order; each begins where the one before it ends."""
    done = made(BOX + "u = free_edges(p)", **SIZE)
    edges = value(done, "u").items
    faces = {face.id: face for face in state(done, "p").faces}
    strokes = [faces[e.face].outline[e.index] for e in edges]
    assert len(edges) == 12 == len({(e.face, e.index) for e in edges})
    assert all(near(s.end, t.start) for s, t in zip(strokes, strokes[1:] + strokes[:1], strict=True))
    assert sum(e.length.value for e in edges) == region_of(state(done, "p")).perimeter()


def test_seams_pair_edges_in_order():
    """The first of one group meets the first of the other; the pairs are kept with the act."""
    done = made(BOX + "s = seam(f.edges.each[4], rotated(f.edges.each[2]))\nn = s.count", **SIZE)
    ids = [face.id for face in value(done, "f").items]
    detail = done.plan.acts[-1].detail
    assert detail.pairs == tuple(((ids[k], 3), (ids[(k + 1) % 4], 1)) for k in range(4))
    assert measures(done, "n") == [4]


def test_a_tab_may_hang_on_an_edge_that_meets_another():
    """A seam is named first, then the tab that holds it."""
    assert codes(BOX + "s = seam(f.edges.each[4], rotated(f.edges.each[2]))\n"
                       "t = attach(f.edges.each[4], tab(depth=d))",
                 **SIZE) == []


def test_panels_that_touch_are_let_be():
    """Two by two squares.

    The last one touches its neighbour along a whole edge, and work on the net goes on.
    """
    done = made("p = panel(ngon(4, side=a))\nr = attach(p.edges[2], ngon(4, side=a))\n"
                "u = attach(p.edges[3], ngon(4, side=a))\n"
                "v = attach(u.edges[2], ngon(4, side=a))\nw = attach(v.edges[3], rectangle(height=d))\n"
                "k = score(p, line(at(a/2, a/2), at(a/2, a)))\nremove(p, x=left..d, y=bottom..d)", **SIZE)
    assert measures(done, "group(p.width, p.height)") == [126, 120]
    assert math.isclose(region_of(state(done, "p")).area(), 4 * 3600 + 60 * 6 - 36)


def test_what_a_net_depends_on():
    """The size of a net depends on the lengths of all its panels."""
    done = made(BOX, **SIZE)
    assert names_of(value(done, "p.width")) == {"a", "b", "c"}
    assert names_of(value(done, "f[2].edges[1].length")) == {"b"}


def test_a_ring_of_hexagons_against_shapely():
    """Six hexagons about one: as large as seven, and no two of them overlap."""
    done = made("p = panel(ngon(6, side=c))\nf = attach(p.edges.odd, ngon(6, side=c))", **SIZE)
    shapes = [shapely.Polygon([tuple(map(float, s.start)) for s in face.outline])
              for face in state(done, "p").faces]
    one = 3 * math.sqrt(3) / 2 * 20 ** 2      # textbook
    assert near([s.area for s in shapes], [one] * 4, 1e-9)
    assert near([shapely.union_all(shapes).area, float(region_of(state(done, "p")).area())], [4 * one] * 2,
                1e-6)


@pytest.mark.parametrize(("text", "code", "said"), [
    ("g = attach(p.edges[1], rectangle(height=c))", "net-overlaps", "already hangs"),
    ("g = attach(f.first.edges[1], rectangle(height=c))", "net-overlaps", "already hangs"),
    ("g = attach(f[1].edges[4], rectangle(height=2*a))\nh = attach(f[2].edges[2], rectangle(height=c))",
     "net-overlaps",
    "would lie on"),
    ("g = attach(f[1].edges[3], rectangle(height=c), by=5)", "select-range", "has 4 edges"),
    ("g = attach(f[1].edges[3], rectangle(height=c), by=2)", "shape-wrong", "is 60 mm long"),
    ("s = seam(f[1].edges[3], f[2].edges[3])", "seam-unequal", "60 mm would meet one of 40 mm"),
    ("s = seam(f[1].edges[1], f[3].edges[3])", "seam-unequal", "already joined"),
    ("s = seam(f[1].edges[3], f[1].edges[3])", "seam-unequal", "two others"),
    ("s = seam(f[1].edges[3], f[3].edges[3])\nt = seam(f[1].edges[3], f[3].edges[3])", "seam-unequal",
     "two others"),
    ("s = seam(f.edges.each[2], f.edges.each[4][1..3])", "group-sizes", "4 edges cannot meet 3"),
    ("g = p.faces.first.hinge", "attribute-unknown", "hangs on nothing"),
    ("q = sheet(width=a, height=b)\ng = faces(q, x=left..c, y=bottom..top)\n"
     "h = attach(g.edges[2], rectangle(height=c))",
     "piece-wrong", "named on a sheet"),
    ("q = sheet(width=a, height=b)\ng = q.edges", "attribute-unknown", "no edges to attach to")])
def test_what_does_not_fit_a_net_is_refused(text, code, said):
    """What cannot be attached or seamed is refused.

    On a joint, on the net itself, by an edge that is none, unequal edges, edges that are taken, areas of a
    sheet.
    """
    found = wrong(BOX + text, **SIZE)
    assert [f.code for f in found] == [code] and said in found[0].message


def test_marks_are_kept_when_a_net_grows():
    """Scores made on a net stay where they are when panels are hung on the left of it."""
    done = made("p = panel(rectangle(width=a, height=b))\nk = score(p, x=c)\n"
                "f = attach(p.edges[4], rectangle(height=c))\n"
                "u = score(p, x=d)", **SIZE)
    assert ends(marks(done, "k")[0].runs) == [(20, 0, 20,
                                               40)] and ends(marks(done, "u")[0].runs) == [(-14, 0, -14, 40)]

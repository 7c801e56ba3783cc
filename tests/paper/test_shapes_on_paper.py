"""Shapes between points of a sheet: where they run and how they are measured."""
from __future__ import annotations

import math

import mpmath
import pytest

from generator.geometry import Arc, Circle, EllipseArc, Line
from tests.paper.statement_evaluation import codes, ends, made, marks, near, value

SHEET = "p = sheet(width=w, height=h)\n"
SIZE = {"w": 120, "h": 80, "a": 30, "b": 20, "d": 6, "r": 50}


def strokes(shape: str, **more: int) -> tuple:
    """The strokes of a score along one shape."""
    mark, = marks(made(SHEET + f"u = score(p, {shape})", **SIZE, **more), "u")
    assert mark.runs == mark.whole
    return mark.whole


def test_a_line_runs_from_point_to_point():
    """Exact ends, in the order they are named; ``middle`` is half-way across or up."""
    line, = strokes("line(at(left, b), at(middle, middle))")
    assert isinstance(line, Line) and ends([line]) == [(0, 20, 60, 40)]


@pytest.mark.parametrize(("more", "top"),
                         [("bulge=d", (40, 46)), ("bulge=-d", (40, 34)), ("bulge=d, side=right", (40, 34)),
                                           ("bulge=-d, side=right", (40, 46)),
                          ("bulge=d, side=left", (40, 46))])
def test_an_arc_bulges_to_the_left_of_its_way(more, top):
    """From left to right it rises by its bulge in the middle.

    A negative bulge or ``side=right`` turns it over.
    """
    arc, = strokes(f"arc(at(b, 2*b), at(3*b, 2*b), {more})")
    assert isinstance(arc, Arc) and near(arc.at(0.5), top) and ends([arc]) == [(20, 40, 60, 40)]


def test_the_bulge_is_the_sagitta():
    """The arc's radius is (c²/4 + s²)/2s for chord c and sagitta s (textbook)."""
    arc, = strokes("arc(at(a, b), at(3*a, b), bulge=d)")
    assert near([arc.radius], [(30 ** 2 + 6 ** 2) / 12])


@pytest.mark.parametrize(("more", "sign"), [("", 1), (", side=right", -1)])
def test_an_arc_by_its_radius(more, sign):
    """The shorter arc, its sagitta r − √(r² − c²/4) (textbook), to the left of its way unless told."""
    arc, = strokes(f"arc(at(a, 2*b), at(3*a, 2*b), radius=r{more})")
    rise = 50 - math.sqrt(50 ** 2 - 30 ** 2)
    assert near(arc.at(0.5), (60, 40 + sign * rise)) and near([arc.radius], [50])


def test_an_arc_is_as_long_as_its_integral():
    """A mark along an arc knows its length; mpmath integrates the circle to the same."""
    mark, = marks(made(SHEET + "u = score(p, arc(at(a, b), at(3*a, b), bulge=b))", **SIZE), "u")
    radius = mpmath.mpf(30 ** 2 + 20 ** 2) / 40
    half = mpmath.quad(lambda x: radius / mpmath.sqrt(radius ** 2 - x ** 2), [0, 30])
    assert near([mark.length], [2 * half], 1e-8)
    assert set(mark.length.names) == {"a", "b"}


def test_a_quarter_of_an_oval():
    """From the end of one axis to the end of the other.

    Its length by mpmath's elliptic integral (DLMF 19.30, memory).
    """
    mark, = (marks(made(SHEET + "u = score(p, ellipse(at(3*a, b), at(a, 3*b), width=4*a, height=4*b, "
                                "side=right))", **SIZE), "u"))
    curve, = mark.whole
    assert isinstance(curve, EllipseArc)
    a, b = mpmath.mpf(60), mpmath.mpf(40)
    assert near([mark.length], [a * mpmath.ellipe(1 - (b / a) ** 2)], 1e-8)
    assert [size.value for size in mark.sizes] == [120, 80]
    x, y = curve.at(0.5)
    assert near([((float(x) - 30) / 60) ** 2 + ((float(y) - 20) / 40) ** 2], [1])


@pytest.mark.parametrize(("more", "side"), [("", 1), (", side=left", 1), (", side=right", -1)])
def test_an_oval_bulges_to_the_left_of_its_way(more, side):
    """The shorter of the two ways between its points, to the left unless told."""
    curve, = strokes(f"ellipse(at(a, 2*b), at(3*a, 2*b), width=4*a, height=b{more})")
    assert (float(curve.at(0.5).y) - 40) * side > 0


def test_a_circle_about_a_point():
    """Its middle and half its diameter; what the reader sets is the middle and the diameter."""
    mark, = marks(made(SHEET + "u = cut(p, circle(at(a, b), diameter=d))", **SIZE), "u")
    assert isinstance(mark.whole[0], Circle) and ends(mark.whole) == [(30, 20, 3, 0)]
    assert [q.value for q, _ in mark.positions] == [30, 20] and [q.value for q in mark.sizes] == [6]


def test_a_polygon_closes():
    """Its sides run from corner to corner and back to the first."""
    sides = strokes("polygon(at(a, b), at(2*a, b), at(a, 3*b))")
    assert ends(sides) == [(30, 20, 60, 20), (60, 20, 30, 60), (30, 60, 30, 20)]


def test_a_free_shape_is_placed_by_its_first_corner():
    """Its first edge lies level, or turned leftward by an angle; quarter turns stay exact."""
    assert ends(strokes("placed(rectangle(width=a, height=d), at(a, b))")) == [
        (30, 20, 60, 20), (60, 20, 60, 26), (60, 26, 30, 26), (30, 26, 30, 20)]
    assert ends(strokes("placed(rectangle(width=a, height=d), at(a, b), turned=90 deg)")) == [
        (30, 20, 30, 50), (30, 50, 24, 50), (24, 50, 24, 20), (24, 20, 30, 20)]
    first, *_ = strokes("placed(ngon(6, side=b), at(a, b), turned=30 deg)")
    assert near((*first.start, *first.end), (30, 20, 30 + 20 * math.cos(math.radians(30)), 30))


def test_mirrored_shapes():
    """About the upright middle, about a mark and about an edge moved inwards; curves change their side."""
    arc, = strokes("mirrored(arc(at(b, b), at(b, 3*b), bulge=d))")
    assert ends([arc]) == [(100, 20, 100, 60)] and near(arc.at(0.5), (106, 40))
    line, = strokes("mirrored(line(at(b, b), at(a, 3*b)), about=top - a)")
    assert ends([line]) == [(20, 80, 30, 40)]
    done = made(SHEET + "k = score(p, x=a)\nu = cut(p, mirrored(line(at(b, b), at(b, 2*b)), about=k))",
                **SIZE)
    assert ends(marks(done, "u")[0].whole) == [(40, 20, 40, 40)]


def test_the_reader_sets_what_a_mirrored_shape_needs():
    """Its points are set on the other side, with names and form."""
    done = made(SHEET + "u = score(p, mirrored(line(at(left, b), at(a, top))))", **SIZE)
    mark, = marks(done, "u")
    assert [(q.value, side) for q, side in mark.positions] == [(20, "bottom"), (90, "left")]
    assert mark.positions[1][0].form == {"w": 1, "a": -1}


def test_copies_around_a_point():
    """Evenly turned leftward, the first where it is; quarter turns stay exact."""
    done = (made(SHEET + "u = score(p, around(line(at(a + b, 2*b), at(a + b + d, 2*b)), centre=at(2*a, 2*b), "
                         "count=4))", **SIZE))
    assert [ends(m.whole) for m in marks(done, "u")] == [
        [(50, 40, 56, 40)], [(60, 30, 60, 36)], [(70, 40, 64, 40)], [(60, 50, 60, 44)]]
    spokes = (made(SHEET + "u = score(p, around(line(at(2*a, 2*b), at(2*a + d, 2*b)), centre=at(2*a, 2*b), "
                           "count=7))", **SIZE))
    turned = [math.degrees(math.atan2(s.end.y - 40, s.end.x - 60)) % 360 for m in marks(spokes, "u")
              for s in m.whole]
    assert near(turned, [360 * k / 7 for k in range(7)])


def test_shapes_zip_over_groups_of_points():
    """Groups in the places of points make as many shapes; two such groups are paired off."""
    done = made(SHEET + "k = score(p, x=every(a, 3))\n"
                        "u = score(p, line(at(k.bays.left, b), at(k.bays.middle, top)))\n"
                "v = score(p, around(circle(at(k.bays.middle, b), diameter=d), centre=at(middle, middle), "
                "count=2))", **SIZE)
    assert [ends(m.whole) for m in marks(done, "u")] == [[(x, 20, x + 15, 80)] for x in (0, 30, 60)]
    assert len(value(done, "v").items) == 6


@pytest.mark.parametrize(("shape", "code"), [
    ("arc(at(a, b), at(2*a, b))", "call-missing"),
    ("arc(at(a, b), at(2*a, b), bulge=d, radius=r)", "call-missing"),
    ("arc(at(a, b), at(a, b), bulge=d)", "shape-wrong"),
    ("arc(at(a, b), at(3*a, b), radius=b)", "shape-wrong"),
    ("arc(at(a, b), at(3*a, b), bulge=d - d)", "shape-wrong"),
    ("circle(at(a, b), diameter=d - b)", "shape-wrong"),
    ("ellipse(at(a, b), at(3*a, b), width=b, height=b)", "shape-wrong"),
    ("polygon(at(a, b), at(a, b), at(b, b))", "shape-wrong"),
    ("placed(rectangle(height=d), at(a, b))", "shape-wrong"),
    ("arc(at(a, b), at(3*a, b), bulge=4)", "call-kind"),
    ("line(at(a, top), at(left, a), bulge=d)", "call-parameter"), ("circle(a, diameter=d)", "call-kind"),
    ("around(circle(at(a, b), diameter=d), centre=at(a, b), count=1/2)", "call-kind"),
    ("at(a, b)", "call-kind"),
    ("arc(at(a, bottom), at(3*a, bottom), bulge=-b)", "mark-off-piece")])
def test_shapes_that_cannot_be_drawn_are_refused(shape, code):
    """Too few or too many measures, no length, a radius too small, corners that are one: one finding each."""
    assert codes(SHEET + f"u = score(p, {shape})", **SIZE) == [code]


def test_a_curve_may_swing_out_by_the_width_of_a_pencil_line():
    """Less than a tenth of a millimetre beyond the edge is forgiven, and the runs end at the edge."""
    bent = "u = score(p, arc(at(left, b), at(d, 3*b), bulge={}))"
    mark, = marks(made(SHEET + bent.format("h/42"), **SIZE), "u")     # it leaves the paper by about 0.08 mm
    assert len(mark.runs) == 1 and near([mark.runs[0].start.x], [0]) and 20 < float(mark.runs[0].start.y) < 40
    assert -0.1 < mark.whole[0].bounds()[0] < -0.03
    assert codes(SHEET + bent.format("h/30"), **SIZE) == ["mark-off-piece"]


@pytest.mark.parametrize("line", ["line(at(left, b), at(left, 2*b))", "line(at(a, top), at(b, top))",
                                  "arc(at(left, b), at(left, b + d), bulge=d/100)"])
def test_a_mark_along_the_edge_is_refused(line):
    """What lies on the very edge of the paper, or only swings out of it, marks nothing."""
    assert codes(SHEET + f"u = score(p, {line})", **SIZE) == ["mark-off-piece"]
    assert codes(SHEET + "u = cut(p, x=right, y=bottom..b)", **SIZE) == ["mark-off-piece"]
    assert codes(SHEET + f"remove(p, x=right - a..right, y=top - b..top)\nu = score(p, {line})",
                 **SIZE) == ["mark-off-piece"]

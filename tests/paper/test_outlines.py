"""Free shapes as panels of a net: published facts of polygons, and shapely as second opinion."""
from __future__ import annotations

import math

import mpmath
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.paper.statement_evaluation import codes, made, measures, near, outline, value
from tests.time_limits import examples

SIZE = {"a": 100, "b": 60, "c": 40, "d": 8}


def corners(shape: str, **sizes: object) -> list[tuple[float, float]]:
    """The corners of a panel, as floats."""
    return [(float(x), float(y)) for x, y in outline(made(f"p = panel({shape})", **(sizes or SIZE)), "p")]


# Check values, row 11: textbook. n: (circumradius, apothem) for a side of 100; None where the row gives none.
TEXTBOOK = {6: (100.0, 86.60254), 5: (85.06508, 68.81910), 8: (130.65630, None)}


@pytest.mark.parametrize(("n", "facts"), TEXTBOOK.items())
def test_regular_polygons_have_the_published_radii(n, facts):
    """From the middle to a corner and to the middle of a side, for a side of 100 (textbook)."""
    found = corners(f"ngon({n}, side=a)")
    middle = shapely.Polygon(found).centroid
    far = [middle.distance(shapely.Point(c)) for c in found]
    close = [middle.distance(shapely.LineString(pair))
             for pair in zip(found, found[1:] + found[:1], strict=True)]
    assert near(far, [facts[0]] * n, 1e-5)
    assert facts[1] is None or near(close, [facts[1]] * n, 1e-5)


@settings(deadline=None, max_examples=examples(40))
@given(st.integers(3, 40), st.fractions(1, 120, max_denominator=16))
def test_regular_polygons_against_shapely(n, side):
    """Sides equal, area n·a²/(4·tan π/n) by mpmath, convex, counter-clockwise, first side level."""
    found = corners(f"ngon({n}, side=a)", a=side)
    ring = shapely.LinearRing(found)
    area = n * mpmath.mpf(float(side)) ** 2 / (4 * mpmath.tan(mpmath.pi / n))
    polygon = shapely.Polygon(found)
    assert ring.is_ccw and polygon.is_valid and math.isclose(polygon.area, area, rel_tol=1e-12)
    assert math.isclose(polygon.convex_hull.area, polygon.area, rel_tol=1e-12)
    assert near([math.dist(p, q) for p, q in zip(found, found[1:] + found[:1], strict=True)],
                [float(side)] * n, 1e-9)
    assert math.isclose(found[0][1], found[1][1], abs_tol=1e-9) and found[0][0] < found[1][0]


def test_every_edge_of_a_regular_polygon_is_exactly_its_side():
    """Though its corners are about, no edge of a pentagon is.

    It is the named length, first and last alike.
    """
    done = made("p = panel(ngon(5, side=a))", **SIZE)
    edges = [edge.length for edge in value(done, "p.edges").items]
    assert [q.value for q in edges] == [100] * 5 and all(q.exact and q.form == {"a": 1} for q in edges)


def test_a_rectangle():
    """Four exact corners and four exact edges."""
    done = made("p = panel(rectangle(width=a, height=b))", **SIZE)
    assert outline(done, "p") == [(0, 0), (100, 0), (100, 60), (0, 60)]
    assert measures(done, "p.edges.length") == [100, 60, 100, 60]


def test_a_trapezoid():
    """Base, top centred over it, height; legs √(((base − top)/2)² + height²), exact where they are."""
    done = made("p = panel(trapezoid(base=a, top=c, height=c))", **SIZE)
    assert outline(done, "p") == [(0, 0), (100, 0), (70, 40), (30, 40)]
    assert measures(done, "p.edges.length") == [100, 50, 40, 50]      # 30-40-50
    assert math.isclose(shapely.Polygon(corners("trapezoid(base=a, top=b, height=c)")).area,
                        (100 + 60) / 2 * 40)


def test_a_trapezoid_that_widens():
    """A top wider than the base leans outwards; the panel is as wide as its top."""
    done = made("p = panel(trapezoid(base=b, top=a, height=c))", **SIZE)
    assert outline(done, "p") == [(20, 0), (80, 0), (100, 40), (0, 40)] and measures(done, "p.width") == [100]


def test_a_triangle():
    """Its tip over the middle of its base."""
    done = made("p = panel(triangle(base=b, height=c))", **SIZE)
    assert outline(done, "p") == [(0, 0), (60, 0),
                                  (30, 40)] and measures(done, "p.edges.length") == [60, 50, 50]


@pytest.mark.parametrize(("say", "degrees"),
                         [("", 60), (", slope=45 deg", 45), (", slope=90 deg", 90), (", slope=30 deg", 30)])
def test_a_tab_tapers_by_its_slope(say, degrees):
    """On the whole edge, 60 degrees where nothing is said; its depth is the named one."""
    done = made(f"p = panel(rectangle(width=a, height=b))\nt = attach(p.edges[3], tab(depth=d{say}))", **SIZE)
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = [tuple(map(float, s.start)) for s in value(done, "t").outline]
    assert near((x0, y0, x1, y1), (0, 60, 100, 60)) and near((y2, y3), (68, 68))
    assert math.isclose(math.degrees(math.atan2(y2 - y1, x1 - x2)), degrees, abs_tol=1e-9)
    assert math.isclose(x3 - x0, x1 - x2, abs_tol=1e-9)


# Check values, row 12: gore formula, radius 50, 8 gores: half width at the foot, and the quarter meridian.
def test_a_gore_has_the_published_widths():
    """Half width r·cos(s/r)·tan(π/n).

    20.71068 at the foot, 18.17533 at 25 along it, tip at 78.53982 (gore formula).
    """
    found = corners("gore(radius=r, gores=8)", r=50)
    xs, ys = [x for x, _ in found], [y for _, y in found]
    assert math.isclose(max(xs) / 2, 20.71068, abs_tol=1e-5) and math.isclose(max(ys), 78.53982, abs_tol=1e-5)
    # its sides are chords of the curve: the widths at the corners about 25, interpolated by a polynomial
    right = sorted((y, x - max(xs) / 2) for x, y in found if x > max(xs) / 2 + 1e-9)
    about = sorted(right, key=lambda corner: abs(corner[0] - 25))[:6]
    wide = sum(x * math.prod((25 - other) / (y - other) for other, _ in about if other != y)
               for y, x in about)
    assert math.isclose(wide, 18.17533, abs_tol=1e-5)
    middle = max(xs) / 2
    assert all(math.isclose(abs(x - middle), 50 * math.cos(y / 50) * math.tan(math.pi / 8), abs_tol=1e-9)
               for x, y in found)


def test_gores_close_round_a_dome():
    """N gores side by side are as wide at the foot as the polygon about the circle of their radius."""
    found = corners("gore(radius=r, gores=6)", r=40)
    foot = max(x for x, y in found if abs(y) < 1e-9) - min(x for x, y in found if abs(y) < 1e-9)
    assert math.isclose(6 * foot, 2 * 6 * 40 * math.tan(math.pi / 6), abs_tol=1e-9)


@pytest.mark.parametrize(("text", "code"), [
    ("p = panel(ngon(2, side=a))", "call-kind"), ("p = panel(ngon(200, side=a))", "too-much"),
    ("p = panel(ngon(5/2, side=a))", "call-kind"),
    ("p = panel(ngon(5, side=d - a))", "shape-wrong"), ("p = panel(tab(depth=d))", "shape-wrong"),
    ("p = panel(rectangle(width=a, height=b))\nt = attach(p.edges[2], tab(depth=b))", "shape-wrong"),
    ("t = tab(depth=d, slope=5 deg)", "shape-wrong"), ("t = tab(depth=d, slope=91 deg)", "shape-wrong"),
    ("p = panel(trapezoid(base=a, top=a - a, height=b))", "shape-wrong"),
    ("p = panel(gore(radius=a, gores=2))", "call-kind"),
    ("p = panel(rectangle(width=a, height=b))\nt = attach(p.edges[1], gore(radius=a, gores=8))",
     "shape-wrong"),
    ("p = panel(rectangle(width=a, height=b))\nt = attach(p.edges[1], rectangle(width=b, height=d))",
     "shape-wrong")])
def test_outlines_that_cannot_be_are_refused(text, code):
    """Too few sides, no size, slopes that meet, a foot that does not fit its edge."""
    assert codes(text, **SIZE) == [code]

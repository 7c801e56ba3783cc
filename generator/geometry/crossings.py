"""Where two strokes have single points in common."""
from __future__ import annotations

from fractions import Fraction
from itertools import product

from generator.geometry.circle import Circle
from generator.geometry.crossing_points import Meeting, curves_meet, line_meets_curve, lines_meet
from generator.geometry.line import Line
from generator.geometry.nearness import MARGIN, SAME, boxes_touch, settled, share_at
from generator.geometry.overlaps import on_one_curve, overlaps
from generator.geometry.point import Point, Real, gap, is_exact
from generator.geometry.strokes import Stroke

ZERO, ONE = Fraction(0), Fraction(1)


def crossings(a: Stroke, b: Stroke) -> tuple[tuple[Real, Real], ...]:
    """The shares (of a, of b) at which the two cross or touch, ordered along ``a``; exact for exact lines.

    Points of a stretch where one lies on the other are not among them, see
    :func:`overlaps`.
    """
    if not boxes_touch(a.box, b.box):
        return ()
    if isinstance(a, Line) and isinstance(b, Line) and a.exact and b.exact:
        return _exact_lines(a, b)
    found = _at_ends(a, b)
    if not (found and isinstance(a, Line) and isinstance(b, Line)):     # two lines meet once
        found += [m for m in _between(a, b) if all(gap(a.at(m[0]), a.at(f[0])) > SAME for f in found)]
    common = overlaps(a, b)
    return tuple(sorted(m for m in found if not _covered(a, m[0], common)))


def meeting_point(a: Stroke, ta: Real, b: Stroke, tb: Real) -> Point:
    """The place of a crossing as well as it is known: an exact end or line before a computed point of a curve."""
    places = [a.start] if ta == 0 else [a.end] if ta == 1 else []
    places += [b.start] if tb == 0 else [b.end] if tb == 1 else []
    exact = [p for p in places if is_exact(p)]
    if exact:
        return exact[0]
    lines = [s.at(t) for s, t in ((a, ta), (b, tb)) if isinstance(s, Line)]
    return (places + lines + [a.at(ta)])[0] if not (lines and is_exact(lines[0])) else lines[0]


def _exact_lines(a: Line, b: Line) -> tuple[tuple[Fraction, Fraction], ...]:
    if _clear_of(a, b) or _clear_of(b, a):
        return ()
    (ax, ay), (bx, by) = a.step, b.step
    x, y = b.start.x - a.start.x, b.start.y - a.start.y
    if not ax and not by and ay and bx:         # upright and level: the usual case, one division each
        ta, tb = y / ay, -x / bx
    elif not ay and not bx and ax and by:
        ta, tb = x / ax, -y / by
    else:
        turn = ax * by - ay * bx
        if not turn:
            return _end_on_end(a, b)
        ta, tb = (x * by - y * bx) / turn, (x * ay - y * ax) / turn
    return ((ta, tb),) if 0 <= ta <= 1 and 0 <= tb <= 1 else ()


def _clear_of(a: Line, b: Line) -> bool:
    """Whether ``a`` plainly lies on one side of the endless line through ``b``."""
    (dx, dy), (x, y, *_), (x0, y0, x1, y1) = b.direction, b.ends, a.ends
    first, last = dx * (y0 - y) - dy * (x0 - x), dx * (y1 - y) - dy * (x1 - x)
    return min(first, last) > MARGIN or max(first, last) < -MARGIN


def _end_on_end(a: Line, b: Line) -> tuple[tuple[Fraction, Fraction], ...]:
    """Parallel lines have a single common point only where both end in it and lead away from each other."""
    (ax, ay), (bx, by) = a.direction, b.direction
    for (ta, p), (tb, q) in product(_ends(a), _ends(b)):
        if p == q:
            same_way = ax * bx + ay * by > 0
            return ((ta, tb),) if same_way == (ta != tb) else ()
    return ()


def _at_ends(a: Stroke, b: Stroke) -> list[Meeting]:
    """Ends of one stroke that lie on the other."""
    found: list[Meeting] = []
    for t, point in _ends(a):
        on_b = share_at(b, point)
        if on_b is not None:
            found.append((t, on_b))
    for t, point in _ends(b):
        on_a = share_at(a, point)
        if on_a is not None and all(gap(point, a.at(f[0])) > SAME for f in found):
            found.append((on_a, t))
    return found


def _ends(stroke: Stroke) -> tuple[tuple[Fraction, Point], ...]:
    if isinstance(stroke, Circle):
        return ()
    return (ZERO, stroke.start), (ONE, stroke.end)


def _between(a: Stroke, b: Stroke) -> list[Meeting]:
    """Meetings away from the ends."""
    if isinstance(a, Line) and isinstance(b, Line):
        found = lines_meet(a, b)
    elif isinstance(a, Line):
        found = line_meets_curve(a, b)
    elif isinstance(b, Line):
        found = [(ta, tb) for tb, ta in line_meets_curve(b, a)]
    else:
        found = [] if on_one_curve(a, b) else curves_meet(a, b)
    return [(settled(a, ta), settled(b, tb)) for ta, tb in found if _within(a, ta) and _within(b, tb)]


def _within(stroke: Stroke, t: float) -> bool:
    return 0 <= t <= 1 if isinstance(stroke, Circle) else 0 < t < 1


def _covered(a: Stroke, t: Real, common: tuple[tuple[Real, Real], ...]) -> bool:
    """Whether a point of ``a`` belongs to a stretch, its ends included."""
    point = a.at(t)
    return any(t0 <= t <= t1 or gap(point, a.at(t0)) <= SAME or gap(point, a.at(t1)) <= SAME for t0, t1 in common)

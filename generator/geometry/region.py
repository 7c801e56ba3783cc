"""Areas bounded by strokes: what lies inside, how large they are, the largest upright rectangle in one."""
from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from functools import cached_property
from itertools import chain, pairwise

import shapely
from shapely.geometry.base import BaseGeometry

from generator.dataclass import dataclass
from generator.geometry.arc import Conic
from generator.geometry.ellipse import Circle
from generator.geometry.overlay import area_without
from generator.geometry.plane import Box, Line, Point, Real, ShapeError, absolute, as_point, floats
from generator.geometry.shapes import polygon
from generator.geometry.strokes import (
    Stroke,
    bounds_of,
    parameter_at,
    reversed_path,
    ring_points,
)
from generator.geometry.tolerances import (
    BOX_MARGIN,
    COINCIDENT,
    CONTACT_TOLERANCE,
    EQUAL_AREA_SHARE,
    FINE_CHORD_TOLERANCE,
)


@dataclass(frozen=True)
class Region:
    """The area within ``outline`` and outside ``holes``, each a closed loop that does not cross itself.

    Raises :class:`ShapeError` where a loop does not end where it begins.
    """

    outline: tuple[Stroke, ...]
    holes: tuple[tuple[Stroke, ...], ...] = ()

    def __post_init__(self) -> None:
        if not all(closed(loop) for loop in (self.outline, *self.holes)):
            raise ShapeError("the outline of an area must end where it begins")

    @staticmethod
    def rectangle(x0: Real, y0: Real, x1: Real, y1: Real) -> Region:
        """From one corner to the opposite one, in either order; counter-clockwise."""
        (x0, y0), (x1, y1) = as_point((x0, y0)), as_point((x1, y1))
        left, right, bottom, top = min(x0, x1), max(x0, x1), min(y0, y1), max(y0, y1)
        if left == right or bottom == top:
            raise ShapeError("an area needs a width and a height")
        return Region(polygon((Point(left, bottom), Point(right, bottom), Point(right, top),
                               Point(left, top))))

    @cached_property
    def strokes(self) -> tuple[Stroke, ...]:
        """Every stroke of the edge, the outline's first."""
        return (*self.outline, *chain.from_iterable(self.holes))

    def contains(self, point: Point) -> bool:
        """Whether ``point`` lies inside; a point of the edge does not."""
        return is_within(self.strokes, *floats(point)) and not self.on_edge(point)

    def on_edge(self, point: Point) -> bool:
        """Whether ``point`` lies on the outline or on the edge of a hole."""
        return any(parameter_at(s, point) is not None for s in self.strokes)

    def area(self) -> Real:
        """In mm²; exact for exact straight edges."""
        return absolute(signed_area(self.outline)) - sum(absolute(signed_area(hole)) for hole in self.holes)

    def perimeter(self) -> Real:
        """The length of the whole edge in mm, holes included; exact where every stroke's is."""
        return sum(s.length() for s in self.strokes)

    def bounds(self) -> Box:
        """Left, bottom, right, top."""
        return bounds_of(self.outline)

    def polygon(self, chord_error: float = FINE_CHORD_TOLERANCE) -> shapely.Polygon:
        """The area for the geometry library, its curves replaced by chords."""
        return shapely.Polygon(ring_points(self.outline, chord_error),
                               [ring_points(hole, chord_error) for hole in self.holes])


def closed(strokes: Sequence[Stroke]) -> bool:
    """Whether each stroke begins where the one before it ends, the first where the last ends."""
    return bool(strokes) and all(math.dist(strokes[k - 1].ends[2:], s.ends[:2]) <= COINCIDENT
                                 for k, s in enumerate(strokes))


def signed_area(strokes: Sequence[Stroke]) -> Real:
    """The area of a closed loop in mm², positive when counter-clockwise; exact for exact straight strokes.

    The sum of (x0 + x1)/2 · (y1 − y0) over the chords, to which level ones add nothing, and of the caps.
    """
    area: Real = Fraction(0)
    for s in strokes:
        (x0, y0), (x1, y1) = s.start, s.end
        if y0 != y1:
            area += x0 * (y1 - y0) if x0 == x1 else (x0 + x1) * (y1 - y0) / 2
        if isinstance(s, Conic):
            area += _segment_area(s)
    return area


def turns_left(strokes: Sequence[Stroke]) -> bool:
    """Whether a closed loop is travelled counter-clockwise."""
    area = 0.0
    for s in strokes:
        x0, y0, x1, y1 = s.ends
        area += (x0 + x1) * (y1 - y0) / 2 + (_segment_area(s) if isinstance(s, Conic) else 0)
    return area > 0


def counter_clockwise(strokes: Sequence[Stroke]) -> tuple[Stroke, ...]:
    """A closed loop travelled counter-clockwise: as it is, or reversed."""
    return tuple(strokes) if turns_left(strokes) else reversed_path(strokes)


def _segment_area(curve: Conic) -> float:
    """The area between a curve and its chord, in mm²: rx·ry·(s − sin s)/2 for the sweep s."""
    s = curve.sweep
    lift = s - math.sin(s) if abs(s) > 0.1 else s ** 3 / 6 * (1 - s * s / 20
                                                              * (1 - s * s / 42 * (1 - s * s / 72)))
    return float(curve.axes[0]) * float(curve.axes[1]) * lift / 2


def is_within(strokes: Iterable[Stroke], x: float, y: float) -> bool:
    """Whether a point away from the edge lies within loops, by counting the strokes to its right."""
    inside = False
    for stroke in strokes:
        left, bottom, right, top = stroke.box
        if bottom - BOX_MARGIN <= y <= top + BOX_MARGIN and x <= right + BOX_MARGIN:
            inside ^= _changes_side(stroke, x, y, x < left - BOX_MARGIN)
    return inside


def _changes_side(stroke: Stroke, x: float, y: float, clear_left: bool) -> bool:
    """Whether a stroke parts a point from all that lies far to the right.

    A curve is its chord and the cap between them: the chord's answer is
    turned round within the cap, which is the whole disc on the bulging side.
    """
    if isinstance(stroke, Circle):
        return _inside_conic(stroke, x, y)
    _, y0, _, y1 = stroke.ends
    rises, spans = y1 > y, (y0 > y) != (y1 > y)
    if clear_left or (isinstance(stroke, Line) and not spans):
        return spans
    left_of_chord = _is_left(stroke, x, y)
    flips = spans and left_of_chord == rises
    if isinstance(stroke, Line) or not _inside_conic(stroke, x, y):
        return flips
    return flips ^ (left_of_chord == (stroke.sweep < 0))


def _inside_conic(curve: Conic, x: float, y: float) -> bool:
    return math.hypot(*curve.in_frame(Point(x, y))) < 1


def _is_left(stroke: Stroke, x: float, y: float) -> bool:
    """Whether a point lies to the left of the chord.

    On a level chord it counts as above, as it does where heights are
    compared; on any other the chord's and the cap's answers turn together.
    """
    x0, y0, x1, y1 = stroke.ends
    turn = (x1 - x0) * (y - y0) - (y1 - y0) * (x - x0)
    return turn > 0 or (turn == 0 and x1 > x0)


MAX_CANDIDATES = 40           # values tried each way; of more, those are left out that lie closest to others


def largest_rectangle(free: BaseGeometry, across: Sequence[Real], up: Sequence[Real]) -> Box | None:
    """The largest rectangle (mm²) within ``free`` whose sides lie at values of ``across`` and ``up``.

    None where none fits.

    The sides come out as they are given, exact where those are. Of equal ones
    the leftmost, then the lowest is taken.
    """
    best: Box | None = None
    most = 0.0
    xs, ys = _candidates(free, across, up)
    columns = [0.0 if (span := _tallest_span(free, low, high, ys)) is None else float(span[1] - span[0])
               for low, high in pairwise(xs)]
    for k, low in enumerate(xs):
        for last in range(len(xs) - 1, k, -1):
            # it is no higher than the lowest of the columns that it goes across
            if float(xs[last] - low) * min(columns[k:last]) <= most:
                continue
            found = _tallest_span(free, low, xs[last], ys)
            area = float((xs[last] - low) * (found[1] - found[0])) if found is not None else 0.0
            if found is not None and area > most * (1 + EQUAL_AREA_SHARE) + CONTACT_TOLERANCE:
                best, most = (low, found[0], xs[last], found[1]), area
    return best


def tallest_rectangles(free: BaseGeometry, across: Sequence[Real], up: Sequence[Real]) -> Iterator[Box]:
    """The tallest rectangle within ``free`` between every two of ``across``, its ends among ``up``."""
    xs, ys = _candidates(free, across, up)
    for k, low in enumerate(xs):
        for high in reversed(xs[k + 1:]):
            found = _tallest_span(free, low, high, ys)
            if found is not None:
                yield low, found[0], high, found[1]


def _candidates(free: BaseGeometry, across: Sequence[Real],
                up: Sequence[Real]) -> tuple[list[Real], list[Real]]:
    """The values each way that may be tried."""
    left, bottom, right, top = free.bounds
    return _limited_candidates(across, left, right), _limited_candidates(up, bottom, top)


def _tallest_span(free: BaseGeometry, low: Real, high: Real, ys: Sequence[Real]) -> tuple[Real, Real] | None:
    """The longest stretch of ``ys`` over which a strip from ``low`` to ``high`` is free."""
    left, right = float(low) + CONTACT_TOLERANCE, float(high) - CONTACT_TOLERANCE
    if right <= left or len(ys) < 2:
        return None
    strip = shapely.box(left, float(ys[0]) - 1, right, float(ys[-1]) + 1)
    blocked = sorted((part.bounds[1], part.bounds[3]) for part in area_without(strip, free).geoms)
    best, floor = None, None
    for bottom, top in [*blocked, (float("inf"), float("inf"))]:
        if floor is not None and bottom > floor:
            inside = [y for y in ys if floor - CONTACT_TOLERANCE <= float(y) <= bottom + CONTACT_TOLERANCE]
            if len(inside) > 1 and (best is None or inside[-1] - inside[0] > best[1] - best[0]):
                best = inside[0], inside[-1]
        floor = top if floor is None else max(floor, top)
    return best


def _limited_candidates(values: Sequence[Real], low: float, high: float) -> list[Real]:
    """In order, each once, none outside of ``low`` to ``high``, and no more than :data:`MAX_CANDIDATES`.

    Exact ones are kept before others.
    """
    ordered: list[Real] = []
    for value in sorted(values, key=lambda v: (float(v), not isinstance(v, Fraction))):
        if low - CONTACT_TOLERANCE <= float(value) <= high + CONTACT_TOLERANCE and (
                not ordered or float(value) - float(ordered[-1]) > CONTACT_TOLERANCE):
            ordered.append(value)
    while len(ordered) > MAX_CANDIDATES:
        gaps = [(isinstance(ordered[k], Fraction), float(ordered[k + 1] - ordered[k - 1]), k)
                for k in range(1, len(ordered) - 1)]
        ordered.pop(min(gaps)[2])
    return ordered

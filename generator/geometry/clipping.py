"""A stroke parted wherever others cross, touch or cover it, and its parts inside or outside an area."""
from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import cached_property
from itertools import pairwise

from generator.dataclass import dataclass
from generator.geometry.crossings import crossing_point, crossings
from generator.geometry.ellipse import Circle
from generator.geometry.plane import Point, Real, as_float, gap
from generator.geometry.region import Region, is_within
from generator.geometry.strokes import Stroke, boxes_touch, overlaps
from generator.geometry.tolerances import COINCIDENT


@dataclass(frozen=True, eq=False)
class StrokePart:
    """The part of ``stroke`` from share ``t0`` to ``t1``.

    ``edge`` is a stroke of the others it lies on, or None.
    """

    stroke: Stroke
    t0: Real
    t1: Real
    start: Point
    end: Point
    edge: Stroke | None = None

    @cached_property
    def middle(self) -> tuple[float, float]:
        """A point well within the bit, in floats: it decides for the whole bit."""
        return self.stroke.near((as_float(self.t0) + as_float(self.t1)) / 2)

    def cut(self) -> Stroke:
        """The bit as a stroke of its own."""
        if self.t0 == 0 and self.t1 == 1 and self.start == self.stroke.start and self.end == self.stroke.end:
            return self.stroke
        return self.stroke.between(self.t0, self.t1, self.start, self.end)

    def joined(self, after: StrokePart) -> StrokePart:
        """The bit and the one that continues it on the same stroke."""
        beyond = 1 if after.t0 < self.t1 else 0     # past the beginning of a circle
        return StrokePart(self.stroke, self.t0, after.t1 + beyond, self.start, after.end, self.edge)

    def goes_on_in(self, after: StrokePart) -> bool:
        """Whether ``after`` is the next part of the same stroke (of a circle, also past its beginning)."""
        if self.stroke is not after.stroke:
            return False
        return self.t1 == after.t0 or (isinstance(self.stroke, Circle) and self.t1 == 1 and after.t0 == 0)


def split_stroke(stroke: Stroke, others: Iterable[Stroke]) -> tuple[StrokePart, ...]:
    """The bits of ``stroke`` in order.

    Between two partings it lies wholly inside, outside or on the others' edge.
    """
    near = [o for o in others if boxes_touch(stroke.box, o.box)]
    stretches = [(t0, t1, o) for o in near for t0, t1 in overlaps(stroke, o)]
    stops = [(t, crossing_point(stroke, t, o, s)) for o in near for t, s in crossings(stroke, o)]
    stops += [(t, _known_end(stroke.at(t), o)) for t0, t1, o in stretches for t in (t0, t1)]
    stops = _distinct_stops(stroke,
                            sorted((s for s in stops if 0 < s[0] < 1), key=lambda stop: as_float(stop[0])))
    return tuple(StrokePart(stroke, t0, t1, p, q, _edge_between(t0, t1, stretches))
                 for (t0, p), (t1, q) in pairwise(stops))


def _known_end(place: Point, other: Stroke) -> Point:
    """The end of ``other`` at which a stretch begins or ends, rather than a computed point."""
    return next((p for p in (other.start, other.end) if gap(p, place) <= COINCIDENT), place)


def _distinct_stops(stroke: Stroke, stops: Sequence[tuple[Real, Point]]) -> list[tuple[Real, Point]]:
    """Both ends and the partings between them, those left out that repeat the one before."""
    kept: list[tuple[Real, Point]] = [(Fraction(0), stroke.start)]
    for stop in stops:
        if gap(stop[1], kept[-1][1]) > COINCIDENT and gap(stop[1], stroke.end) > COINCIDENT:
            kept.append(stop)
    return [*kept, (Fraction(1), stroke.end)]


def _edge_between(t0: Real, t1: Real, stretches: Sequence[tuple[Real, Real, Stroke]]) -> Stroke | None:
    middle = (t0 + t1) / 2
    return next((other for s0, s1, other in stretches if s0 <= middle <= s1), None)


def joined_parts(parts: Sequence[StrokePart]) -> tuple[StrokePart, ...]:
    """Bits of one stroke in order, neighbours that go on in each other made one again."""
    joined: list[StrokePart] = []
    for part in parts:
        if joined and joined[-1].goes_on_in(part):
            joined[-1] = joined[-1].joined(part)
        else:
            joined.append(part)
    if len(joined) > 1 and joined[-1].goes_on_in(joined[0]):
        joined[0] = joined.pop().joined(joined[0])
    return tuple(joined)


def clipped_inside(stroke: Stroke, region: Region, keep_edge: bool = False) -> tuple[Stroke, ...]:
    """The parts within the open area, in order; parts that lie on its edge only with ``keep_edge``."""
    return _clipped(stroke, region, True, keep_edge)


def clipped_outside(stroke: Stroke, region: Region, keep_edge: bool = False) -> tuple[Stroke, ...]:
    """The parts beyond the area, in order; parts that lie on its edge only with ``keep_edge``."""
    return _clipped(stroke, region, False, keep_edge)


def _clipped(stroke: Stroke, region: Region, within: bool, keep_edge: bool) -> tuple[Stroke, ...]:
    parts = split_stroke(stroke, region.strokes)
    return tuple(part.cut() for part in joined_parts([b for b in parts
                                                    if _belongs(b, region, within, keep_edge)]))


def _belongs(part: StrokePart, region: Region, within: bool, keep_edge: bool) -> bool:
    if part.edge is not None:
        return keep_edge
    return is_within(region.strokes, *part.middle) == within

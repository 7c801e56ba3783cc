"""The shape of a guide: what is cut out so that a stylus can follow its edge.

A stylus touches the edge with the side of its tip, so the edge lies beside
the line by the radius of the tip: a guide that is traced around is smaller,
an opening larger (common practice, no source).
"""
from __future__ import annotations

import math
from collections.abc import Sequence

from generator.drawing.pen import Path
from generator.geometry import Arc, Circle, EllipseArc, Line, Point, Stroke

OUTSIDE, INSIDE = "outside", "inside"
RUN = 6.0           # mm that the edge goes on beyond both ends, for the stylus to run in and out
BODY = 16.0         # mm of paper behind the edge, to hold it by
ARM = 5.0           # mm of a tick from the line into the guide
CROSS = 4.0         # mm: half of the long arm of the cross that shows an oval's axes, and a little
ROUND = math.radians(340)   # of an arc and its runs together: the guide must stay one piece with its ends apart
CHORD = 0.002       # mm by which the edge of an oval may leave its chords


def is_whole(stroke: Stroke) -> bool:
    """True for a circle: a guide all round."""
    return isinstance(stroke, Circle)


def edge_of(stroke: Stroke, tip: float, edge: str) -> Path:
    """What the stylus follows: the line moved by the ``tip``'s radius, and lengthened at both ends. From right to left.

    Raises ValueError where the curve is too narrow for the tip.
    """
    by = tip if edge == INSIDE else -tip
    if isinstance(stroke, Circle):
        return (Circle(stroke.center, _left(float(stroke.radius) + by)),)
    if isinstance(stroke, Arc):
        return (_arc(stroke, by),)
    return _oval(stroke, by)


def _left(radius: float) -> float:
    if radius <= 0:
        raise ValueError("the curve is narrower than the tip of the stylus")
    return radius


def _arc(stroke: Arc, by: float) -> Arc:
    cx, cy, radius, *_ = stroke.frame
    run = min(RUN / radius, max(0.0, (ROUND - abs(stroke.sweep)) / 2))
    half, radius = abs(stroke.sweep) / 2 + run, _left(radius + by)
    ends = [Point(cx + side * radius * math.sin(half), cy + radius * math.cos(half)) for side in (1, -1)]
    return Arc(ends[0], ends[1], -radius * (1 - math.cos(half)))


def _oval(stroke: EllipseArc, by: float) -> Path:
    """The parallel of an ellipse is none: short straight lines that leave it by no more than :data:`CHORD`."""
    cx, cy, ux, uy, vx, vy = stroke.frame
    rx, ry = math.hypot(ux, uy), math.hypot(vx, vy)
    _left(min(rx, ry) ** 2 / max(rx, ry) + by)
    run = min(RUN / min(rx, ry), max(0.0, (ROUND - abs(stroke.sweep)) / 2))
    first, last = stroke.first + stroke.sweep + math.copysign(run, stroke.sweep), stroke.first - math.copysign(run, stroke.sweep)
    widest = 4 * math.asin(math.sqrt(min(CHORD / (max(rx, ry) + abs(by)), 1.0) / 2))
    count = max(2, math.ceil(abs(last - first) / widest))
    points = []
    for k in range(count + 1):
        t = first + (last - first) * k / count
        c, s = math.cos(t), math.sin(t)
        nx, ny = c * ry * ux / rx + s * rx * vx / ry, c * ry * uy / rx + s * rx * vy / ry
        size = math.hypot(nx, ny)
        points.append(Point(cx + c * ux + s * vx + by * nx / size, cy + c * uy + s * vy + by * ny / size))
    return _through(points)


def _through(points: Sequence[Point]) -> Path:
    return tuple(Line(a, b) for a, b in zip(points, points[1:], strict=False))


def outline_of(edge: Path, kind: str) -> tuple[Path, tuple[Path, ...]]:
    """What is cut out along an edge: an outline, and the openings in it."""
    if is_whole(edge[0]):
        if kind == OUTSIDE:
            return edge, ()
        side = float(edge[0].radius) + BODY
        corners = [Point(x * side, y * side) for x, y in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
        return _through((*corners, corners[0])), (edge,)
    start, end = edge[0].start, edge[-1].end
    boxes = [tuple(map(float, stroke.bounds())) for stroke in edge]
    left, low, right, high = (pick(b[k] for b in boxes) for k, pick in enumerate((min, min, max, max)))
    if kind == OUTSIDE:
        around = (end, Point(end[0], low - BODY), Point(start[0], low - BODY), start)
    else:
        around = (end, Point(left - BODY, end[1]), Point(left - BODY, high + BODY), Point(right + BODY, high + BODY),
                  Point(right + BODY, start[1]), start)
    return (*edge, *_through(around)), ()


def ticks_of(stroke: Stroke, kind: str) -> tuple[Line, ...]:
    """From the two ends and the middle of the line into the guide, and the axis; of a circle both axes."""
    into = 1 if kind == INSIDE else -1
    if isinstance(stroke, Circle):
        radius = float(stroke.radius)
        far = radius + ARM if kind == INSIDE else 0.0
        return tuple(Line(Point(x * radius, y * radius), Point(x * far, y * far))
                     for x, y in ((1, 0), (0, 1), (-1, 0), (0, -1)))
    ticks = []
    for share, size in ((0, ARM), (1, ARM), (0.5, BODY / 2)):
        x, y = map(float, stroke.at(share))
        along = stroke.tangent(share)       # the guide lies to its right when the edge is run around
        ticks.append(Line(Point(x, y), Point(x - into * along.y * size, y + into * along.x * size)))
    return tuple(ticks)


def axes_of(stroke: Stroke, edge: Path, kind: str) -> tuple[Line, ...]:
    """A small cross on the guide that shows how the axes of an oval lie; nothing for a circle, which has them all ways."""
    if not isinstance(stroke, EllipseArc):
        return ()
    boxes = [tuple(map(float, line.bounds())) for line in edge]
    y = max(b[3] for b in boxes) + BODY - CROSS if kind == INSIDE else min(b[1] for b in boxes) - BODY + CROSS
    x = float(stroke.at(0.5)[0])
    _, _, ux, uy, vx, vy = stroke.frame
    arms = ((ux, uy, CROSS - 0.5), (vx, vy, (CROSS - 0.5) / 2))
    return tuple(Line(Point(x - dx * size / r, y - dy * size / r), Point(x + dx * size / r, y + dy * size / r))
                 for dx, dy, size in arms for r in (math.hypot(dx, dy),))

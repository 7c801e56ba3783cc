"""Plane geometry of pictures, in floats: boxes, intervals, and views from a piece's own frame.

A view turns a piece as it lies, scales and shifts it. Exact numbers end here.
"""
from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from generator.dataclass import dataclass
from generator.drawing.pen import Path
from generator.geometry import Arc, Circle, EllipseArc, Line, Point, Real, Stroke, Transform
from generator.geometry.arrays import BoolArray, FloatArray
from generator.geometry.plane import floats
from generator.geometry.tolerances import PLACE_TOLERANCE
from generator.paper.records import Orientation
from generator.units import TOLERANCE

XY = tuple[float, float]
Segment = tuple[XY, XY]
FLATNESS = 0.25         # mm by which segments may leave a curve


class Box(NamedTuple):
    """``x0 <= x1`` and ``y0 <= y1``, in mm of the picture, y upward."""

    x0: float
    y0: float
    x1: float
    y1: float

    @property
    def width(self) -> float:
        """From left to right."""
        return self.x1 - self.x0

    @property
    def height(self) -> float:
        """From bottom to top."""
        return self.y1 - self.y0

    @property
    def middle(self) -> XY:
        """The centre."""
        return (self.x0 + self.x1) / 2, (self.y0 + self.y1) / 2

    def grown(self, by: float) -> Box:
        """Larger by ``by`` on every side (smaller where negative)."""
        return Box(self.x0 - by, self.y0 - by, self.x1 + by, self.y1 + by)

    def moved(self, dx: float, dy: float) -> Box:
        """Shifted."""
        return Box(self.x0 + dx, self.y0 + dy, self.x1 + dx, self.y1 + dy)

    def overlaps(self, other: Box) -> bool:
        """True when they share more than an edge."""
        return self.x0 < other.x1 and other.x0 < self.x1 and self.y0 < other.y1 and other.y0 < self.y1

    def within(self, other: Box) -> bool:
        """True when this box lies in ``other``, its edge included."""
        return other.x0 <= self.x0 and other.y0 <= self.y0 and self.x1 <= other.x1 and self.y1 <= other.y1

    def holds(self, point: tuple[Real, Real]) -> bool:
        """True for a point in the box or on its edge."""
        return self.x0 <= point[0] <= self.x1 and self.y0 <= point[1] <= self.y1


def centred_box(at: tuple[Real, Real], width: float, height: float) -> Box:
    """The box of that size around ``at``."""
    x, y = float(at[0]), float(at[1])
    return Box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)


def bounding_box(points: Iterable[tuple[Real, Real]]) -> Box:
    """The smallest box that holds all points. Raises ValueError for none."""
    xs, ys = zip(*((float(p[0]), float(p[1])) for p in points), strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


def united_box(boxes: Iterable[Box]) -> Box:
    """The smallest box that holds all boxes. Raises ValueError for none."""
    x0, y0, x1, y1 = zip(*boxes, strict=True)
    return Box(min(x0), min(y0), max(x1), max(y1))


def strokes_box(strokes: Iterable[Stroke]) -> Box:
    """The smallest box that holds all strokes. Raises ValueError for none."""
    return united_box(Box(*map(float, stroke.bounds())) for stroke in strokes)


def polygon_loops(shape: BaseGeometry) -> tuple[tuple[Line, ...], ...]:
    """Every ring of a polygon (or of several) as straight strokes."""
    loops = []
    for part in shapely.get_parts(shape):
        if isinstance(part, Polygon) and not part.is_empty:
            for ring in (part.exterior, *part.interiors):
                corners = [Point(x, y) for x, y in ring.coords[:-1]]
                ends = zip(corners, corners[1:] + corners[:1], strict=True)
                loops.append(tuple(Line(a, b) for a, b in ends if a != b))
    return tuple(loops)


def flattened(path: Path) -> Iterator[Segment]:
    """A path as straight segments."""
    for stroke in path:
        yield from pairwise(map(floats, stroke.flattened(FLATNESS)))


def rectangle_path(box: Box) -> tuple[Line, ...]:
    """The edges of a box, counter-clockwise from its lower left corner."""
    corners = (Point(box.x0, box.y0), Point(box.x1, box.y0), Point(box.x1, box.y1), Point(box.x0, box.y1))
    return tuple(Line(corners[k], corners[(k + 1) % 4]) for k in range(4))


def boxes_crossed(boxes: FloatArray, segments: FloatArray) -> BoolArray:
    """Of boxes (N × 4) and segments (M × 2 × 2), N × M: whether the segment crosses the inside of the box.

    By Liang and Barsky's clipping, of those pairs whose own bounds overlap: few of many.
    """
    left, low, right, high = boxes[:, :, None].swapaxes(0, 1)
    (least_x, least_y), (most_x, most_y) = (each.T for each in _bounds(segments))
    crossed = np.asarray((least_x < right) & (most_x > left) & (least_y < high) & (most_y > low), bool)
    which, line = np.nonzero(crossed)
    start, step = segments[line, 0], segments[line, 1] - segments[line, 0]
    below, above = boxes[which, :2] - start, boxes[which, 2:] - start
    level = step == 0.0
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        shares = below / step, above / step
    first = np.where(level, np.where((below < 0.0) & (above > 0.0), 0.0, np.inf), np.minimum(*shares))
    last = np.where(level, np.inf, np.maximum(*shares))
    crossed[which, line] = np.maximum(first[:, 0], first[:, 1]).clip(min=0.0) < np.minimum(
        last[:, 0], last[:, 1]).clip(max=1.0)
    return crossed


def _bounds(segments: FloatArray) -> tuple[FloatArray, FloatArray]:
    """The least and the most x and y of segments (M × 2 × 2), each M × 2."""
    return np.minimum(segments[:, 0], segments[:, 1]), np.maximum(segments[:, 0], segments[:, 1])


def any_crosses(boxes: FloatArray, segments: FloatArray) -> BoolArray:
    """Of each box (N × 4), whether any segment (M × 2 × 2) crosses its inside."""
    if not len(boxes):
        return np.zeros(0, bool)
    least, most = _bounds(segments)
    near = (least < boxes[:, 2:].max(axis=0)) & (most > boxes[:, :2].min(axis=0))
    near = near[:, 0] & near[:, 1]
    return np.asarray(boxes_crossed(boxes, segments[near]).any(axis=1), bool)


def segments_cross(one: FloatArray, other: FloatArray) -> BoolArray:
    """Of segments (N × 2 × 2) and others (M × 2 × 2), N × M: whether they cross, not only touch."""
    def sides(line: FloatArray, point: FloatArray) -> FloatArray:
        """Of lines and points (arrays of x and y at the front), on which side each lies of each."""
        (x, y), (dx, dy) = line[0], line[1] - line[0]
        return np.asarray(dx * (point[1] - y) - dy * (point[0] - x), float)
    # written out by x and y, which is many times as fast as along an axis of two
    these, those = one.transpose(1, 2, 0)[..., None], other.transpose(1, 2, 0)[..., None, :]
    return np.asarray((sides(these, those[0]) * sides(these, those[1]) < 0)
                      & (sides(those, these[0]) * sides(those, these[1]) < 0), bool)


def overlap_free(middles: Sequence[float], sizes: Sequence[float], clearance: float, low: float,
                 high: float) -> bool:
    """True when intervals of these sizes, in order along a line, keep ``clearance`` within bounds."""
    last = low - clearance
    for middle, size in zip(middles, sizes, strict=True):
        if middle - size / 2 < last + clearance - TOLERANCE:
            return False
        last = middle + size / 2
    return last <= high + TOLERANCE


def spread_apart(middles: Sequence[float], sizes: Sequence[float], clearance: float, low: float,
                 high: float) -> list[float] | None:
    """New middles near the old ones (which ascend), so that intervals keep clear; None without room.

    Intervals that would touch become one block, which lies where its members'
    wishes are met on average (pool adjacent violators).
    """
    if sum(sizes) + clearance * (len(sizes) - 1) > high - low:
        return None

    def start(targets: list[float], size: float) -> float:
        return min(max(sum(targets) / len(targets), low), high - size)
    blocks: list[tuple[list[float], float]] = []    # (wished starts, each less what lies before it; size)
    for middle, size in zip(middles, sizes, strict=True):
        block = ([middle - size / 2], size)
        while blocks and start(*blocks[-1]) + blocks[-1][1] + clearance > start(*block):
            targets, before = blocks.pop()
            block = (targets + [w - before - clearance for w in block[0]], before + clearance + block[1])
        blocks.append(block)
    placed: list[float] = []
    for block in blocks:
        at = start(*block)
        for _ in block[0]:
            size = sizes[len(placed)]
            placed.append(at + size / 2)
            at += size + clearance
    return placed


# quarters clockwise → (a, b, d, e) of  x' = a·x + b·y,  y' = d·x + e·y
_QUARTERS = ((1, 0, 0, 1), (0, 1, -1, 0), (-1, 0, 0, -1), (0, -1, 1, 0))


@dataclass(frozen=True, slots=True)
class View:
    """``scale`` is mm of the picture for a mm of paper; ``dx`` and ``dy`` shift what was turned and scaled.

    With scale 1 and no shift it gives coordinates *as seen*: mm of paper, the
    piece lying as the reader has it.
    """

    orientation: Orientation = Orientation()
    scale: float = 1.0
    dx: float = 0.0
    dy: float = 0.0

    @property
    def mirrors(self) -> bool:
        """True where the other side of the paper is seen."""
        return self.orientation.over

    def point(self, point: Point) -> Point:
        """Where a point of the own frame lies, in floats."""
        a, b, d, e = _QUARTERS[self.orientation.quarters % 4]
        x, y = floats(point)
        across, up = a * x + b * y, d * x + e * y
        if self.orientation.over:
            across = -across
        return Point(across * self.scale + self.dx, up * self.scale + self.dy)

    def stroke(self, stroke: Stroke) -> Stroke:
        """A stroke of the own frame, as it lies in the picture."""
        if isinstance(stroke, Circle):
            return self.circle(stroke)
        if isinstance(stroke, Line):
            return Line(self.point(stroke.start), self.point(stroke.end))
        if isinstance(stroke, Arc):
            bulge = float(stroke.bulge) * self.scale
            return Arc(self.point(stroke.start), self.point(stroke.end), -bulge if self.mirrors else bulge)
        turned = stroke.moved(self._turn())
        return EllipseArc(self.point(stroke.start), self.point(stroke.end), float(turned.rx) * self.scale,
                          float(turned.ry) * self.scale, turned.left, float(turned.tilt))

    def circle(self, circle: Circle) -> Circle:
        """A circle of the own frame, as it lies in the picture."""
        return Circle(self.point(circle.center), float(circle.radius) * self.scale)

    def path(self, strokes: tuple[Stroke, ...]) -> Path:
        """Each stroke, in order."""
        return tuple(map(self.stroke, strokes))

    def box(self, box: Box) -> Box:
        """A box of the own frame; still a box, since pieces lie in quarter turns."""
        return bounding_box((self.point(Point(box.x0, box.y0)), self.point(Point(box.x1, box.y1))))

    def after_turning(self) -> View:
        """The rest of this view, for what is already turned as the piece lies."""
        return View(Orientation(), self.scale, self.dx, self.dy)

    def _turn(self) -> Transform:
        turn = Transform.quarter(-self.orientation.quarters)
        return turn.then(Transform.mirror_x()) if self.orientation.over else turn


def zoomed_view(orientation: Orientation, scale: float, corner: Point, at: Point) -> View:
    """``scale`` times as large as seen, with the seen point ``corner`` at ``at`` in the picture."""
    return View(orientation, scale, at[0] - corner[0] * scale, at[1] - corner[1] * scale)


def joined_paths(strokes: tuple[Stroke, ...]) -> tuple[Path, ...]:
    """Strokes as paths: each goes on while the next stroke begins where the last ended."""
    paths: list[list[Stroke]] = []
    for stroke in strokes:
        if paths and not isinstance(stroke, Circle) and same_place(paths[-1][-1].end, stroke.start):
            paths[-1].append(stroke)
        else:
            paths.append([stroke])
    return tuple(map(tuple, paths))


def same_place(a: Point, b: Point) -> bool:
    """Whether two points, mm, are one to all but rounding."""
    (x0, y0), (x1, y1) = floats(a), floats(b)
    return abs(x0 - x1) < PLACE_TOLERANCE and abs(y0 - y1) < PLACE_TOLERANCE

"""Boxes with sides parallel to the picture's, and what touches what."""
from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

XY = tuple[float, float]


class Box(NamedTuple):
    """``x0 <= x1`` and ``y0 <= y1``, in mm of the picture, y upward."""

    x0: float
    y0: float
    x1: float
    y1: float

    @property
    def width(self) -> float:
        return self.x1 - self.x0

    @property
    def height(self) -> float:
        return self.y1 - self.y0

    @property
    def middle(self) -> XY:
        return (self.x0 + self.x1) / 2, (self.y0 + self.y1) / 2

    def grown(self, by: float) -> "Box":
        """Larger by ``by`` on every side (smaller where negative)."""
        return Box(self.x0 - by, self.y0 - by, self.x1 + by, self.y1 + by)

    def moved(self, dx: float, dy: float) -> "Box":
        return Box(self.x0 + dx, self.y0 + dy, self.x1 + dx, self.y1 + dy)

    def overlaps(self, other: "Box") -> bool:
        """True when they share more than an edge."""
        return self.x0 < other.x1 and other.x0 < self.x1 and self.y0 < other.y1 and other.y0 < self.y1

    def within(self, other: "Box") -> bool:
        """True when this box lies in ``other``, its edge included."""
        return other.x0 <= self.x0 and other.y0 <= self.y0 and self.x1 <= other.x1 and self.y1 <= other.y1

    def holds(self, point: XY) -> bool:
        """True for a point in the box or on its edge."""
        return self.x0 <= point[0] <= self.x1 and self.y0 <= point[1] <= self.y1


def centred(at: XY, width: float, height: float) -> Box:
    """The box of that size around ``at``."""
    return Box(at[0] - width / 2, at[1] - height / 2, at[0] + width / 2, at[1] + height / 2)


def around(points: Iterable[XY]) -> Box:
    """The smallest box that holds all points. Raises ValueError for none."""
    xs, ys = zip(*((float(p[0]), float(p[1])) for p in points), strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


def union(boxes: Iterable[Box]) -> Box:
    """The smallest box that holds all boxes. Raises ValueError for none."""
    x0, y0, x1, y1 = zip(*boxes, strict=True)
    return Box(min(x0), min(y0), max(x1), max(y1))


def segment_meets(box: Box, a: XY, b: XY) -> bool:
    """True when the line from ``a`` to ``b`` runs through the inside of ``box`` (Liang and Barsky's clipping)."""
    first, last = 0.0, 1.0
    dx, dy = b[0] - a[0], b[1] - a[1]
    for step, low, high in ((dx, box.x0 - a[0], box.x1 - a[0]), (dy, box.y0 - a[1], box.y1 - a[1])):
        if step == 0.0:
            if low >= 0.0 or high <= 0.0:
                return False
            continue
        t0, t1 = low / step, high / step
        if t0 > t1:
            t0, t1 = t1, t0
        first, last = max(first, t0), min(last, t1)
        if first >= last:
            return False
    return True


def segments_cross(a: XY, b: XY, c: XY, d: XY) -> bool:
    """True when the straight lines from ``a`` to ``b`` and from ``c`` to ``d`` cross, not only touch."""
    def side(p: XY, q: XY, r: XY) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])
    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0

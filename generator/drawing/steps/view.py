"""From a piece's own frame to the picture: turned as the piece lies, scaled, shifted. Exact numbers end here."""
from __future__ import annotations

from dataclasses import dataclass

from generator.drawing.pen import Path
from generator.drawing.steps.boxes import Box, around
from generator.geometry import Arc, Circle, EllipseArc, Line, Point, Stroke, Transform
from generator.paper.records import Orientation

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
        x, y = float(point[0]), float(point[1])
        across, up = a * x + b * y, d * x + e * y
        if self.orientation.over:
            across = -across
        return Point(across * self.scale + self.dx, up * self.scale + self.dy)

    def stroke(self, stroke: Stroke) -> Stroke:
        """A stroke of the own frame, as it lies in the picture."""
        if isinstance(stroke, Line):
            return Line(self.point(stroke.start), self.point(stroke.end))
        if isinstance(stroke, Arc):
            bulge = float(stroke.bulge) * self.scale
            return Arc(self.point(stroke.start), self.point(stroke.end), -bulge if self.mirrors else bulge)
        if isinstance(stroke, Circle):
            return Circle(self.point(stroke.center), float(stroke.radius) * self.scale)
        turned = stroke.moved(self._turn())
        return EllipseArc(self.point(stroke.start), self.point(stroke.end), float(turned.rx) * self.scale,
                          float(turned.ry) * self.scale, turned.left, float(turned.tilt))

    def path(self, strokes: tuple[Stroke, ...]) -> Path:
        """Each stroke, in order."""
        return tuple(map(self.stroke, strokes))

    def box(self, box: Box) -> Box:
        """A box of the own frame; still a box, since pieces lie in quarter turns."""
        return around((self.point(Point(box.x0, box.y0)), self.point(Point(box.x1, box.y1))))

    def after_turning(self) -> "View":
        """The rest of this view, for what is already turned as the piece lies."""
        return View(Orientation(), self.scale, self.dx, self.dy)

    def _turn(self) -> Transform:
        turn = Transform.quarter(-self.orientation.quarters)
        return turn.then(Transform.mirror_x()) if self.orientation.over else turn


def zoom(orientation: Orientation, scale: float, corner: Point, at: Point) -> View:
    """``scale`` times as large as seen, with the seen point ``corner`` at ``at`` in the picture."""
    return View(orientation, scale, at[0] - corner[0] * scale, at[1] - corner[1] * scale)


def joined(strokes: tuple[Stroke, ...]) -> tuple[Path, ...]:
    """Strokes as paths: each goes on while the next stroke begins where the last ended."""
    paths: list[list[Stroke]] = []
    for stroke in strokes:
        if paths and not isinstance(stroke, Circle) and _meet(paths[-1][-1].end, stroke.start):
            paths[-1].append(stroke)
        else:
            paths.append([stroke])
    return tuple(map(tuple, paths))


def _meet(a: Point, b: Point) -> bool:
    return abs(a[0] - b[0]) < 1e-6 and abs(a[1] - b[1]) < 1e-6

"""Short ways to draw the furniture of a page."""
from __future__ import annotations

from collections.abc import Iterable

from generator.drawing.boxes import Box
from generator.drawing.lettering import Pair
from generator.drawing.pen import Label, Role
from generator.drawing.recording import RecordingPen
from generator.drawing.templates import helvetica
from generator.drawing.templates.page import FURNITURE, Heavy
from generator.geometry import Arc, Line, Point

THIN, BROAD = Role.TICK, Role.EDGE


class Ink(RecordingPen):
    """A pen for rules, words and boxes in mm of the page."""

    def line(self, x0: float, y0: float, x1: float, y1: float, role: Role = THIN) -> None:
        """A straight line."""
        self.stroke((Line(Point(x0, y0), Point(x1, y1)),), role, False)

    def rectangle(self, box: Box, role: Role = THIN) -> None:
        """A frame."""
        self.stroke(polygon(((box.x0, box.y0), (box.x1, box.y0), (box.x1, box.y1), (box.x0, box.y1))), role, False)

    def words(self, text: str, x: float, y: float, size: float = 3.2, align: str = "start", upright: bool = False,
              quiet: bool = False, bold: bool = False) -> None:
        """One line of words; ``y`` is its middle height."""
        self.label((Heavy if bold else Label)(Pair.plain(text), Point(x, y), size, upright, quiet, align))

    def text(self, text: str, x: float, y: float, most: float, size: float = 3.2, leading: float = 1.35) -> float:
        """Words in lines no wider than ``most``, the first around ``y``; gives the height of the next line."""
        for line in helvetica.wrapped(text, size, most):
            self.words(line, x, y, size)
            y -= leading * size
        return y

    def page(self) -> None:
        """Begin the group that belongs to no layer."""
        self.begin(FURNITURE)


def polygon(points: Iterable[tuple[float, float]]) -> tuple[Line, ...]:
    """A closed path."""
    corners = [Point(*map(float, p)) for p in points]
    return tuple(Line(a, b) for a, b in zip(corners, (*corners[1:], corners[0]), strict=True))


def rounded(box: Box, radius: float) -> tuple[Line | Arc, ...]:
    """A rectangle with round corners, counter-clockwise."""
    path: list[Line | Arc] = []
    bulge = -radius * (1 - 0.5 ** 0.5)      # a quarter's sagitta, to the right of travel: outward
    corners = ((box.x1, box.y0, 0, 1), (box.x1, box.y1, -1, 0), (box.x0, box.y1, 0, -1), (box.x0, box.y0, 1, 0))
    at = Point(box.x0 + radius, box.y0)
    for x, y, dx, dy in corners:
        # we come along the direction turned right from (dx, dy)
        before = Point(x - dy * radius, y + dx * radius)
        after = Point(x + dx * radius, y + dy * radius)
        path += [Line(at, before), Arc(before, after, bulge)]
        at = after
    return tuple(path)


def fitted(text: str, size: float, most: float, bold: bool = False) -> str:
    """A text cut short with "…" where it is wider than ``most``."""
    if helvetica.width(text, size, bold) <= most:
        return text
    while text and helvetica.width(text + "…", size, bold) > most:
        text = text[:-1].rstrip()
    return text + "…"

"""Short ways to draw the furniture of a page.

Ticks true to size: along the edges of a page, and the bars that are measured first.
"""
from __future__ import annotations

from collections.abc import Iterable

from generator.drawing.backends import helvetica
from generator.drawing.lettering import Pair
from generator.drawing.pen import Label, Role
from generator.drawing.recording import RecordingPen
from generator.drawing.steps.boxes import Box
from generator.drawing.templates.page import FURNITURE, HeavyDrawing
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
        self.label((HeavyDrawing if bold else Label)(Pair.plain(text), Point(x, y), size, upright, quiet, align))

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


SHORT, MIDDLE, LONG = 1.4, 2.2, 3.4     # mm: every 10, every 50, every 100 mm
APART = 0.8                             # mm between the line of the ticks and the plan's window
LETTERS = 2.4                           # mm
BAR = 100.0                             # mm
INCHES = 4
INCH = 25.4                             # mm
TICK = 3.0                              # mm that a bar's ticks stand out


def edge_ticks(ink: Ink, window: Box) -> None:
    """A tick every 10 mm along the left and the lower side of a page, a long one with its number every 100 mm."""
    x, y = window.x0 - APART, window.y0 - APART
    for upright, length in ((False, window.width), (True, window.height)):
        steps = int(length // 10)
        if upright:
            ink.line(x, window.y0, x, window.y0 + 10 * steps)
        else:
            ink.line(window.x0, y, window.x0 + 10 * steps, y)
        for k in range(steps + 1):
            size = LONG if k % 10 == 0 else MIDDLE if k % 5 == 0 else SHORT
            at = (window.y0 if upright else window.x0) + 10 * k
            if upright:
                ink.line(x, at, x - size, at)
            else:
                ink.line(at, y, at, y - size)
            if k % 10 == 0 and k:
                _number(ink, f"{10 * k} mm", at, x if upright else y, upright)


def _number(ink: Ink, text: str, at: float, edge: float, upright: bool) -> None:
    off = edge - MIDDLE - 1.5
    if upright:
        ink.words(text, off, at - 1.2, LETTERS, "end", upright=True, quiet=True)
    else:
        ink.words(text, at - 1.2, off, LETTERS, "end", quiet=True)


def bar(ink: Ink, x: float, y: float, length: float, parts: int, words: str, upright: bool = False) -> None:
    """A bar from (x, y) to the right, or upward: a tick at each of its parts, broad ends, its length beside it.

    Ticks rise to the upper side of a level bar, to the left of an upright one.
    """
    for k in range(parts + 1):
        at, end = length * k / parts, k in (0, parts)
        size = 2 * TICK if end else TICK * (1.3 if 2 * k == parts else 0.8)
        line = (x - size, y + at, x, y + at) if upright else (x + at, y, x + at, y + size)
        ink.line(*line, role=BROAD if end else THIN)
    ink.line(x, y, *((x, y + length) if upright else (x + length, y)), role=BROAD)
    if upright:
        ink.words(words, x + 3.2, y + length / 2, 4.0, "middle", upright=True)
    else:
        ink.words(words, x + length / 2, y - 3.2, 4.0, "middle")

"""A pen that remembers, so that one picture can be drawn by any back end, and be measured."""
from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from itertools import groupby
from typing import Any

from generator.dataclass import dataclass
from generator.drawing.lettering import SMALL_LETTER_SIZE, text_block_size
from generator.drawing.pen import (
    Badge,
    Contour,
    Dimension,
    FoldedFace,
    Label,
    Leader,
    Path,
    Pen,
    Role,
    Surface,
    Symbol,
)
from generator.drawing.picture_geometry import Box, bounding_box, centred_box, strokes_box, united_box
from generator.geometry import Circle, Point
from generator.geometry.plane import floats

BADGE_DIAMETER = 5.0         # mm across
ORIGIN_RADIUS = 0.8        # mm: radius of the small circle at a running origin
ARROW_LENGTH = 2.4         # mm: length of an arrow head
ARROW_WIDTH_SHARE = 0.35         # width of an arrow by its length (ISO 129-1: narrow, about 20°; from memory)


@dataclass(frozen=True, slots=True)
class RecordedCall:
    """One call of the pen: its method and its arguments, in the group ``process``."""

    process: str
    method: str
    arguments: tuple[Any, ...]        # the parameters of the method, which has types of its own

    def draw(self, pen: Pen) -> None:
        """Give the call to another pen."""
        getattr(pen, self.method)(*self.arguments)

    def box(self) -> Box:
        """What the primitive covers, without the width of its lines."""
        return _BOXES[self.method](*self.arguments)


@dataclass(frozen=True, slots=True)
class Recording:
    """A picture ``width`` × ``height`` mm and all that is in it, in order."""

    width: float
    height: float
    items: tuple[RecordedCall, ...]

    @property
    def frame(self) -> Box:
        """The whole picture."""
        return Box(0.0, 0.0, self.width, self.height)

    def of(self, *methods: str) -> Iterator[RecordedCall]:
        """The primitives drawn by these methods of the pen."""
        return (item for item in self.items if item.method in methods)

    def replay(self, pen: Pen) -> None:
        """Draw everything with another pen, group by group."""
        for process, items in groupby(self.items, key=lambda item: item.process):
            pen.begin(process)
            for item in items:
                item.draw(pen)
            pen.end()

    def bounds(self) -> Box:
        """The smallest box round everything. Raises ValueError for an empty recording."""
        return united_box(item.box() for item in self.items)


class RecordingPen(Pen):
    """The pen that front ends draw with; :meth:`recording` gives what was drawn."""

    def __init__(self) -> None:
        self._items: list[RecordedCall] = []
        self._process = ""

    def recording(self, width: float, height: float) -> Recording:
        """All that was drawn, as a picture of that size in mm."""
        return Recording(width, height, tuple(self._items))

    def _add(self, method: str, *given: object) -> None:
        self._items.append(RecordedCall(self._process, method, given))

    def begin(self, process: str) -> None:
        """Record: :meth:`Pen.begin`."""
        self._process = process

    def end(self) -> None:
        """Record: :meth:`Pen.end`."""
        self._process = ""

    def area(self, loops: tuple[Path, ...], surface: Surface, colour: str = "") -> None:
        """Record: :meth:`Pen.area`."""
        self._add("area", loops, surface, *filter(None, (colour,)))

    def stroke(self, path: Path, role: Role, fresh: bool) -> None:
        """Record: :meth:`Pen.stroke`."""
        self._add("stroke", path, role, fresh)

    def face(self, loops: tuple[Path, ...], face: FoldedFace) -> None:
        """Record: :meth:`Pen.face`."""
        self._add("face", loops, face)

    def contour(self, path: Path, contour: Contour) -> None:
        """Record: :meth:`Pen.contour`."""
        self._add("contour", path, contour)

    def hole(self, circle: Circle, fresh: bool) -> None:
        """Record: :meth:`Pen.hole`."""
        self._add("hole", circle, fresh)

    def label(self, label: Label) -> None:
        """Record: :meth:`Pen.label`."""
        self._add("label", label)

    def dimension(self, dimension: Dimension) -> None:
        """Record: :meth:`Pen.dimension`."""
        self._add("dimension", dimension)

    def leader(self, leader: Leader) -> None:
        """Record: :meth:`Pen.leader`."""
        self._add("leader", leader)

    def badge(self, badge: Badge) -> None:
        """Record: :meth:`Pen.badge`."""
        self._add("badge", badge)

    def symbol(self, symbol: Symbol) -> None:
        """Record: :meth:`Pen.symbol`."""
        self._add("symbol", symbol)


def label_box(label: Label) -> Box:
    """The box kept free for a label's words."""
    width, height = text_block_size(label.words, label.size)
    return centred_box(label.at, height, width) if label.upright else centred_box(label.at, width, height)


def badge_box(badge: Badge) -> Box:
    """The box of a number's circle."""
    return centred_box(badge.at, BADGE_DIAMETER, BADGE_DIAMETER)


def symbol_apex(symbol: Symbol) -> Point:
    """The point of a sign's curve that is farthest from the line between its ends."""
    (x0, y0), (x1, y1) = floats(symbol.start), floats(symbol.end)
    size = math.hypot(x1 - x0, y1 - y0) or 1.0
    return Point((x0 + x1) / 2 - (y1 - y0) / size * symbol.bow, (y0 + y1) / 2 + (x1 - x0) / size * symbol.bow)


def symbol_box(symbol: Symbol) -> Box:
    """A box round a sign's curve and its arrow heads."""
    return bounding_box((symbol.start, symbol.end,
                         symbol_apex(symbol))).grown(ARROW_LENGTH * ARROW_WIDTH_SHARE)


def _dimension_box(dimension: Dimension) -> Box:
    ends = (dimension.origin, *dimension.stops, *(p for line in dimension.extensions for p in line))
    return bounding_box(ends)


_BOXES: dict[str, Callable[..., Box]] = {
    "area": lambda loops, *_surface: united_box(map(strokes_box, loops)),
    "stroke": lambda path, _role, _fresh: strokes_box(path),
    "face": lambda loops, _face: united_box(map(strokes_box, loops)),
    "contour": lambda path, _contour: strokes_box(path),
    "hole": lambda circle, _fresh: strokes_box((circle,)),
    "label": label_box,
    "dimension": _dimension_box,
    "leader": lambda leader: bounding_box(leader.points),
    "badge": badge_box,
    "symbol": symbol_box,
}

BADGE_LETTER_SIZE = SMALL_LETTER_SIZE     # of a badge's figures

"""A pen that remembers, so that one picture can be drawn by any back end, and be measured."""
from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

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
from generator.drawing.picture_geometry import Box, bounding_box, centred_box, united_box
from generator.geometry import Circle

BADGE_DIAMETER = 5.0         # mm across
ORIGIN_RADIUS = 0.8        # mm: radius of the small circle at a running origin
ARROW_LENGTH = 2.4         # mm: length of an arrow head
# share of an arrow's length that it is wide (ISO 129-1: narrow, about 20°; from memory)
ARROW_WIDTH_SHARE = 0.35


@dataclass(frozen=True, slots=True)
class RecordedCall:
    """One call of the pen: its method and what it was given, in the group ``process``."""

    process: str
    method: str
    given: tuple[Any, ...]      # what the method takes

    def draw(self, pen: Pen) -> None:
        """Give the call to another pen."""
        getattr(pen, self.method)(*self.given)

    def box(self) -> Box:
        """What the primitive covers, without the width of its lines."""
        return _BOXES[self.method](*self.given)


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
        process = None
        for item in self.items:
            if item.process != process:
                if process is not None:
                    pen.end()
                pen.begin(item.process)
                process = item.process
            item.draw(pen)
        if process is not None:
            pen.end()

    def bounds(self) -> Box:
        """The smallest box round everything. Raises ValueError for an empty recording."""
        return united_box(item.box() for item in self.items)


class RecordingPen(Pen):
    """The pen that front ends draw with; :meth:`recording` gives what it was told."""

    def __init__(self) -> None:
        self._items: list[RecordedCall] = []
        self._process = ""

    def recording(self, width: float, height: float) -> Recording:
        """All that was drawn, as a picture of that size in mm."""
        return Recording(width, height, tuple(self._items))

    def _add(self, method: str, *given: object) -> None:
        self._items.append(RecordedCall(self._process, method, given))

    def begin(self, process: str) -> None:
        """Start a group."""
        self._process = process

    def end(self) -> None:
        """End the group."""
        self._process = ""

    def area(self, loops: tuple[Path, ...], surface: Surface) -> None:
        """Record an area."""
        self._add("area", loops, surface)

    def stroke(self, path: Path, role: Role, fresh: bool) -> None:
        """Record a line."""
        self._add("stroke", path, role, fresh)

    def face(self, loops: tuple[Path, ...], face: FoldedFace) -> None:
        """Record a face of folded paper."""
        self._add("face", loops, face)

    def contour(self, path: Path, contour: Contour) -> None:
        """Record a line of folded paper."""
        self._add("contour", path, contour)

    def hole(self, circle: Circle, fresh: bool) -> None:
        """Record a punched hole."""
        self._add("hole", circle, fresh)

    def label(self, label: Label) -> None:
        """Record words."""
        self._add("label", label)

    def dimension(self, dimension: Dimension) -> None:
        """Record a dimension line."""
        self._add("dimension", dimension)

    def leader(self, leader: Leader) -> None:
        """Record a leader line."""
        self._add("leader", leader)

    def badge(self, badge: Badge) -> None:
        """Record a number in a circle."""
        self._add("badge", badge)

    def symbol(self, symbol: Symbol) -> None:
        """Record a sign."""
        self._add("symbol", symbol)


def label_box(label: Label) -> Box:
    """The box kept free for a label's words."""
    wide, high = text_block_size(label.words, label.size)
    return centred_box(label.at, high, wide) if label.upright else centred_box(label.at, wide, high)


def badge_box(badge: Badge) -> Box:
    """The box of a number's circle."""
    return centred_box(badge.at, BADGE_DIAMETER, BADGE_DIAMETER)


def symbol_box(symbol: Symbol) -> Box:
    """A box round a sign's curve and its arrow heads."""
    (x0, y0), (x1, y1) = symbol.start, symbol.end
    dx, dy = x1 - x0, y1 - y0
    size = max((dx * dx + dy * dy) ** 0.5, 1e-9)
    top = ((x0 + x1) / 2 - dy / size * symbol.bow, (y0 + y1) / 2 + dx / size * symbol.bow)
    return bounding_box((symbol.start, symbol.end, top)).grown(ARROW_LENGTH * ARROW_WIDTH_SHARE)


def _path_box(path: Path) -> Box:
    return united_box(Box(*map(float, stroke.bounds())) for stroke in path)


def _dimension_box(dimension: Dimension) -> Box:
    ends = (dimension.origin, *dimension.stops, *(p for line in dimension.extensions for p in line))
    return bounding_box(ends)


_BOXES: dict[str, Callable[..., Box]] = {
    "area": lambda loops, *_: united_box(map(_path_box, loops)),
    "stroke": lambda path, *_: _path_box(path),
    "face": lambda loops, *_: united_box(map(_path_box, loops)),
    "contour": lambda path, *_: _path_box(path),
    "hole": lambda circle, *_: Box(*map(float, circle.bounds())),
    "label": label_box,
    "dimension": _dimension_box,
    "leader": lambda leader: bounding_box(leader.points),
    "badge": badge_box,
    "symbol": symbol_box,
}

BADGE_LETTER_SIZE = SMALL_LETTER_SIZE     # of a badge's figures

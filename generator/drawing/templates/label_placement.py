"""Words on a drawing at true size, placed where they cover no line and no other words."""
from __future__ import annotations

from collections.abc import Iterable, Sequence

import shapely

from generator.drawing.backends import helvetica
from generator.drawing.lettering import Pair
from generator.drawing.pen import Label
from generator.drawing.steps.boxes import Box, centred
from generator.drawing.templates.processes import MarkPosition, ProcessedPiece
from generator.geometry import Point, Region, Stroke
from generator.locale import ENGLISH, Locale
from generator.units import as_text, word

SIZE = 2.8          # mm: height of the letters' em, as small print in a book
HIGH = 1.0          # of the em: the box kept free for a line of words
CLEAR = 0.7         # mm between words and lines
SHARES = (0.12, 0.2, 0.3, 0.08, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9)
CHORD = 0.3         # mm by which a curve may leave the chords that words are held against


class LabelPlacer:
    """Places labels one after the other; what finds no room is left out, since its measure stands elsewhere."""

    def __init__(self, piece: ProcessedPiece, area: Region):
        self.labels: list[Label] = []
        self._area = area.polygon(CHORD)
        self._lines = shapely.union_all([shapely.LineString([tuple(map(float, p)) for p in stroke.flattened(CHORD)])
                                         for stroke in piece.strokes()])
        shapely.prepare(self._area)
        shapely.prepare(self._lines)
        self._taken: list[Box] = []

    def place(self, text: str, points: Iterable[Point], upright: bool = False, size: float = SIZE) -> bool:
        """Put words around the first of these points where there is room; tells whether there was."""
        wide, high = helvetica.width(text, size) + 2 * CLEAR, HIGH * size + 2 * CLEAR
        for at in points:
            box = centred(at, high, wide) if upright else centred(at, wide, high)
            if self._free(box):
                self._taken.append(box)
                self.labels.append(Label(Pair.plain(text), at, size, upright))
                return True
        return False

    def _free(self, box: Box) -> bool:
        room = shapely.box(*box)
        return (not any(box.overlaps(other) for other in self._taken)
                and shapely.contains_properly(self._area, room) and not shapely.intersects(self._lines, room))


def write_places(words: LabelPlacer, places: Sequence[MarkPosition], system: str, size: float = SIZE,
                 locale: Locale = ENGLISH) -> None:
    """What the reader sets, at each line: above it, read from below or from the right (ISO 129-1; from memory)."""
    for place in places:
        text = as_text(word(place.position, system), locale)
        upright = abs(float(place.stroke.start[0]) - float(place.stroke.end[0])) < 1e-6
        words.place(text, _beside(place.stroke, upright, size), upright, size)


def _beside(stroke: Stroke, upright: bool, size: float) -> Iterable[Point]:
    """Places along a line, from its lower or left end, first above it as the words are read, then below."""
    low, high = sorted((tuple(map(float, stroke.start)), tuple(map(float, stroke.end))))
    off = HIGH * size / 2 + CLEAR + 0.1
    for side in (1, -1):
        for share in SHARES:
            x, y = (a + (b - a) * share for a, b in zip(low, high, strict=True))
            yield Point(x - side * off, y) if upright else Point(x, y + side * off)


def spread(box: Box, rows: int = 9) -> Iterable[Point]:
    """Places all over a box, its middle first."""
    steps = sorted(range(rows), key=lambda k: abs(k - rows // 2))
    for b in steps:
        for a in steps:
            yield Point(box.x0 + box.width * (a + 0.5) / rows, box.y0 + box.height * (b + 0.5) / rows)

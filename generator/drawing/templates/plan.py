"""Words on a drawing at true size, placed where they cover no line and no other words.

The front end of the template: a piece at true size, told to a pen, one group a process.
"""
from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from types import MappingProxyType
from typing import Any

import numpy as np
import numpy.typing as npt
import shapely

from generator.dataclass import dataclass, replace
from generator.drawing import lettering
from generator.drawing.lettering import DualText
from generator.drawing.pen import Label, Path, Role, Surface
from generator.drawing.picture_geometry import Box, View, joined_paths, united_box
from generator.drawing.process_table import HOLE_PROCESSES, INNER_EDGES, LINE_PROCESSES, PROCESS_LAYERS
from generator.drawing.recording import Recording, RecordingPen
from generator.drawing.templates.page import TemplateFace
from generator.drawing.templates.processes import (
    GluedLoops,
    MarkPosition,
    PointsByCell,
    PrickMarks,
    ProcessedPiece,
    distinct_points,
    edge_prick_marks,
    hole_centres,
    line_prick_marks,
    processed_piece,
)
from generator.geometry import Circle, Point, Region, ShapeError, Stroke
from generator.geometry.arrays import FloatArray
from generator.geometry.plane import floats
from generator.geometry.tolerances import LABEL_CHORD_TOLERANCE, MIN_PIECE_AREA, PLACE_TOLERANCE
from generator.locale import ENGLISH, Locale
from generator.paper.records import Plan
from generator.units import as_text, display_measure, memoised

LABEL_SIZE = 2.8          # mm: height of the letters' em, as small print in a book
LABEL_HEIGHT = 1.0          # of the em: the box kept free for a line of words
LABEL_CLEARANCE = 0.7         # mm between words and lines
SCRAP_REACH = np.array((0.5, 0.8, 1.1, 1.4, 1.8, 2.3, 3.0, 3.8))   # em from what is cut away to its letter
CLOCK = np.array([(math.cos(turn * math.pi / 6), math.sin(turn * math.pi / 6)) for turn in range(12)])
LABEL_POSITIONS = np.array((0.12, 0.2, 0.3, 0.08, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9))[:, None]
FIRST_TRIED = 5         # places; most words find room at one of them


class LabelPlacer:
    """Places labels one after the other; what finds no room is left out: its measure stands elsewhere."""

    def __init__(self, piece: ProcessedPiece, area: Region, drawn: Iterable[Stroke] = ()):
        """``drawn`` are lines besides those of the piece."""
        self.labels: list[Label] = []
        self._area = area.polygon(LABEL_CHORD_TOLERANCE)
        self._lines = shapely.STRtree(line_strings((*piece.strokes(), *drawn)))
        shapely.prepare(self._area)
        self._taken: list[Box] = []

    def place(self, text: str, points: FloatArray, upright: bool = False, size: float = LABEL_SIZE,
              beside: bool = False) -> bool:
        """Put words around the first of these points (n × 2) where there is room, ``beside`` the paper too.

        Tells whether there was room.
        """
        wide = lettering.line_width(text, size) + 2 * LABEL_CLEARANCE
        high = LABEL_HEIGHT * size + 2 * LABEL_CLEARANCE
        half = np.array((high, wide) if upright else (wide, high)) / 2
        boxes = np.hstack((points - half, points + half))
        for k in self._clear_of_lines(boxes, beside):
            box = Box(*boxes[k].tolist())
            if not any(box.overlaps(other) for other in self._taken):
                self._taken.append(box)
                self.labels.append(Label(DualText.plain(text), Point(*points[k].tolist()), size, upright))
                return True
        return False

    def _clear_of_lines(self, boxes: FloatArray, beside: bool) -> Iterator[int]:
        """Which boxes (n × 4) lie in the area, or ``beside`` it, and on no line; the first tried alone."""
        for start, end in ((0, FIRST_TRIED), (FIRST_TRIED, len(boxes))):
            rooms = np.asarray(shapely.box(*boxes[start:end].T), dtype=object)
            clear = np.full(len(rooms), True) if beside else np.asarray(
                shapely.contains_properly(self._area, rooms), bool)
            inside = np.flatnonzero(clear)
            clear[inside[self._lines.query(rooms[inside], "intersects")[0]]] = False
            yield from (np.flatnonzero(clear) + start).tolist()


def line_strings(strokes: Iterable[Stroke]) -> npt.NDArray[np.object_]:
    """Lines in straight parts, as Shapely has them."""
    runs = [np.array([floats(p) for p in stroke.flattened(LABEL_CHORD_TOLERANCE)]) for stroke in strokes]
    numbers = np.repeat(np.arange(len(runs)), [len(run) for run in runs])
    return np.asarray(shapely.linestrings(np.concatenate(runs), indices=numbers), dtype=object)


def label_scraps(words: LabelPlacer, piece: ProcessedPiece, size: float, room: Box) -> None:
    """The letter of what is cut away, on it or as near as there is room, its middle in ``room``."""
    for letter, loops in piece.scraps:
        if loops:
            x, y = max(map(_box, loops), key=lambda box: box.width * box.height).middle
            around = (x, y) + ((SCRAP_REACH * size)[:, None, None] * CLOCK).reshape(-1, 2)
            around = around[((room.x0, room.y0) < around).all(axis=1) & (around
                                                                         < (room.x1, room.y1)).all(axis=1)]
            words.place(letter, np.vstack(((x, y), around)), size=size, beside=True)


def position_texts(places: Sequence[MarkPosition], system: str, locale: Locale) -> tuple[str, ...]:
    """What is written of each position, in one edition."""
    return tuple(as_text(display_measure(place.position, system), locale) for place in places)


def label_positions(words: LabelPlacer, places: Sequence[MarkPosition], texts: Iterable[str],
                    size: float = LABEL_SIZE) -> None:
    """What the reader sets, above each line, read from below or the right (ISO 129-1; from memory)."""
    for place, text in zip(places, texts, strict=True):
        upright = abs(float(place.stroke.start[0]) - float(place.stroke.end[0])) < PLACE_TOLERANCE
        words.place(text, _label_candidates(place.stroke, upright, size), upright, size)


def label_glued(words: LabelPlacer, piece: ProcessedPiece, wording: Callable[[GluedLoops], str],
                size: float = LABEL_SIZE) -> None:
    """What is ``wording`` of each glued or numbered face, on it; nothing where that is ""."""
    for each in piece.glued:
        if each.loops and (text := wording(each)):
            words.place(text, spread_points(_box(each.loops[0]), 5), size=size)


def _label_candidates(stroke: Stroke, upright: bool, size: float) -> FloatArray:
    """Places along a line, from its lower or left end, first above it as the words are read, then below."""
    low, high = np.array(sorted((floats(stroke.start), floats(stroke.end))))
    off = LABEL_HEIGHT * size / 2 + LABEL_CLEARANCE + 0.1
    along = low + (high - low) * LABEL_POSITIONS
    above = np.array((-off, 0.0) if upright else (0.0, off))
    return np.concatenate((along + above, along - above))


def spread_points(box: Box, rows: int = 9) -> FloatArray:
    """Places all over a box, its middle first."""
    steps = np.array(sorted(range(rows), key=lambda k: abs(k - rows // 2))) + 0.5
    return np.column_stack((np.tile(box.x0 + box.width * steps / rows, rows),
                            np.repeat(box.y0 + box.height * steps / rows, rows)))


LINE_MARGIN = 0.3        # mm kept round the lines, so that none is cut in half its width
UNDIVIDED_LENGTH = 12.0        # mm; what is no longer than this is better not parted by a seam
PRICK_RING_RADIUS = 0.2           # mm: radius of the ring round a prick point


@dataclass(frozen=True, slots=True)
class TrueSizePiece:
    """A piece as it is printed: the ``recording`` in mm at true size, and the ``piece`` itself.

    Both have the lower left corner of everything that is drawn at
    (MARGIN, MARGIN). ``features`` are the small things: boxes that a seam
    should not cross.
    """

    recording: Recording
    piece: ProcessedPiece
    features: tuple[Box, ...]

    @property
    def box(self) -> Box:
        """The whole drawing."""
        return self.recording.frame


def true_size_piece(plan: Plan, piece: int, face: TemplateFace, locale: Locale = ENGLISH) -> TrueSizePiece:
    """A piece of a plan, one face of it."""
    # that one has no words
    return _true_size_piece(plan, piece, face, ENGLISH if face is TemplateFace.TICKS else locale)


@memoised(64)
def _true_size_piece(plan: Plan, piece: int, face: TemplateFace, locale: Locale) -> TrueSizePiece:
    return draw_true_size(processed_piece(plan, piece, face), face, plan.system, locale)


def draw_true_size(found: ProcessedPiece, face: TemplateFace, system: str,
                   locale: Locale = ENGLISH) -> TrueSizePiece:
    """A piece at true size. Raises ShapeError where its outline does not close, or nothing lies within it."""
    area = Region(found.outline, found.holes)
    if abs(float(area.area())) < MIN_PIECE_AREA:
        raise ShapeError(f"the {found.name.replace('_', ' ')} has no area")
    groups = _draw_prick_marks(found, area) if face is TemplateFace.TICKS else _process_lines(found)
    pen = RecordingPen()
    if face is not TemplateFace.TICKS:
        groups = {**groups, **_draw_labels(found, area, system, locale)}
    for layer in PROCESS_LAYERS:
        if groups.get(layer.key):
            pen.begin(layer.key)
            for method, *given in groups[layer.key]:
                getattr(pen, method)(*given)
            pen.end()
    return _at_margin(pen.recording(0, 0), found)


PenCall = tuple[Any, ...]       # a method of the pen, and what it takes


def _process_lines(found: ProcessedPiece) -> dict[str, list[PenCall]]:
    """Every line and hole as it is worked."""
    groups: dict[str, list[PenCall]] = {
        surface: [("area", each.loops, surface) for each in found.glued if each.loops and each.up is up
                  and not each.bare]
        for surface, up in ((Surface.GLUE, True), (Surface.GLUE_BELOW, False))}
    for process in LINE_PROCESSES:
        groups[process.key] = list(_strokes(found.of(process.key), process.line))
    for process in HOLE_PROCESSES:
        groups[process.key] = [("hole", circle, False) for circle in found.of(process.key)]
    edges = [("stroke", path, Role.EDGE, False) for path in (found.outline, *found.holes)]
    groups[INNER_EDGES] = [*edges, *groups[INNER_EDGES]]
    return groups


def _strokes(strokes: Iterable[Stroke], role: Role) -> Iterator[PenCall]:
    return (("stroke", path, role, False) for path in joined_paths(tuple(strokes)))


def _draw_prick_marks(found: ProcessedPiece, area: Region) -> dict[str, list[PenCall]]:
    """Prick points and ticks beyond the edge, each in the group of what it is first needed for."""
    pricks, drawn = {}, PointsByCell()
    for process in LINE_PROCESSES:
        marks = line_prick_marks(found.of(process.key), area)
        if process.role is Role.TICK:       # where a tick ends in the paper is no point of the plan
            marks = replace(marks, dots=tuple(dot for dot in marks.dots if area.on_edge(dot)))
        pricks[process.key] = marks
    edge, inner = edge_prick_marks(found, area), pricks[INNER_EDGES]
    pricks[INNER_EDGES] = PrickMarks((*edge.ticks, *inner.ticks), (*edge.dots, *inner.dots))
    pricks |= {process.key: PrickMarks((), hole_centres(found.of(process.key))) for process in HOLE_PROCESSES}
    return {key: _marks(replace(marks, dots=tuple(distinct_points(marks.dots, drawn))))
            for key, marks in pricks.items()}


def _marks(pricks: PrickMarks) -> list[PenCall]:
    strokes = (*pricks.ticks, *(Circle(dot, PRICK_RING_RADIUS) for dot in pricks.dots))
    return [("stroke", (stroke,), Role.TICK, False) for stroke in strokes]


def _draw_labels(found: ProcessedPiece, area: Region, system: str,
                 locale: Locale) -> dict[str, list[PenCall]]:
    """What is written on the paper: what a face is glued to do, each position, the name of the piece."""
    words = LabelPlacer(found, area)
    label_glued(words, found, lambda each: locale.say(f"templates.legend.{each.words}", n=each.number))
    for order in found.orders:
        words.place(locale.say("templates.legend.glue_order", order=order),
                    spread_points(_box(found.outline)))
    glued = words.labels[:]
    label_positions(words, found.places, position_texts(found.places, system, locale))
    places = words.labels[len(glued):]
    words.place(locale.name(found.name), spread_points(_box(found.outline)), size=1.3 * LABEL_SIZE)
    names = words.labels[len(glued) + len(places):]
    return {"dimensions": [("label", label) for label in places],
            "legend": [("label", label) for label in (*glued, *names)]}


def _box(path: Path) -> Box:
    return united_box(Box(*map(float, stroke.bounds())) for stroke in path)


def _at_margin(recording: Recording, found: ProcessedPiece) -> TrueSizePiece:
    """Everything moved so that its lower left corner is (MARGIN, MARGIN)."""
    box = Recording(0, 0, recording.items).bounds()
    view = View(dx=LINE_MARGIN - box.x0, dy=LINE_MARGIN - box.y0)
    items = tuple(replace(item, arguments=tuple(moved_item(part, view) for part in item.arguments))
                  for item in recording.items)
    piece = moved_piece(found, view)
    result = Recording(box.width + 2 * LINE_MARGIN, box.height + 2 * LINE_MARGIN, items)
    return TrueSizePiece(result, piece,
                         (*_undivided_boxes(piece), *(item.box() for item in result.of("label"))))


def moved_item(part: object, view: View) -> object:
    """Whatever a pen is given, shifted."""
    if isinstance(part, Label):
        return replace(part, at=view.point(part.at))
    if isinstance(part, Stroke):
        return view.stroke(part)
    if isinstance(part, tuple) and not isinstance(part, Point):
        return tuple(moved_item(inner, view) for inner in part)
    return part


def moved_piece(found: ProcessedPiece, view: View) -> ProcessedPiece:
    """A piece with all its lines as a view shows them; its sizes and positions stay those of the paper."""
    work = {process: tuple(map(view.stroke, strokes)) for process, strokes in found.work.items()}
    return replace(found, outline=view.path(found.outline), holes=tuple(map(view.path, found.holes)),
                   work=MappingProxyType(work),
                   glued=tuple(replace(each, loops=tuple(map(view.path, each.loops)))
                               for each in found.glued),
                   places=tuple(replace(place, stroke=view.stroke(place.stroke)) for place in found.places),
                   scraps=tuple((letter, tuple(map(view.path, loops))) for letter, loops in found.scraps))


def _undivided_boxes(piece: ProcessedPiece) -> Iterator[Box]:
    """Boxes of what a seam should leave whole, in one direction or in both."""
    for stroke in piece.strokes():
        box = Box(*map(float, stroke.bounds()))
        if min(box.width, box.height) <= UNDIVIDED_LENGTH:
            yield box

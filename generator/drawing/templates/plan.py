"""The front end of the template: a piece at true size, told to a pen, one group a process."""
from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from types import MappingProxyType

from generator.drawing.pen import Label, Path, Role, Surface
from generator.drawing.process_table import HOLE_PROCESSES, INNER_EDGES, LINE_PROCESSES, PROCESS_LAYERS
from generator.drawing.recording import Recording, RecordingPen
from generator.drawing.steps.boxes import Box, around
from generator.drawing.steps.view import View, joined
from generator.drawing.templates.label_placement import SIZE, LabelPlacer, spread, write_places
from generator.drawing.templates.page_format import TemplateFace
from generator.drawing.templates.prick_marks import PrickMarks, edge_pricks, line_pricks, middles
from generator.drawing.templates.processes import ProcessedPiece, processed_piece
from generator.geometry import Circle, Point, Region, ShapeError, Stroke
from generator.locale import ENGLISH, Locale
from generator.paper.records import Plan
from generator.units import memoised

MARGIN = 0.3        # mm kept round the lines, so that none is cut in half its width
SMALL = 12.0        # mm; what is no longer than this is better not parted by a seam
FAINT = 1e-6        # mm²; a piece with less has no area
DOT = 0.2           # mm: radius of the ring round a prick point


@dataclass(frozen=True, slots=True)
class Plate:
    """A piece as it is printed: ``recording`` in mm at true size, and the piece itself, as ``piece`` shows it.

    Both have the lower left corner of everything that is drawn at
    (MARGIN, MARGIN). ``features`` are the small things: boxes that a seam
    should not cross.
    """

    recording: Recording
    piece: ProcessedPiece
    features: tuple[Box, ...]

    @property
    def box(self) -> Box:
        return self.recording.frame


def plate(plan: Plan, piece: int, face: TemplateFace, locale: Locale = ENGLISH) -> Plate:
    """A piece of a plan, one face of it."""
    return _plate(plan, piece, face, ENGLISH if face is TemplateFace.TICKS else locale)     # that one has no words


@memoised(64)
def _plate(plan: Plan, piece: int, face: TemplateFace, locale: Locale) -> Plate:
    return plate_of(processed_piece(plan, piece, face), face, plan.system, locale)


def plate_of(found: ProcessedPiece, face: TemplateFace, system: str, locale: Locale = ENGLISH) -> Plate:
    """A piece at true size. Raises ShapeError where its outline does not close, or nothing lies within it."""
    area = Region(found.outline, found.holes)
    if abs(float(area.area())) < FAINT:
        raise ShapeError(f"the {found.name.replace('_', ' ')} has no area")
    groups = _pricked(found, area) if face is TemplateFace.TICKS else _lines(found)
    pen = RecordingPen()
    if face is not TemplateFace.TICKS:
        groups = {**groups, **_words(found, area, system, locale)}
    for layer in PROCESS_LAYERS:
        if groups.get(layer.key):
            pen.begin(layer.key)
            for method, *given in groups[layer.key]:
                getattr(pen, method)(*given)
            pen.end()
    return _shifted(pen.recording(0, 0), found)


def _lines(found: ProcessedPiece) -> dict[str, list[tuple]]:
    """Every line and hole as it is worked."""
    groups: dict[str, list[tuple]] = {"glue": [("area", loops, Surface.GLUE) for loops, _ in found.glued if loops]}
    for process in LINE_PROCESSES:
        groups[process.key] = list(_strokes(found.of(process.key), process.role))
    for process in HOLE_PROCESSES:
        groups[process.key] = [("hole", circle, False) for circle in found.of(process.key)]
    edges = [("stroke", path, Role.EDGE, False) for path in (found.outline, *found.holes)]
    groups[INNER_EDGES] = [*edges, *groups[INNER_EDGES]]
    return groups


def _strokes(strokes: Iterable[Stroke], role: Role) -> Iterator[tuple]:
    return (("stroke", path, role, False) for path in joined(tuple(strokes)))


def _pricked(found: ProcessedPiece, area: Region) -> dict[str, list[tuple]]:
    """Prick points and ticks beyond the edge, each in the group of what it is for."""
    pricks = {process.key: line_pricks(found.of(process.key), area) for process in LINE_PROCESSES}
    edge, inner = edge_pricks(found, area), pricks[INNER_EDGES]
    pricks[INNER_EDGES] = PrickMarks((*edge.ticks, *inner.ticks), (*edge.dots, *inner.dots))
    pricks |= {process.key: PrickMarks((), middles(found.of(process.key))) for process in HOLE_PROCESSES}
    return {process: _marks(found) for process, found in pricks.items()}


def _marks(pricks: PrickMarks) -> list[tuple]:
    ticks = [("stroke", (tick,), Role.TICK, False) for tick in pricks.ticks]
    return ticks + [("stroke", (Circle(dot, DOT),), Role.TICK, False) for dot in pricks.dots]


def _words(found: ProcessedPiece, area: Region, system: str, locale: Locale) -> dict[str, list[tuple]]:
    """What is written on the paper: what a face is glued to do, each position, the name of the piece."""
    words = LabelPlacer(found, area)
    for loops, turn in found.glued:
        words.place(locale.say("templates.legend.glue_n", n=turn) if turn else locale.say("templates.legend.glue"), spread(_box(loops[0]), 5) if loops else ())
    glued = words.labels[:]
    write_places(words, found.places, system, locale=locale)
    places = words.labels[len(glued):]
    words.place(locale.name(found.name), spread(_box(found.outline)), size=1.3 * SIZE)
    names = words.labels[len(glued) + len(places):]
    return {"dimensions": [("label", label) for label in places],
            "legend": [("label", label) for label in (*glued, *names)]}


def _box(path: Path) -> Box:
    return around((b[k], b[k + 1]) for stroke in path for b in (stroke.bounds(),) for k in (0, 2))


def _shifted(recording: Recording, found: ProcessedPiece) -> Plate:
    """Everything moved so that its lower left corner is (MARGIN, MARGIN)."""
    box = Recording(0, 0, recording.items).bounds()
    view = View(dx=MARGIN - box.x0, dy=MARGIN - box.y0)
    items = tuple(replace(item, given=tuple(moved_part(part, view) for part in item.given)) for item in recording.items)
    piece = piece_moved(found, view)
    made = Recording(box.width + 2 * MARGIN, box.height + 2 * MARGIN, items)
    return Plate(made, piece, (*_features(piece), *(item.box() for item in made.of("label"))))


def moved_part(part: object, view: View) -> object:
    """Whatever a pen is given, shifted."""
    if isinstance(part, Label):
        return replace(part, at=view.point(part.at))
    if isinstance(part, Stroke):
        return view.stroke(part)
    if isinstance(part, tuple) and not isinstance(part, Point):
        return tuple(moved_part(inner, view) for inner in part)
    return part


def piece_moved(found: ProcessedPiece, view: View) -> ProcessedPiece:
    """A piece with all its lines as a view shows them; its sizes and positions stay those of the paper."""
    work = {process: tuple(map(view.stroke, strokes)) for process, strokes in found.work.items()}
    return replace(found, outline=view.path(found.outline), holes=tuple(map(view.path, found.holes)),
                   work=MappingProxyType(work),
                   glued=tuple((moved_part(loops, view), text) for loops, text in found.glued),
                   places=tuple(replace(place, stroke=view.stroke(place.stroke)) for place in found.places))


def _features(piece: ProcessedPiece) -> Iterator[Box]:
    """Boxes of what a seam should leave whole, in one direction or in both."""
    for stroke in piece.strokes():
        box = Box(*map(float, stroke.bounds()))
        if min(box.width, box.height) <= SMALL:
            yield box

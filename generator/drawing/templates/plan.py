"""The front end of the template: a piece at true size, told to a pen, one group a process."""
from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from generator.drawing.boxes import Box, around
from generator.drawing.pen import Label, Path, Role, Surface
from generator.drawing.recording import Recording, RecordingPen
from generator.drawing.templates.faces import Face
from generator.drawing.templates.layers import LAYERS
from generator.drawing.templates.pricks import Pricks, edge_pricks, line_pricks, middles
from generator.drawing.templates.processes import Worked, worked
from generator.drawing.templates.wording import SIZE, Wording, spread, write_places
from generator.drawing.view import View, joined
from generator.geometry import Circle, Point, Region, ShapeError, Stroke
from generator.paper.records import Plan
from generator.tongue import ENGLISH, Tongue
from generator.units import once

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
    piece: Worked
    features: tuple[Box, ...]

    @property
    def box(self) -> Box:
        return self.recording.frame


def plate(plan: Plan, piece: int, face: Face, tongue: Tongue = ENGLISH) -> Plate:
    """A piece of a plan, one face of it."""
    return _plate(plan, piece, face, ENGLISH if face is Face.TICKS else tongue)     # that one has no words


@once(64)
def _plate(plan: Plan, piece: int, face: Face, tongue: Tongue) -> Plate:
    return plate_of(worked(plan, piece, face), face, plan.system, tongue)


def plate_of(found: Worked, face: Face, system: str, tongue: Tongue = ENGLISH) -> Plate:
    """A piece at true size. Raises ShapeError where its outline does not close, or nothing lies within it."""
    area = Region(found.outline, found.holes)
    if abs(float(area.area())) < FAINT:
        raise ShapeError(f"the {found.name.replace('_', ' ')} has no area")
    groups = _pricked(found, area) if face is Face.TICKS else _lines(found)
    pen = RecordingPen()
    if face is not Face.TICKS:
        groups = {**groups, **_words(found, area, system, tongue)}
    for layer in LAYERS:
        if groups.get(layer.process):
            pen.begin(layer.process)
            for method, *given in groups[layer.process]:
                getattr(pen, method)(*given)
            pen.end()
    return _shifted(pen.recording(0, 0), found)


def _lines(found: Worked) -> dict[str, list[tuple]]:
    """Every line and hole as it is worked."""
    return {
        "glue": [("area", loops, Surface.GLUE) for loops, _ in found.glued if loops],
        "score": list(_strokes(found.scores, Role.SCORE)),
        "score-valley": list(_strokes(found.valleys, Role.VALLEY)),
        "score-mountain": list(_strokes(found.mountains, Role.MOUNTAIN)),
        "tick": list(_strokes(found.ticks, Role.TICK)),
        "punch": [("hole", circle, False) for circle in found.punches],
        "cut": [*(("stroke", path, Role.EDGE, False) for path in (found.outline, *found.holes)),
                *_strokes(found.cuts, Role.CUT)],
    }


def _strokes(strokes: Iterable[Stroke], role: Role) -> Iterator[tuple]:
    return (("stroke", path, role, False) for path in joined(tuple(strokes)))


def _pricked(found: Worked, area: Region) -> dict[str, list[tuple]]:
    """Prick points and ticks beyond the edge, each in the group of what it is for."""
    by_process = {"score": found.scores, "score-valley": found.valleys, "score-mountain": found.mountains,
                  "tick": found.ticks}
    groups = {process: _marks(line_pricks(strokes, area)) for process, strokes in by_process.items()}
    edge, inner = edge_pricks(found, area), line_pricks(found.cuts, area)
    groups["cut"] = _marks(Pricks((*edge.ticks, *inner.ticks), (*edge.dots, *inner.dots)))
    groups["punch"] = _marks(Pricks((), middles(found)))
    return groups


def _marks(pricks: Pricks) -> list[tuple]:
    ticks = [("stroke", (tick,), Role.TICK, False) for tick in pricks.ticks]
    return ticks + [("stroke", (Circle(dot, DOT),), Role.TICK, False) for dot in pricks.dots]


def _words(found: Worked, area: Region, system: str, tongue: Tongue) -> dict[str, list[tuple]]:
    """What is written on the paper: what a face is glued to do, each position, the name of the piece."""
    words = Wording(found, area)
    for loops, turn in found.glued:
        words.place(tongue.say("templates.legend.glue_n", n=turn) if turn else tongue.say("templates.legend.glue"), spread(_box(loops[0]), 5) if loops else ())
    glued = words.labels[:]
    write_places(words, found.places, system, tongue=tongue)
    places = words.labels[len(glued):]
    words.place(tongue.name(found.name), spread(_box(found.outline)), size=1.3 * SIZE)
    names = words.labels[len(glued) + len(places):]
    return {"dimensions": [("label", label) for label in places],
            "legend": [("label", label) for label in (*glued, *names)]}


def _box(path: Path) -> Box:
    return around((b[k], b[k + 1]) for stroke in path for b in (stroke.bounds(),) for k in (0, 2))


def _shifted(recording: Recording, found: Worked) -> Plate:
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


def piece_moved(found: Worked, view: View) -> Worked:
    """A piece with all its lines as a view shows them; its sizes and positions stay those of the paper."""
    names = ("outline", "holes", "cuts", "mountains", "valleys", "scores", "ticks", "punches")
    return replace(found, **{name: moved_part(getattr(found, name), view) for name in names},
                   glued=tuple((moved_part(loops, view), text) for loops, text in found.glued),
                   places=tuple(replace(place, stroke=view.stroke(place.stroke)) for place in found.places))


def _features(piece: Worked) -> Iterator[Box]:
    """Boxes of what a seam should leave whole, in one direction or in both."""
    for stroke in piece.strokes():
        box = Box(*map(float, stroke.bounds()))
        if min(box.width, box.height) <= SMALL:
            yield box

"""What a picture shows of a named face: only as much as there is paper.

A face is named between marks and edges, and may reach over what was cut away:
the slanted ends of a tab, a thumb notch.

What hands do in a step: fold arrows, glue, edges that meet, a ribbon through holes, and the words for them.
"""
from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field

from shapely import Polygon

from generator.drawing.lettering import LETTER_SIZE, DualText, text_block_size
from generator.drawing.pen import Badge, Label, Role, Sign, Surface, Symbol
from generator.drawing.picture_geometry import Box, View, bounding_box
from generator.drawing.recording import BADGE_DIAMETER
from generator.drawing.steps.dimensions import piece_box
from generator.drawing.steps.dual_measures import DualMeasure, ListRow, angle_text, dual_measure, text_row
from generator.drawing.steps.notes import Note
from generator.drawing.steps.scene import RoleStrokes, fold_role
from generator.drawing.steps.segments import StepSegment
from generator.geometry import Line, Point, Region, Stroke
from generator.locale import ENGLISH, Locale
from generator.paper.area import valid_polygon
from generator.paper.records import Decoration, Face, PieceState, Plan, Thread
from generator.paper.work_kinds import Effect

MIN_PART_AREA = 0.01     # mm²; what arithmetic leaves over


def face_on_paper(face: Face, state: PieceState) -> tuple[Stroke, ...]:
    """The outline of a face in its piece's own frame, without what lies beside the paper."""
    named = valid_polygon(Region(face.outline))
    paper = valid_polygon(Region(tuple(rim.stroke for rim in state.outline)))
    if named.difference(paper).area <= MIN_PART_AREA:
        return face.outline
    parts = [part for part in _parts(named.intersection(paper)) if part.area > MIN_PART_AREA]
    return _loop(max(parts, key=lambda part: part.area)) if parts else face.outline


def _parts(shape: object) -> list[Polygon]:
    return [part for part in getattr(shape, "geoms", [shape]) if isinstance(part, Polygon)]


def _loop(shape: Polygon) -> tuple[Line, ...]:
    corners = [Point(x, y) for x, y in shape.normalize().exterior.coords[:-1]][::-1]
    return tuple(Line(a, b) for a, b in zip(corners, [*corners[1:], corners[0]], strict=True))


ARROW_REACH = 6.0           # mm of picture that a fold arrow reaches to each side at most
MIN_ARROW_REACH = 3.2     # and at least, though it reach over the next fold
ARROW_BOW = 0.45          # of its half length that it rises
MIDDLE_TOLERANCE = 3.0         # mm from the middle of the piece before one of its sides is the one that moves
LETTER_DISTANCE = 3.4    # mm from an edge to the letter of its seam
GATHER_ARROW_DISTANCE = 3.5         # mm from the top edge to the arrows that gather it
RIBBON_TAIL = 7.0          # mm of ribbon drawn beyond its first and last hole
RIBBON_TAIL_LEAN = 0.2          # of its height that such an end leans outward
FOLD_SIGNS = {Role.VALLEY: Sign.FOLD_UP, Role.MOUNTAIN: Sign.FOLD_BACK}


@dataclass(slots=True)
class AssemblySymbols:
    """Signs and fixed labels, badges of an order, and notes still to be placed; in mm of the picture."""

    locale: Locale = ENGLISH
    symbols: list[Symbol] = field(default_factory=list)
    letters: list[tuple[str, tuple[Point, ...]]] = field(default_factory=list)     # words, places to try
    badges: list[Badge] = field(default_factory=list)
    notes: list[Note] = field(default_factory=list)
    areas: list[tuple[Region, Surface]] = field(default_factory=list)   # as the stage's base view gives them
    traces: list[RoleStrokes] = field(default_factory=list)


def assembly_symbols(segment: StepSegment, drawn: Plan, other: Plan | None, base: View, view: View,
             locale: Locale = ENGLISH) -> AssemblySymbols:
    """Everything of one segment. ``view`` leads into the picture, ``base`` is the stage's."""
    found = AssemblySymbols(locale)
    _folds(found, segment, view)
    _glue(found, segment, base, view)
    _seams(found, segment, base, view)
    _decoration(found, segment, base, view)
    for thread in segment.threads:
        _thread(found, segment, thread, _ribbon_length(drawn, other, segment, locale), base, view)
    if segment.does(Effect.GATHER):
        _gather(found, segment, view)
    return found


# -- folds ------------------------------------------------------------------


def _folds(found: AssemblySymbols, segment: StepSegment, view: View) -> None:
    """An arrow for each group of folds and direction, across a fold in the middle, and words for each direction."""
    names = {mark.id: mark.name for mark in segment.after.marks}
    groups: dict[tuple[Role, str | None], list[Stroke]] = {}
    angles: dict[Role, set[float | None]] = {}
    for fold in segment.folds:
        angles.setdefault(fold_role(fold, segment), set()).add(fold.angle)
        groups.setdefault((fold_role(fold, segment), names.get(fold.mark)), []).extend(view.path(fold.runs))
    tops: dict[Role, list[Point]] = {}
    core = Point(*view.box(piece_box(segment.after)).middle)
    for (role, _), runs in groups.items():
        symbol = _fold_arrow(runs, FOLD_SIGNS[role], len(found.symbols), core)
        found.symbols.append(symbol)
        tops.setdefault(role, []).append(_symbol_top(symbol))
    for role, anchors in tops.items():
        words = _with_angle(angles[role], found.locale.say(f"drawing.note.{role}"), found.locale)
        found.notes.append(Note(DualText.plain(words), tuple(anchors), ListRow(None, words), on_line=True))


def _with_angle(angles: set[float | None], words: str, locale: Locale) -> str:
    """``words`` and "by 90°" where all folds of a direction go equally far, and the source says how far."""
    angle = next(iter(angles))
    if angle is None or len(angles) > 1:
        return words
    return locale.say("drawing.note.by", words=words, angle=angle_text(angle, locale))


def _fold_arrow(runs: list[Stroke], sign: Sign, taken: int, core: Point) -> Symbol:
    """An arrow over the middle of a run; the second direction takes another run, so that the two stay apart.

    It begins on the part that moves: the one farther from the middle of the piece, ``core``.
    """
    longest = max(run.length() for run in runs)
    fit = [run for run in runs if run.length() > 0.7 * longest]
    run = fit[min(len(fit) - 1, len(fit) // 3 + taken)]
    middle, tangent = run.at(0.5), run.tangent(0.5)
    arm = max(MIN_ARROW_REACH, min(ARROW_REACH, _distance_to_next(run, runs) * 0.42))
    nx, ny = (-tangent.y, tangent.x) if tangent.x < -1e-9 or tangent.y < -1e-9 else (tangent.y, -tangent.x)
    if (float(middle.x) - core.x) * nx + (float(middle.y) - core.y) * ny < -MIDDLE_TOLERANCE:
        nx, ny = -nx, -ny
    start = Point(float(middle.x) + nx * arm, float(middle.y) + ny * arm)
    end = Point(float(middle.x) - nx * arm, float(middle.y) - ny * arm)
    # it rises to the upper side (an upright one to the right), so that it reads as lifting the paper
    rises = end.x > start.x if abs(end.x - start.x) > 1e-9 else start.y > end.y
    return Symbol(sign, start, end, arm * ARROW_BOW if rises else -arm * ARROW_BOW)


def _distance_to_next(run: Stroke, runs: list[Stroke]) -> float:
    """Distance from the middle of a run to the nearest other run, or a wide one where it is alone."""
    x, y = map(float, run.at(0.5))
    others = [math.dist((x, y), tuple(map(float, o.at(0.5)))) for o in runs if o is not run]
    return min((d for d in others if d > 0.5), default=2.5 * ARROW_REACH)


def _symbol_top(symbol: Symbol) -> Point:
    """The top of a sign's curve."""
    (x0, y0), (x1, y1) = symbol.start, symbol.end
    size = math.dist(symbol.start, symbol.end) or 1.0
    return Point((x0 + x1) / 2 - (y1 - y0) / size * symbol.bow, (y0 + y1) / 2 + (x1 - x0) / size * symbol.bow)


# -- glue -------------------------------------------------------------------


def _glue(found: AssemblySymbols, segment: StepSegment, base: View, view: View) -> None:
    for glue in segment.glues:
        stuck = [face for face in glue.faces if face.piece == segment.piece.id]
        target = [face for face in glue.target if face.piece == segment.piece.id]
        for face in target:
            area = Region(base.path(face_on_paper(face, segment.after)))
            found.areas.append((area, Surface.UNDER))
            found.traces.append(RoleStrokes(Role.HIDDEN, True, area.outline))
        found.areas += [(Region(base.path(face_on_paper(face, segment.after))), Surface.GLUE) for face in stuck]
        if not glue.target and _number_faces(found, glue.faces, glue.order, segment, view):
            continue
        _name_faces(found, stuck, "glue", view)
        _name_faces(found, target, "over" if glue.over else "under", view)
        if len(stuck) == 1 and len(target) == 1:
            _movement_arrow(found, stuck[0], target[0], view)


def _name_faces(found: AssemblySymbols, faces: list[Face], key: str, view: View) -> None:
    if faces:
        words = found.locale.say(f"drawing.note.{key}")
        boxes = [_face_box(face, view) for face in faces]
        anchors = tuple(Point(*box.middle) for box in boxes)
        found.notes.append(Note(DualText.plain(words), anchors, ListRow(None, words), inside=boxes[0]))


def _number_faces(found: AssemblySymbols, faces: tuple[Face, ...], order: tuple[int, ...], segment: StepSegment,
           view: View) -> bool:
    """A number on each face, if all have room for one. Tells whether they have."""
    boxes = [_face_box(faces[k - 1], view) for k in order if faces[k - 1].piece == segment.piece.id]
    roomy = all(min(box.width, box.height) > BADGE_DIAMETER + 0.4 for box in boxes)
    if roomy:
        found.badges += [Badge(number, Point(*box.middle)) for number, box in enumerate(boxes, start=1)]
    return roomy


def _movement_arrow(found: AssemblySymbols, face: Face, target: Face, view: View) -> None:
    start, end = (Point(*_face_box(f, view).middle) for f in (face, target))
    away = math.dist(start, end)
    if away > 12.0:
        found.symbols.append(Symbol(Sign.GOES, start, end, 0.12 * away if start.x < end.x else -0.12 * away))


def _face_box(face: Face, view: View) -> Box:
    return bounding_box((b[k], b[k + 1]) for stroke in view.path(face.outline)
                  for b in (stroke.bounds(),) for k in (0, 2))


def _decoration(found: AssemblySymbols, segment: StepSegment, base: View, view: View) -> None:
    """A hidden line round what is kept clear, stamped or embossed, and words in it."""
    for act in segment.acts:
        if isinstance(act.detail, Decoration):
            faces = [face for face in act.detail.faces if face.piece == segment.piece.id]
            found.traces += [RoleStrokes(Role.LIMIT, True, Region(base.path(face.outline)).outline) for face in faces]
            _name_faces(found, faces, act.verb, view)


# -- seams ------------------------------------------------------------------


def _seams(found: AssemblySymbols, segment: StepSegment, base: View, view: View) -> None:
    """The same letter at both edges that meet."""
    faces = {face.id: face for face in segment.after.faces}
    pairs = [pair for seam in segment.seams for pair in seam.pairs]
    for index, pair in enumerate(pairs):
        for face, edge in pair:
            if face in faces:
                stroke = faces[face].outline[edge]
                found.traces.append(RoleStrokes(Role.SEAM, True, (base.stroke(stroke),)))
                found.letters.append((seam_letter(index), _letter_places(view.stroke(stroke), view.mirrors)))


def seam_letter(index: int) -> str:
    """A, B … Z, AA, AB …"""
    return seam_letter(index // 26 - 1) + seam_letter(index % 26) if index >= 26 else chr(ord("A") + index)


def _letter_places(stroke: Stroke, mirrored: bool) -> tuple[Point, ...]:
    """Places for a letter: off the paper first (outlines run counter-clockwise, so that is to the right)."""
    middle, tangent = stroke.at(0.5), stroke.tangent(0.5)
    out = -LETTER_DISTANCE if mirrored else LETTER_DISTANCE
    return tuple(Point(float(middle.x) + tangent.y * off, float(middle.y) - tangent.x * off)
                 for off in (out, -out, 1.5 * out, -1.5 * out))


# -- ribbon -----------------------------------------------------------------


def _ribbon_length(drawn: Plan, other: Plan | None, segment: StepSegment, locale: Locale) -> DualMeasure | None:
    """The ribbon's length in both editions."""
    lengths = []
    for plan in (drawn, other):
        found = [act.detail.ribbon for act in (plan.acts if plan else ()) if isinstance(act.detail, Thread)
                 and act.step == segment.step and segment.piece.id in act.pieces]
        lengths.append(found[0] if found else None)
    return dual_measure(lengths[0], lengths[1], drawn.system, locale) if lengths[0] is not None else None


def _thread(found: AssemblySymbols, segment: StepSegment, thread: Thread, ribbon: DualMeasure | None, base: View, view: View) -> None:
    """The ribbon over and under the paper in turn, from the first hole to the last."""
    middles = _hole_middles(segment, thread.marks, base)
    if not middles:
        return
    first, last = middles[0], middles[-1]
    tail = RIBBON_TAIL / (1.0 if base == view else view.scale)
    before = Point(first.x - RIBBON_TAIL_LEAN * tail, first.y + tail)
    after = Point(last.x + RIBBON_TAIL_LEAN * tail, last.y + tail)
    path = [before, *middles, after]
    for index, (a, b) in enumerate(zip(path, path[1:], strict=False)):
        if a != b:
            found.traces.append(RoleStrokes(Role.HIDDEN if index % 2 else Role.RIBBON, True, (Line(a, b),)))
    at = _hole_middles(segment, thread.marks[:1], view)[0]
    said = found.locale.say("drawing.note.ribbon_long" if ribbon else "drawing.note.ribbon")
    words = ribbon.pair(said) if ribbon else DualText.plain(said)
    row = text_row(said, [ribbon]) if ribbon else ListRow(None, said)
    found.notes.append(Note(words, (Point(at.x - RIBBON_TAIL_LEAN * RIBBON_TAIL / 2, at.y + RIBBON_TAIL / 2),), row, on_line=True))


def _hole_middles(segment: StepSegment, marks: Iterable[int], view: View) -> list[Point]:
    """Where these holes (or slits) are, in their order; those of other pieces are left out."""
    known = {mark.id: mark for mark in segment.after.marks}
    return [Point(*Box(*map(float, view.stroke(known[m].whole[0]).bounds())).middle) for m in marks if m in known]


def _gather(found: AssemblySymbols, segment: StepSegment, view: View) -> None:
    """Two arrows over the top edge, from its ends towards its middle."""
    box = view.box(piece_box(segment.after))
    y, reach = box.y1 + GATHER_ARROW_DISTANCE, box.width * 0.3
    for start in (box.x0, box.x1):
        end = start + (reach if start == box.x0 else -reach)
        found.symbols.append(Symbol(Sign.GOES, Point(start, y), Point(end, y)))
    words = found.locale.say("drawing.note.gather")
    found.notes.append(Note(DualText.plain(words), (Point(box.middle[0], box.y1),), ListRow(None, words), on_line=True))


def seam_letter_label(words: str, at: Point) -> Label:
    """The letter of a seam, around ``at``."""
    return Label(DualText.plain(words), at, LETTER_SIZE)


def seam_letter_box(words: str, at: Point) -> Box:
    """The box of such a letter."""
    wide, high = text_block_size(DualText.plain(words))
    return Box(at.x - wide / 2, at.y - high / 2, at.x + wide / 2, at.y + high / 2)

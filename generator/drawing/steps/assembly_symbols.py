"""Symbols and notes for the work of a step: fold arrows, glue, edges that meet, a ribbon through holes.

A face is named between marks and edges, and may reach over what was cut away
(the slanted ends of a tab, a thumb notch); a picture shows of it only as much
as there is paper.
"""
from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import pairwise

from generator.dataclass import dataclass, field
from generator.drawing.lettering import LETTER_SIZE, DualText
from generator.drawing.pen import Badge, Label, Role, Sign, Surface, Symbol
from generator.drawing.picture_geometry import XY, Box, View, strokes_box
from generator.drawing.recording import BADGE_DIAMETER, symbol_apex
from generator.drawing.steps.dual_measures import ListRow, angle_text, dual_measure, text_row
from generator.drawing.steps.notes import Note
from generator.drawing.steps.scene import RoleStrokes, fold_role
from generator.drawing.steps.segments import StepSegment, piece_box
from generator.geometry import Line, Point, Region, Stroke
from generator.geometry.plane import floats
from generator.locale import ENGLISH, Locale
from generator.paper.glue_sides import GluedArea, face_numbers, on_paper
from generator.paper.records import Act, Decoration, Face, Glue, Plan, Thread
from generator.paper.work_kinds import Effect
from generator.units import TOLERANCE

ARROW_REACH = 6.0           # mm of picture that a fold arrow reaches to each side at most
MIN_ARROW_REACH = 3.2     # and at least, though it reach over the next fold
ARROW_BOW = 0.45          # of its half length that it rises
MIDDLE_TOLERANCE = 3.0         # mm from the centre of the piece before one of its sides is the one that moves
LETTER_DISTANCE = 3.4    # mm from an edge to the letter of its seam
GATHER_ARROW_DISTANCE = 3.5         # mm from the top edge to the arrows that gather it
MIN_MOVEMENT_ARROW = 12.0       # mm; a shorter arrow from a face to its place is left out
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
    areas: list[tuple[Region, Surface]] = field(default_factory=list)   # as the canvas's base view gives them
    strokes: list[RoleStrokes] = field(default_factory=list)


def assembly_symbols(segment: StepSegment, drawn: Plan, other: Plan | None, base: View, view: View,
                     locale: Locale = ENGLISH) -> AssemblySymbols:
    """Everything of one segment. ``view`` maps into the picture, ``base`` is the canvas's."""
    found = AssemblySymbols(locale)
    _folds(found, segment, view)
    _glue(found, segment, drawn, base, view)
    _seams(found, segment, base, view)
    _decoration(found, segment, base, view)
    for act in segment.acts:
        if isinstance(act.detail, Thread):
            _thread(found, segment, act, drawn, other, base, view)
    if segment.does(Effect.GATHER):
        _gather(found, segment, view)
    return found


# -- folds ------------------------------------------------------------------


def _folds(found: AssemblySymbols, segment: StepSegment, view: View) -> None:
    """An arrow for each group of folds and direction, across one in the middle; words for each direction."""
    names = {mark.id: mark.name for mark in segment.after.marks}
    groups: dict[tuple[Role, str | None], list[Stroke]] = {}
    angles: dict[Role, set[float | None]] = {}
    for fold in segment.folds:
        angles.setdefault(fold_role(fold, segment), set()).add(fold.angle)
        groups.setdefault((fold_role(fold, segment), names.get(fold.mark)), []).extend(view.path(fold.runs))
    anchors: dict[Role, list[Point]] = {}
    centre = view.box(piece_box(segment.after)).middle
    for (role, _), runs in groups.items():
        symbol = _fold_arrow(runs, FOLD_SIGNS[role], len(found.symbols), centre)
        found.symbols.append(symbol)
        anchors.setdefault(role, []).append(symbol_apex(symbol))
    for role, points in anchors.items():
        words = _with_angle(angles[role], found.locale.say(f"drawing.note.{role}"), found.locale)
        _add_note(found, words, tuple(points), on_line=True)


def _add_note(found: AssemblySymbols, words: str, anchors: tuple[Point, ...], on_line: bool = False,
              inside: Box | None = None) -> None:
    found.notes.append(Note(DualText.plain(words), anchors, ListRow(None, words), on_line, inside))


def _with_angle(angles: set[float | None], words: str, locale: Locale) -> str:
    """``words`` and "by 90°" where all folds of a direction go equally far, and the source says how far."""
    angle = next(iter(angles))
    if angle is None or len(angles) > 1:
        return words
    return locale.say("drawing.note.by", words=words, angle=angle_text(angle, locale))


def _fold_arrow(runs: list[Stroke], sign: Sign, skipped: int, centre: XY) -> Symbol:
    """An arrow over the middle of a run, a later one with ``skipped``, so that two directions stay apart.

    It begins on the part that moves: the one farther from the ``centre`` of the piece.
    """
    longest = max(run.length() for run in runs)
    long = [run for run in runs if run.length() > 0.7 * longest]
    run = long[min(len(long) - 1, len(long) // 3 + skipped)]
    (x, y), (tx, ty) = floats(run.at(0.5)), floats(run.tangent(0.5))
    reach = max(MIN_ARROW_REACH, min(ARROW_REACH, _distance_to_next(run, runs) * 0.42))
    nx, ny = (-ty, tx) if tx < -TOLERANCE or ty < -TOLERANCE else (ty, -tx)
    if (x - centre[0]) * nx + (y - centre[1]) * ny < -MIDDLE_TOLERANCE:
        nx, ny = -nx, -ny
    start, end = Point(x + nx * reach, y + ny * reach), Point(x - nx * reach, y - ny * reach)
    # it bows to the upper side (a vertical one to the right), so that it reads as lifting the paper
    upper = nx < 0 if abs(2 * nx * reach) > TOLERANCE else ny > 0
    return Symbol(sign, start, end, reach * ARROW_BOW if upper else -reach * ARROW_BOW)


def _distance_to_next(run: Stroke, runs: list[Stroke]) -> float:
    """Distance from the middle of a run to the nearest other run, or a wide one where it is alone."""
    middle = floats(run.at(0.5))
    others = [math.dist(middle, floats(o.at(0.5))) for o in runs if o is not run]
    return min((d for d in others if d > 0.5), default=2.5 * ARROW_REACH)


# -- glue -------------------------------------------------------------------


def _glue(found: AssemblySymbols, segment: StepSegment, drawn: Plan, base: View, view: View) -> None:
    areas = segment.glued_areas(drawn)
    for area in areas:
        surface = Surface.GLUE if area.up else Surface.GLUE_BELOW
        region = area.on_paper(segment.after)
        found.areas.append((Region(base.path(region.outline), tuple(map(base.path, region.holes))), surface))
    for glue in segment.glues:
        glued = [face for face in glue.faces if face.piece == segment.piece.id]
        target = [face for face in glue.target if face.piece == segment.piece.id]
        for face in target:
            ground = Region(base.path(on_paper(face.outline, segment.after).outline))
            found.areas.insert(0, (ground, Surface.UNDER))
            found.strokes.append(RoleStrokes(Role.HIDDEN, True, ground.outline))
        if not glue.target and _number_faces(found, glue, segment, view):
            continue
        for up, key in ((True, "glue"), (False, "glue_below")):
            _name_places(found, [_label_box(area, segment, view) for area in areas
                                 if area.up is up and area.face in glue.faces], key)
        _name_faces(found, target, "over" if glue.over else "under", view)
        if len(glued) == 1 and len(target) == 1:
            _movement_arrow(found, glued[0], target[0], view)


def _name_faces(found: AssemblySymbols, faces: list[Face], key: str, view: View) -> None:
    _name_places(found, [_face_box(face, view) for face in faces], key)


def _name_places(found: AssemblySymbols, boxes: list[Box], key: str) -> None:
    if boxes:
        words = found.locale.say(f"drawing.note.{key}")
        _add_note(found, words, tuple(Point(*box.middle) for box in boxes), inside=boxes[0])


def _number_faces(found: AssemblySymbols, glue: Glue, segment: StepSegment, view: View) -> bool:
    """Its own number on each face, if all have room for one. Gives whether they have."""
    boxes = {number: _face_box(face, view)
             for number, face in zip(face_numbers(glue), glue.faces, strict=True)
             if face.piece == segment.piece.id}
    roomy = all(min(box.width, box.height) > BADGE_DIAMETER + 0.4 for box in boxes.values())
    if roomy:
        found.badges += [Badge(number, Point(*box.middle)) for number, box in boxes.items()]
    return roomy


def _movement_arrow(found: AssemblySymbols, face: Face, target: Face, view: View) -> None:
    start, end = (Point(*_face_box(f, view).middle) for f in (face, target))
    distance = math.dist(floats(start), floats(end))
    if distance > MIN_MOVEMENT_ARROW:
        bow = 0.12 * distance
        found.symbols.append(Symbol(Sign.GOES, start, end, bow if start.x < end.x else -bow))


def _label_box(area: GluedArea, segment: StepSegment, view: View) -> Box:
    """Where the words of a glued area stand: its box, or a point of a frame round a window."""
    region = area.on_paper(segment.after)
    if not region.holes:
        return strokes_box(view.path(area.outline))
    inside = region.polygon().representative_point()
    at = view.point(Point(inside.x, inside.y))
    return Box(*floats(at), *floats(at))


def _face_box(face: Face, view: View) -> Box:
    return strokes_box(view.path(face.outline))


def _decoration(found: AssemblySymbols, segment: StepSegment, base: View, view: View) -> None:
    """A limit line round what is kept clear, stamped or embossed, and words in it."""
    for act in segment.acts:
        if isinstance(act.detail, Decoration):
            faces = [face for face in act.detail.faces if face.piece == segment.piece.id]
            found.strokes += [RoleStrokes(Role.LIMIT, True, Region(base.path(face.outline)).outline)
                              for face in faces]
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
                found.strokes.append(RoleStrokes(Role.SEAM, True, (base.stroke(stroke),)))
                found.letters.append((seam_letter(index), _letter_places(view.stroke(stroke), view.mirrors)))


def seam_letter(index: int) -> str:
    """The letters A, B … Z, AA, AB … by their index from 0."""
    return seam_letter(index // 26 - 1) + seam_letter(index % 26) if index >= 26 else chr(ord("A") + index)


def _letter_places(stroke: Stroke, mirrored: bool) -> tuple[Point, ...]:
    """Places for a letter: off the paper first (outlines run counter-clockwise, so that is to the right)."""
    (x, y), (tx, ty) = floats(stroke.at(0.5)), floats(stroke.tangent(0.5))
    out = -LETTER_DISTANCE if mirrored else LETTER_DISTANCE
    return tuple(Point(x + ty * offset, y - tx * offset) for offset in (out, -out, 1.5 * out, -1.5 * out))


# -- ribbon -----------------------------------------------------------------


def _ribbon_note(act: Act, drawn: Plan, other: Plan | None, anchor: Point, locale: Locale) -> Note:
    """What an act threads, by its reader's name, and how long it is in both editions."""
    lengths = [next((each.detail.ribbon for each in plan.acts if each.number == act.number
                     and isinstance(each.detail, Thread)), None) if plan else None for plan in (drawn, other)]
    name = locale.name(next(info.name for info in drawn.pieces if info.id == act.pieces[0]))
    size = dual_measure(lengths[0], lengths[1], drawn.system, locale)
    words = locale.say("drawing.note.ribbon_long", name=name, size="{size}")
    return Note(size.text(words), (anchor,), text_row(words, [size]), on_line=True)


def _thread(found: AssemblySymbols, segment: StepSegment, act: Act, drawn: Plan, other: Plan | None,
            base: View, view: View) -> None:
    """The ribbon over and under the paper in turn, from the first hole to the last."""
    centres = _hole_centres(segment, act.marks, base)
    if not centres:
        return
    first, last = centres[0], centres[-1]
    tail = RIBBON_TAIL / (1.0 if base == view else view.scale)
    before = Point(first.x - RIBBON_TAIL_LEAN * tail, first.y + tail)
    after = Point(last.x + RIBBON_TAIL_LEAN * tail, last.y + tail)
    for index, (a, b) in enumerate(pairwise((before, *centres, after))):
        if a != b:
            found.strokes.append(RoleStrokes(Role.HIDDEN if index % 2 else Role.RIBBON, True, (Line(a, b),)))
    at = _hole_centres(segment, act.marks[:1], view)[0]
    anchor = Point(at.x - RIBBON_TAIL_LEAN * RIBBON_TAIL / 2, at.y + RIBBON_TAIL / 2)
    found.notes.append(_ribbon_note(act, drawn, other, anchor, found.locale))


def _hole_centres(segment: StepSegment, marks: Iterable[int], view: View) -> list[Point]:
    """Where these holes (or slits) are, in their order; those of other pieces are left out."""
    known = {mark.id: mark for mark in segment.after.marks}
    return [Point(*strokes_box((view.stroke(known[m].whole[0]),)).middle) for m in marks if m in known]


def _gather(found: AssemblySymbols, segment: StepSegment, view: View) -> None:
    """Two arrows over the top edge, from its ends towards its middle."""
    box = view.box(piece_box(segment.after))
    y, reach = box.y1 + GATHER_ARROW_DISTANCE, box.width * 0.3
    for start in (box.x0, box.x1):
        end = start + (reach if start == box.x0 else -reach)
        found.symbols.append(Symbol(Sign.GOES, Point(start, y), Point(end, y)))
    _add_note(found, found.locale.say("drawing.note.gather"), (Point(box.middle[0], box.y1),), on_line=True)


def seam_letter_label(words: str, at: Point) -> Label:
    """The letter of a seam, around ``at``."""
    return Label(DualText.plain(words), at, LETTER_SIZE)

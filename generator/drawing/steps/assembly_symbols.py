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

from generator.drawing.lettering import SIZE, Pair, block
from generator.drawing.pen import Badge, Label, Role, Sign, Surface, Symbol
from generator.drawing.recording import BADGE
from generator.drawing.steps.boxes import Box, around
from generator.drawing.steps.dual_measures import ListRow, Twin, degrees, row_of, twin
from generator.drawing.steps.labels import Note
from generator.drawing.steps.measures import own_box
from generator.drawing.steps.scene import Trace, seen_role
from generator.drawing.steps.step_segments import StepSegment
from generator.drawing.steps.view import View
from generator.geometry import Line, Point, Region, Stroke
from generator.locale import ENGLISH, Locale
from generator.paper.area import valid_polygon
from generator.paper.records import Decoration, Face, PieceState, Plan, Thread
from generator.paper.work_kinds import Effect

DUST = 0.01     # mm²; what arithmetic leaves over


def face_on_paper(face: Face, state: PieceState) -> tuple[Stroke, ...]:
    """The outline of a face in its piece's own frame, without what lies beside the paper."""
    named = valid_polygon(Region(face.outline))
    paper = valid_polygon(Region(tuple(rim.stroke for rim in state.outline)))
    if named.difference(paper).area <= DUST:
        return face.outline
    parts = [part for part in _parts(named.intersection(paper)) if part.area > DUST]
    return _loop(max(parts, key=lambda part: part.area)) if parts else face.outline


def _parts(shape: object) -> list[Polygon]:
    return [part for part in getattr(shape, "geoms", [shape]) if isinstance(part, Polygon)]


def _loop(shape: Polygon) -> tuple[Line, ...]:
    corners = [Point(x, y) for x, y in shape.normalize().exterior.coords[:-1]][::-1]
    return tuple(Line(a, b) for a, b in zip(corners, [*corners[1:], corners[0]], strict=True))


ARM = 6.0           # mm of picture that a fold arrow reaches to each side at most
SHORT_ARM = 3.2     # and at least, though it reach over the next fold
BOW = 0.45          # of its half length that it rises
ASIDE = 3.0         # mm from the middle of the piece before one of its sides is the one that moves
LETTER_OFF = 3.4    # mm from an edge to the letter of its seam
ABOVE = 3.5         # mm from the top edge to the arrows that gather it
TAIL = 7.0          # mm of ribbon drawn beyond its first and last hole
LEAN = 0.2          # of its height that such an end leans outward
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
    traces: list[Trace] = field(default_factory=list)


def assembly_symbols(spell: StepSegment, drawn: Plan, other: Plan | None, base: View, view: View,
             locale: Locale = ENGLISH) -> AssemblySymbols:
    """Everything of one spell. ``view`` leads into the picture, ``base`` is the stage's."""
    found = AssemblySymbols(locale)
    _folds(found, spell, view)
    _glue(found, spell, base, view)
    _seams(found, spell, base, view)
    _decoration(found, spell, base, view)
    for thread in spell.threads:
        _thread(found, spell, thread, _ribbon(drawn, other, spell, locale), base, view)
    if spell.does(Effect.GATHER):
        _gather(found, spell, view)
    return found


# -- folds ------------------------------------------------------------------


def _folds(found: AssemblySymbols, spell: StepSegment, view: View) -> None:
    """An arrow for each group of folds and direction, across a fold in the middle, and words for each direction."""
    names = {mark.id: mark.name for mark in spell.after.marks}
    groups: dict[tuple[Role, str | None], list[Stroke]] = {}
    angles: dict[Role, set[float | None]] = {}
    for fold in spell.folds:
        angles.setdefault(seen_role(fold, spell), set()).add(fold.angle)
        groups.setdefault((seen_role(fold, spell), names.get(fold.mark)), []).extend(view.path(fold.runs))
    tops: dict[Role, list[Point]] = {}
    core = Point(*view.box(own_box(spell.after)).middle)
    for (role, _), runs in groups.items():
        symbol = _across(runs, FOLD_SIGNS[role], len(found.symbols), core)
        found.symbols.append(symbol)
        tops.setdefault(role, []).append(_top(symbol))
    for role, anchors in tops.items():
        words = _by(angles[role], found.locale.say(f"drawing.note.{role}"), found.locale)
        found.notes.append(Note(Pair.plain(words), tuple(anchors), ListRow(None, words), on_line=True))


def _by(angles: set[float | None], words: str, locale: Locale) -> str:
    """``words`` and "by 90°" where all folds of a direction go equally far, and the source says how far."""
    angle = next(iter(angles))
    if angle is None or len(angles) > 1:
        return words
    return locale.say("drawing.note.by", words=words, angle=degrees(angle, locale))


def _across(runs: list[Stroke], sign: Sign, taken: int, core: Point) -> Symbol:
    """An arrow over the middle of a run; the second direction takes another run, so that the two stay apart.

    It begins on the part that moves: the one farther from the middle of the piece, ``core``.
    """
    longest = max(run.length() for run in runs)
    fit = [run for run in runs if run.length() > 0.7 * longest]
    run = fit[min(len(fit) - 1, len(fit) // 3 + taken)]
    middle, tangent = run.at(0.5), run.tangent(0.5)
    arm = max(SHORT_ARM, min(ARM, _room(run, runs) * 0.42))
    nx, ny = (-tangent.y, tangent.x) if tangent.x < -1e-9 or tangent.y < -1e-9 else (tangent.y, -tangent.x)
    if (float(middle.x) - core.x) * nx + (float(middle.y) - core.y) * ny < -ASIDE:
        nx, ny = -nx, -ny
    start = Point(float(middle.x) + nx * arm, float(middle.y) + ny * arm)
    end = Point(float(middle.x) - nx * arm, float(middle.y) - ny * arm)
    # it rises to the upper side (an upright one to the right), so that it reads as lifting the paper
    rises = end.x > start.x if abs(end.x - start.x) > 1e-9 else start.y > end.y
    return Symbol(sign, start, end, arm * BOW if rises else -arm * BOW)


def _room(run: Stroke, runs: list[Stroke]) -> float:
    """Distance from the middle of a run to the nearest other run, or a wide one where it is alone."""
    x, y = map(float, run.at(0.5))
    others = [math.dist((x, y), tuple(map(float, o.at(0.5)))) for o in runs if o is not run]
    return min((d for d in others if d > 0.5), default=2.5 * ARM)


def _top(symbol: Symbol) -> Point:
    """The top of a sign's curve."""
    (x0, y0), (x1, y1) = symbol.start, symbol.end
    size = math.dist(symbol.start, symbol.end) or 1.0
    return Point((x0 + x1) / 2 - (y1 - y0) / size * symbol.bow, (y0 + y1) / 2 + (x1 - x0) / size * symbol.bow)


# -- glue -------------------------------------------------------------------


def _glue(found: AssemblySymbols, spell: StepSegment, base: View, view: View) -> None:
    for glue in spell.glues:
        stuck = [face for face in glue.faces if face.piece == spell.piece.id]
        target = [face for face in glue.target if face.piece == spell.piece.id]
        for face in target:
            area = Region(base.path(face_on_paper(face, spell.after)))
            found.areas.append((area, Surface.UNDER))
            found.traces.append(Trace(Role.HIDDEN, True, area.outline))
        found.areas += [(Region(base.path(face_on_paper(face, spell.after))), Surface.GLUE) for face in stuck]
        if not glue.target and _order(found, glue.faces, glue.order, spell, view):
            continue
        _say_faces(found, stuck, "glue", view)
        _say_faces(found, target, "over" if glue.over else "under", view)
        if len(stuck) == 1 and len(target) == 1:
            _goes(found, stuck[0], target[0], view)


def _say_faces(found: AssemblySymbols, faces: list[Face], key: str, view: View) -> None:
    if faces:
        words = found.locale.say(f"drawing.note.{key}")
        boxes = [_face_box(face, view) for face in faces]
        anchors = tuple(Point(*box.middle) for box in boxes)
        found.notes.append(Note(Pair.plain(words), anchors, ListRow(None, words), inside=boxes[0]))


def _order(found: AssemblySymbols, faces: tuple[Face, ...], order: tuple[int, ...], spell: StepSegment,
           view: View) -> bool:
    """A number on each face, if all have room for one. Tells whether they have."""
    boxes = [_face_box(faces[k - 1], view) for k in order if faces[k - 1].piece == spell.piece.id]
    roomy = all(min(box.width, box.height) > BADGE + 0.4 for box in boxes)
    if roomy:
        found.badges += [Badge(number, Point(*box.middle)) for number, box in enumerate(boxes, start=1)]
    return roomy


def _goes(found: AssemblySymbols, face: Face, target: Face, view: View) -> None:
    start, end = (Point(*_face_box(f, view).middle) for f in (face, target))
    away = math.dist(start, end)
    if away > 12.0:
        found.symbols.append(Symbol(Sign.GOES, start, end, 0.12 * away if start.x < end.x else -0.12 * away))


def _face_box(face: Face, view: View) -> Box:
    return around((b[k], b[k + 1]) for stroke in view.path(face.outline)
                  for b in (stroke.bounds(),) for k in (0, 2))


def _decoration(found: AssemblySymbols, spell: StepSegment, base: View, view: View) -> None:
    """A hidden line round what is kept clear, stamped or embossed, and words in it."""
    for act in spell.acts:
        if isinstance(act.detail, Decoration):
            faces = [face for face in act.detail.faces if face.piece == spell.piece.id]
            found.traces += [Trace(Role.LIMIT, True, Region(base.path(face.outline)).outline) for face in faces]
            _say_faces(found, faces, act.verb, view)


# -- seams ------------------------------------------------------------------


def _seams(found: AssemblySymbols, spell: StepSegment, base: View, view: View) -> None:
    """The same letter at both edges that meet."""
    faces = {face.id: face for face in spell.after.faces}
    pairs = [pair for seam in spell.seams for pair in seam.pairs]
    for index, pair in enumerate(pairs):
        for face, edge in pair:
            if face in faces:
                stroke = faces[face].outline[edge]
                found.traces.append(Trace(Role.SEAM, True, (base.stroke(stroke),)))
                found.letters.append((letter(index), _beside(view.stroke(stroke), view.mirrors)))


def letter(index: int) -> str:
    """A, B … Z, AA, AB …"""
    return letter(index // 26 - 1) + letter(index % 26) if index >= 26 else chr(ord("A") + index)


def _beside(stroke: Stroke, mirrored: bool) -> tuple[Point, ...]:
    """Places for a letter: off the paper first (outlines run counter-clockwise, so that is to the right)."""
    middle, tangent = stroke.at(0.5), stroke.tangent(0.5)
    out = -LETTER_OFF if mirrored else LETTER_OFF
    return tuple(Point(float(middle.x) + tangent.y * off, float(middle.y) - tangent.x * off)
                 for off in (out, -out, 1.5 * out, -1.5 * out))


# -- ribbon -----------------------------------------------------------------


def _ribbon(drawn: Plan, other: Plan | None, spell: StepSegment, locale: Locale) -> Twin | None:
    """The ribbon's length in both editions."""
    lengths = []
    for plan in (drawn, other):
        found = [act.detail.ribbon for act in (plan.acts if plan else ()) if isinstance(act.detail, Thread)
                 and act.step == spell.step and spell.piece.id in act.pieces]
        lengths.append(found[0] if found else None)
    return twin(lengths[0], lengths[1], drawn.system, locale) if lengths[0] is not None else None


def _thread(found: AssemblySymbols, spell: StepSegment, thread: Thread, ribbon: Twin | None, base: View, view: View) -> None:
    """The ribbon over and under the paper in turn, from the first hole to the last."""
    middles = _middles(spell, thread.marks, base)
    if not middles:
        return
    first, last = middles[0], middles[-1]
    tail = TAIL / (1.0 if base == view else view.scale)
    before = Point(first.x - LEAN * tail, first.y + tail)
    after = Point(last.x + LEAN * tail, last.y + tail)
    path = [before, *middles, after]
    for index, (a, b) in enumerate(zip(path, path[1:], strict=False)):
        if a != b:
            found.traces.append(Trace(Role.HIDDEN if index % 2 else Role.RIBBON, True, (Line(a, b),)))
    at = _middles(spell, thread.marks[:1], view)[0]
    said = found.locale.say("drawing.note.ribbon_long" if ribbon else "drawing.note.ribbon")
    words = ribbon.pair(said) if ribbon else Pair.plain(said)
    row = row_of(said, [ribbon]) if ribbon else ListRow(None, said)
    found.notes.append(Note(words, (Point(at.x - LEAN * TAIL / 2, at.y + TAIL / 2),), row, on_line=True))


def _middles(spell: StepSegment, marks: Iterable[int], view: View) -> list[Point]:
    """Where these holes (or slits) are, in their order; those of other pieces are left out."""
    known = {mark.id: mark for mark in spell.after.marks}
    return [Point(*Box(*map(float, view.stroke(known[m].whole[0]).bounds())).middle) for m in marks if m in known]


def _gather(found: AssemblySymbols, spell: StepSegment, view: View) -> None:
    """Two arrows over the top edge, from its ends towards its middle."""
    box = view.box(own_box(spell.after))
    y, reach = box.y1 + ABOVE, box.width * 0.3
    for start in (box.x0, box.x1):
        end = start + (reach if start == box.x0 else -reach)
        found.symbols.append(Symbol(Sign.GOES, Point(start, y), Point(end, y)))
    words = found.locale.say("drawing.note.gather")
    found.notes.append(Note(Pair.plain(words), (Point(box.middle[0], box.y1),), ListRow(None, words), on_line=True))


def letter_label(words: str, at: Point) -> Label:
    """The letter of a seam, around ``at``."""
    return Label(Pair.plain(words), at, SIZE)


def letter_box(words: str, at: Point) -> Box:
    """The box of such a letter."""
    wide, high = block(Pair.plain(words))
    return Box(at.x - wide / 2, at.y - high / 2, at.x + wide / 2, at.y + high / 2)

"""Sizes that are no distance from an edge: holes, bulges, radii, the panels of a net."""
from __future__ import annotations

from collections.abc import Iterator

from generator.drawing.lettering import Pair
from generator.drawing.steps.boxes import around
from generator.drawing.steps.dual_measures import Twin, by_twin, length_of, row_of, twin
from generator.drawing.steps.labels import Note
from generator.drawing.steps.measures import is_cut_as_rectangle, marks_by_id
from generator.drawing.steps.step_segments import StepSegment
from generator.drawing.steps.view import View
from generator.geometry import Arc, Circle, EllipseArc, Line, Point, Stroke
from generator.locale import ENGLISH, Locale
from generator.paper.records import Face, Mark, PieceState, Plan

SAME = 1e-6     # mm of paper


def size_notes(spell: StepSegment, drawn: Plan, other: Plan | None, view: View,
               locale: Locale = ENGLISH) -> Iterator[Note]:
    """One note for each size that the marks and the new panels of a spell need, however many share it."""
    theirs = marks_by_id(other, spell.piece.id)
    told: set[tuple] = set()
    for mark in spell.marks:
        for kind, size, other_size in _sizes(mark, theirs.get(mark.id), drawn.system):
            if (kind, float(size), mark.name) not in told:
                told.add((kind, float(size), mark.name))
                same = sum(1 for m in spell.marks if m.name == mark.name and m.kind is mark.kind)
                yield _of_mark(mark, kind, twin(size, other_size, drawn.system, locale), same, view)
    yield from _of_faces(spell, drawn, other, view, locale)


def _sizes(mark: Mark, theirs: Mark | None, system: str) -> Iterator[tuple]:
    """(what it is, the size here, the size in the other edition or None)."""
    mine = list(_of_strokes(mark))
    others = list(_of_strokes(theirs)) if theirs else []
    for index, (kind, size) in enumerate(mine):
        same = others[index][1] if index < len(others) and others[index][0] == kind else None
        yield kind, size, same


def _of_strokes(mark: Mark) -> Iterator[tuple]:
    """What a reader has to know of a mark's curves; lengths exact where the record has them."""
    for stroke in mark.whole:
        if isinstance(stroke, Circle):
            yield "hole" if mark.kind.is_hole else "circle", _exact(mark, 2 * stroke.radius)
        elif isinstance(stroke, Arc):
            by_radius = _known(mark, stroke.radius) and not _known(mark, abs(stroke.bulge))
            yield ("radius", _exact(mark, stroke.radius)) if by_radius else ("bulge", _exact(mark, abs(stroke.bulge)))
        elif isinstance(stroke, EllipseArc):
            yield "axis", _exact(mark, stroke.rx)
            yield "axis2", _exact(mark, stroke.ry)


def _exact(mark: Mark, value):
    return next((size for size in mark.sizes if abs(float(size) - float(value)) < SAME), length_of(value))


def _known(mark: Mark, value) -> bool:
    return any(abs(float(size) - float(value)) < SAME for size in mark.sizes)


def _of_mark(mark: Mark, kind: str, size: Twin, same: int, view: View) -> Note:
    words = size.locale.say(f"drawing.note.each_{kind}" if same > 1 else f"drawing.note.{kind}")
    return Note(size.pair(words), _anchors(view.stroke(mark.whole[0])), row_of(words, [size]), on_line=True)


def _anchors(stroke: Stroke) -> tuple[Point, ...]:
    """Where a leader may meet a curve: round a circle, else at its middle."""
    shares = (0.125, 0.875, 0.375, 0.625) if isinstance(stroke, Circle) else (0.5,)
    return tuple(Point(float(p.x), float(p.y)) for p in map(stroke.at, shares))


# -- panels of a net --------------------------------------------------------


def _of_faces(spell: StepSegment, drawn: Plan, other: Plan | None, view: View, locale: Locale) -> Iterator[Note]:
    if is_cut_as_rectangle(spell, drawn) and len(spell.faces) == 1:
        return      # its width and height are measured already
    state = other.state(spell.piece.id) if other else None
    told = set()
    for face in spell.faces:
        mine, theirs = _face_sizes(face), _face_sizes(_twin_face(state, face))
        key = tuple(round(float(q), 6) for q in mine)
        if key in told:
            continue
        told.add(key)
        twins = [twin(q, theirs[i] if i < len(theirs) else None, drawn.system, locale) for i, q in enumerate(mine)]
        several = sum(1 for f in spell.faces if _rounded(f) == key) > 1
        yield _of_face(face, twins, several, view)


def _rounded(face: Face) -> tuple[float, ...]:
    return tuple(round(float(q), 6) for q in _face_sizes(face))


def _twin_face(state: PieceState | None, face: Face) -> Face | None:
    return next((f for f in state.faces if f.id == face.id), None) if state else None


def _face_sizes(face: Face | None) -> list:
    """One length where all edges are equal, else the first edge and the depth from it."""
    if face is None:
        return []
    edges = [stroke.length() for stroke in face.outline]
    if all(isinstance(s, Line) for s in face.outline) and max(edges) - min(edges) < SAME:
        return [length_of(edges[0])]
    return [length_of(edges[0]), length_of(_depth(face))]


def _depth(face: Face):
    """How far a face reaches from its first edge; exact where that edge runs along an axis."""
    (x0, y0), (x1, y1) = face.outline[0].start, face.outline[0].end
    if x0 == x1:
        return max(abs(b - x0) for s in face.outline for b in (s.bounds()[0], s.bounds()[2]))
    if y0 == y1:
        return max(abs(b - y0) for s in face.outline for b in (s.bounds()[1], s.bounds()[3]))
    size = float(face.outline[0].length())
    return max(abs(float((x1 - x0) * (p.y - y0) - (y1 - y0) * (p.x - x0))) / size
               for s in face.outline for p in s.flattened())


def _of_face(face: Face, twins: list[Twin], several: bool, view: View) -> Note:
    box = around((b[k], b[k + 1]) for stroke in view.path(face.outline)
                 for b in (stroke.bounds(),) for k in (0, 2))
    anchor, locale = Point(*box.middle), twins[0].locale
    if len(twins) == 1:
        edge = locale.say("drawing.note.edge")
        return Note(twins[0].pair(edge), (anchor,), row_of(edge, twins), inside=box)
    words = by_twin(*twins)
    if several:
        words = Pair(*(locale.say("drawing.note.each", size=size) for size in (words.inch, words.mm)))
    return Note(words, (anchor,), row_of(locale.say("drawing.note.face"), twins), inside=box)

"""Sizes that are no distance from an edge: holes, bulges, radii, the panels of a net."""
from __future__ import annotations

from collections.abc import Iterator

from generator.drawing.lettering import DualText
from generator.drawing.picture_geometry import View, bounding_box
from generator.drawing.steps.dimensions import is_cut_as_rectangle, marks_by_id
from generator.drawing.steps.dual_measures import DualMeasure, dual_measure, dual_size, exact_length, text_row
from generator.drawing.steps.notes import Note
from generator.drawing.steps.segments import StepSegment
from generator.geometry import Arc, Circle, EllipseArc, Line, Point, Stroke
from generator.locale import ENGLISH, Locale
from generator.paper.records import Face, Mark, PieceState, Plan

SIZE_TOLERANCE = 1e-6     # mm of paper


def size_notes(segment: StepSegment, drawn: Plan, other: Plan | None, view: View,
               locale: Locale = ENGLISH) -> Iterator[Note]:
    """One note for each size that the marks and the new panels of a segment need, however many share it."""
    theirs = marks_by_id(other, segment.piece.id)
    told: set[tuple] = set()
    for mark in segment.marks:
        for kind, size, other_size in _mark_sizes(mark, theirs.get(mark.id), drawn.system):
            if (kind, float(size), mark.name) not in told:
                told.add((kind, float(size), mark.name))
                same = sum(1 for m in segment.marks if m.name == mark.name and m.kind is mark.kind)
                yield _mark_note(mark, kind, dual_measure(size, other_size, drawn.system, locale), same, view)
    yield from _face_notes(segment, drawn, other, view, locale)


def _mark_sizes(mark: Mark, theirs: Mark | None, system: str) -> Iterator[tuple]:
    """(what it is, the size here, the size in the other edition or None)."""
    mine = list(_curve_sizes(mark))
    others = list(_curve_sizes(theirs)) if theirs else []
    for index, (kind, size) in enumerate(mine):
        same = others[index][1] if index < len(others) and others[index][0] == kind else None
        yield kind, size, same


def _curve_sizes(mark: Mark) -> Iterator[tuple]:
    """What a reader has to know of a mark's curves; lengths exact where the record has them."""
    for stroke in mark.whole:
        if isinstance(stroke, Circle):
            yield "hole" if mark.kind.is_hole else "circle", _exact_size(mark, 2 * stroke.radius)
        elif isinstance(stroke, Arc):
            by_radius = _known_size(mark, stroke.radius) and not _known_size(mark, abs(stroke.bulge))
            yield ("radius", _exact_size(mark, stroke.radius)) if by_radius else ("bulge", _exact_size(mark, abs(stroke.bulge)))
        elif isinstance(stroke, EllipseArc):
            yield "axis", _exact_size(mark, stroke.rx)
            yield "axis2", _exact_size(mark, stroke.ry)


def _exact_size(mark: Mark, value):
    return next((size for size in mark.sizes if abs(float(size) - float(value)) < SIZE_TOLERANCE), exact_length(value))


def _known_size(mark: Mark, value) -> bool:
    return any(abs(float(size) - float(value)) < SIZE_TOLERANCE for size in mark.sizes)


def _mark_note(mark: Mark, kind: str, size: DualMeasure, same: int, view: View) -> Note:
    words = size.locale.say(f"drawing.note.each_{kind}" if same > 1 else f"drawing.note.{kind}")
    return Note(size.pair(words), _anchors(view.stroke(mark.whole[0])), text_row(words, [size]), on_line=True)


def _anchors(stroke: Stroke) -> tuple[Point, ...]:
    """Where a leader may meet a curve: round a circle, else at its middle."""
    shares = (0.125, 0.875, 0.375, 0.625) if isinstance(stroke, Circle) else (0.5,)
    return tuple(Point(float(p.x), float(p.y)) for p in map(stroke.at, shares))


# -- panels of a net --------------------------------------------------------


def _face_notes(segment: StepSegment, drawn: Plan, other: Plan | None, view: View, locale: Locale) -> Iterator[Note]:
    if is_cut_as_rectangle(segment, drawn) and len(segment.faces) == 1:
        return      # its width and height are measured already
    state = other.state(segment.piece.id) if other else None
    told = set()
    for face in segment.faces:
        mine, theirs = _face_sizes(face), _face_sizes(_face_in_other_edition(state, face))
        key = tuple(round(float(q), 6) for q in mine)
        if key in told:
            continue
        told.add(key)
        twins = [dual_measure(q, theirs[i] if i < len(theirs) else None, drawn.system, locale) for i, q in enumerate(mine)]
        several = sum(1 for f in segment.faces if _rounded_sizes(f) == key) > 1
        yield _face_note(face, twins, several, view)


def _rounded_sizes(face: Face) -> tuple[float, ...]:
    return tuple(round(float(q), 6) for q in _face_sizes(face))


def _face_in_other_edition(state: PieceState | None, face: Face) -> Face | None:
    return next((f for f in state.faces if f.id == face.id), None) if state else None


def _face_sizes(face: Face | None) -> list:
    """One length where all edges are equal, else the first edge and the depth from it."""
    if face is None:
        return []
    edges = [stroke.length() for stroke in face.outline]
    if all(isinstance(s, Line) for s in face.outline) and max(edges) - min(edges) < SIZE_TOLERANCE:
        return [exact_length(edges[0])]
    return [exact_length(edges[0]), exact_length(_face_depth(face))]


def _face_depth(face: Face):
    """How far a face reaches from its first edge; exact where that edge runs along an axis."""
    (x0, y0), (x1, y1) = face.outline[0].start, face.outline[0].end
    if x0 == x1:
        return max(abs(b - x0) for s in face.outline for b in (s.bounds()[0], s.bounds()[2]))
    if y0 == y1:
        return max(abs(b - y0) for s in face.outline for b in (s.bounds()[1], s.bounds()[3]))
    size = float(face.outline[0].length())
    return max(abs(float((x1 - x0) * (p.y - y0) - (y1 - y0) * (p.x - x0))) / size
               for s in face.outline for p in s.flattened())


def _face_note(face: Face, twins: list[DualMeasure], several: bool, view: View) -> Note:
    box = bounding_box((b[k], b[k + 1]) for stroke in view.path(face.outline)
                 for b in (stroke.bounds(),) for k in (0, 2))
    anchor, locale = Point(*box.middle), twins[0].locale
    if len(twins) == 1:
        edge = locale.say("drawing.note.edge")
        return Note(twins[0].pair(edge), (anchor,), text_row(edge, twins), inside=box)
    words = dual_size(*twins)
    if several:
        words = DualText(*(locale.say("drawing.note.each", size=size) for size in (words.inch, words.mm)))
    return Note(words, (anchor,), text_row(locale.say("drawing.note.face"), twins), inside=box)

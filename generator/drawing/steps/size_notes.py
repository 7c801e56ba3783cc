"""Sizes that are no distance from an edge: holes, bulges, radii, the panels of a net."""
from __future__ import annotations

from collections.abc import Iterator, Sequence

from generator.drawing.lettering import DualText
from generator.drawing.picture_geometry import View, strokes_box
from generator.drawing.steps.dimensions import is_cut_as_rectangle, marks_by_id
from generator.drawing.steps.dual_measures import DualMeasure, dual_measure, dual_size, exact_length, text_row
from generator.drawing.steps.notes import Note
from generator.drawing.steps.segments import StepSegment
from generator.geometry import Arc, Circle, EllipseArc, Line, Point, Real, Stroke, bounds_of
from generator.geometry.tolerances import PLACE_TOLERANCE
from generator.locale import ENGLISH, Locale
from generator.paper.records import Face, Mark, Plan
from generator.units import Quantity


def size_notes(segment: StepSegment, drawn: Plan, other: Plan | None, view: View,
               locale: Locale = ENGLISH) -> Iterator[Note]:
    """One note for each size that the marks and the new panels of a segment need, however many share it."""
    counterparts = marks_by_id(other, segment.piece.id)
    noted: set[tuple[str, float, str | None]] = set()
    for mark in segment.marks:
        for kind, size, other_size in _mark_sizes(mark, counterparts.get(mark.id)):
            if (kind, float(size), mark.name) not in noted:
                noted.add((kind, float(size), mark.name))
                alike = [m for m in segment.marks if m.name == mark.name and m.kind is mark.kind]
                yield _mark_note(alike, kind, dual_measure(size, other_size, drawn.system, locale), view)
    yield from _face_notes(segment, drawn, other, view, locale)


def _mark_sizes(mark: Mark, counterpart: Mark | None) -> Iterator[tuple[str, Quantity, Quantity | None]]:
    """(what it is, the size here, the size in the other edition or None)."""
    others = list(_curve_sizes(counterpart)) if counterpart else []
    for index, (kind, size) in enumerate(_curve_sizes(mark)):
        yield kind, size, others[index][1] if index < len(others) and others[index][0] == kind else None


def _curve_sizes(mark: Mark) -> Iterator[tuple[str, Quantity]]:
    """What a reader has to know of a mark's curves; lengths exact where the record has them."""
    for stroke in mark.whole:
        if isinstance(stroke, Circle):
            yield "hole" if mark.kind.is_hole else "circle", _exact_size(mark, 2 * stroke.radius)
        elif isinstance(stroke, Arc):
            bulge = stroke.bulge if stroke.bulge > 0 else -stroke.bulge
            by_radius = _known_size(mark, stroke.radius) is not None and _known_size(mark, bulge) is None
            yield "radius" if by_radius else "bulge", _exact_size(mark, stroke.radius if by_radius else bulge)
        elif isinstance(stroke, EllipseArc):
            yield "axis", _exact_size(mark, stroke.rx)
            yield "axis2", _exact_size(mark, stroke.ry)


def _exact_size(mark: Mark, value: Real) -> Quantity:
    known = _known_size(mark, value)
    return exact_length(value) if known is None else known


def _known_size(mark: Mark, value: Real) -> Quantity | None:
    """The length of the source that a size of a mark is, if it is one."""
    return next((size for size in mark.sizes if abs(float(size) - float(value)) < PLACE_TOLERANCE), None)


def _mark_note(marks: Sequence[Mark], kind: str, size: DualMeasure, view: View) -> Note:
    """The size of each of these marks, told at that beside which there is room."""
    words = size.locale.say(f"drawing.note.each_{kind}" if len(marks) > 1 else f"drawing.note.{kind}")
    anchors = tuple(anchor for mark in marks for anchor in _anchors(view.stroke(mark.whole[0])))
    return Note(size.text(words), anchors, text_row(words, [size]), on_line=True)


def _anchors(stroke: Stroke) -> tuple[Point, ...]:
    """Where a leader may meet a curve: round a circle, else at its middle."""
    shares = (0.125, 0.875, 0.375, 0.625) if isinstance(stroke, Circle) else (0.5,)
    return tuple(Point(float(p.x), float(p.y)) for p in map(stroke.at, shares))


# -- panels of a net --------------------------------------------------------


def _face_notes(segment: StepSegment, drawn: Plan, other: Plan | None, view: View,
                locale: Locale) -> Iterator[Note]:
    if is_cut_as_rectangle(segment, drawn) and len(segment.faces) == 1:
        return      # its width and height are measured already
    state = other.state(segment.piece.id) if other else None
    counterparts = {face.id: face for face in state.faces} if state else {}
    sizes = {face.id: _face_sizes(face) for face in segment.faces}
    keys = {face: tuple(round(float(q), 6) for q in found) for face, found in sizes.items()}
    noted = set()
    for face in segment.faces:
        if keys[face.id] in noted:
            continue
        noted.add(keys[face.id])
        others = _face_sizes(counterparts[face.id]) if face.id in counterparts else []
        values = [dual_measure(size, others[i] if i < len(others) else None, drawn.system, locale)
                  for i, size in enumerate(sizes[face.id])]
        yield _face_note(face, values, list(keys.values()).count(keys[face.id]) > 1, view)


def _face_sizes(face: Face) -> list[Quantity]:
    """One length where all edges are equal, else the first edge and the depth from it."""
    edges = [stroke.length() for stroke in face.outline]
    if all(isinstance(s, Line) for s in face.outline) and max(edges) - min(edges) < PLACE_TOLERANCE:
        return [exact_length(edges[0])]
    return [exact_length(edges[0]), exact_length(_face_depth(face))]


def _face_depth(face: Face) -> Real:
    """How far a face reaches from its first edge; exact where that edge runs along an axis."""
    (x0, y0), (x1, y1) = face.outline[0].start, face.outline[0].end
    x_low, y_low, x_high, y_high = bounds_of(face.outline)
    if x0 == x1:
        return max(x0 - x_low, x_high - x0)
    if y0 == y1:
        return max(y0 - y_low, y_high - y0)
    size = float(face.outline[0].length())
    return max(abs(float((x1 - x0) * (p.y - y0) - (y1 - y0) * (p.x - x0))) / size
               for s in face.outline for p in s.flattened())


def _face_note(face: Face, values: list[DualMeasure], several: bool, view: View) -> Note:
    box = strokes_box(view.path(face.outline))
    anchor, locale = Point(*box.middle), values[0].locale
    if len(values) == 1:
        edge = locale.say("drawing.note.edge")
        return Note(values[0].text(edge), (anchor,), text_row(edge, values), inside=box)
    words = dual_size(*values)
    if several:
        words = DualText(*(locale.say("drawing.note.each", size=size) for size in (words.inch, words.mm)))
    return Note(words, (anchor,), text_row(locale.say("drawing.note.face"), values), inside=box)

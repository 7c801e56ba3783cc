"""Decoration: bands round a box, what is cut from scraps, and stamps in the clear area of a panel."""
from __future__ import annotations

from collections.abc import Sequence

import shapely
from shapely.geometry.base import BaseGeometry

from generator.geometry import Circle, Line, Real, Region, Stroke, largest_rectangle
from generator.geometry.overlay import area_without, shared_area
from generator.geometry.strokes import polyline
from generator.geometry.tolerances import PLACE_TOLERANCE
from generator.paper.area import area_of, rectangle_between, valid_polygon
from generator.paper.parameter_kinds import FaceArg, Faces, Length, PaperArg, UpArg
from generator.paper.patterns import members
from generator.paper.plan_builder import PlanBuilder
from generator.paper.records import Band, Decoration, Face, Mark
from generator.paper.values import Group, Piece
from generator.paper.verbs.blanks import rectangle_piece, require_positive
from generator.units import ZERO, Quantity

SLANTED_PARTS = 16        # parts of a slanted edge or a curve at which a corner may lie


def band(builder: PlanBuilder, faces: Faces, *, width: Length, lap: Length, paper: PaperArg | None = None,
         up: UpArg | None = None) -> Piece:
    """A strip that goes once round these faces, side by side, and laps over itself.

    ``width`` high, as long as they and ``lap``.
    """
    require_positive(builder, width, "width")
    require_positive(builder, lap, "lap")
    around, axis = ZERO, "x" if _in_a_row(members(faces)) else "y"
    for face in members(faces):
        if face.size is None:
            builder.refuse("call-kind", "a band goes round upright faces between scores or edges",
                       "name the walls with faces(…, x=…, y=…)", at="faces")
        around = around + face.size["xy".index(axis)]
    return rectangle_piece(builder, "band", around + lap, width, paper, up,
                           detail=Band(members(faces), lap, axis))


def _in_a_row(faces: Sequence[Face]) -> bool:
    """Whether faces of one piece stand in a row along its x, each beyond the one before, not along its y."""
    spans = sorted((float(box[0]), float(box[2]))
                   for box in (Region(face.outline).bounds() for face in faces))
    return all(before[1] <= after[0] + PLACE_TOLERANCE
               for before, after in zip(spans, spans[1:], strict=False))


def clear(builder: PlanBuilder, face: FaceArg, *, by: Length) -> Face:
    """The roomiest upright rectangle of a face that keeps ``by`` from its edges, folds, holes and slits.

    For a stamp or a label.
    """
    state, names = builder.state(face.piece), _names_of_sizes(builder, face, by)
    if by.value < 0:
        builder.refuse("length-negative", f"by comes to {builder.format_length(by)}",
                       "give how far to keep away from edges",
                   at="by")
    builder.count_work(600)
    marks = [mark for mark in state.marks if mark.kind.spoils]
    own = shared_area(valid_polygon(Region(face.outline)), area_of(builder, state).polygon)
    free: BaseGeometry = own.buffer(-float(by.value), join_style="mitre")
    near = shapely.union_all([_geometry_of(run) for mark in marks for run in _strokes_of(mark)])
    within = own.buffer(-PLACE_TOLERANCE, join_style="mitre")
    reach = float(by.value) or PLACE_TOLERANCE
    free = area_without(free, near.intersection(within).buffer(reach, cap_style="square"))
    across, up = _side_candidates(face, marks, by)
    box = None if free.is_empty else largest_rectangle(free, across, up)
    if box is None:
        builder.refuse("zero-length",
                   f"nothing of this face is clear {builder.format_length(by)} "
                   f"away from edges, folds and holes",
                   "keep less away, or choose another face", at="by")
    sides = [Quantity(value, 1, names) for value in box]
    size = (sides[2] - sides[0], sides[3] - sides[1])
    result = Face(builder.face_id(), builder.name, 1, 1, face.piece,
                rectangle_between((sides[0], sides[2]), (sides[1], sides[3])), builder.step,
                builder.act, builder.span, frozenset(), size * 2, size)
    builder.record("clear", face.piece, faces=(result.id,), detail=Decoration((result,)))
    return result


def stamp(builder: PlanBuilder, faces: Faces) -> None:
    """Stamp or letter these faces, while the piece still lies flat."""
    _decorate(builder, "stamp", faces)


def emboss(builder: PlanBuilder, faces: Faces) -> None:
    """Emboss these faces, while the piece still lies flat."""
    _decorate(builder, "emboss", faces)


def _decorate(builder: PlanBuilder, verb: str, faces: Face | Group[Face]) -> None:
    chosen = members(faces)
    builder.record(verb, *dict.fromkeys(face.piece for face in chosen),
                   faces=tuple(face.id for face in chosen),
               detail=Decoration(chosen))


def _names_of_sizes(builder: PlanBuilder, face: Face, by: Quantity) -> frozenset[str]:
    state = builder.state(face.piece)
    sizes = face.size or face.lengths or (state.width, state.height)
    return by.names.union(*(size.names for size in sizes))


def _strokes_of(mark: Mark) -> tuple[Stroke, ...]:
    return mark.extent


def _geometry_of(stroke: Stroke) -> shapely.Geometry:
    """A stroke for the geometry library; a hole as the square round it, as near as anybody letters."""
    if isinstance(stroke, Circle):
        return shapely.box(*stroke.box)
    return shapely.LineString(polyline(stroke))


def _side_candidates(face: Face, marks: Sequence[Mark], by: Quantity) -> tuple[list[Real], list[Real]]:
    """The coordinates at which a side of the clear area may lie."""
    across: list[Real] = []
    up: list[Real] = []
    for stroke in (*face.outline, *(run for mark in marks for run in _strokes_of(mark))):
        upright = isinstance(stroke,
                             Line) and (stroke.start.x == stroke.end.x or stroke.start.y == stroke.end.y)
        points = [] if upright or isinstance(stroke, Circle) else [stroke.at(k / SLANTED_PARTS)
                                                                   for k in range(SLANTED_PARTS + 1)]
        x0, y0, x1, y1 = stroke.bounds()
        for values, own in ((across, [p.x for p in points] + [x0, x1]),
                            (up, [p.y for p in points] + [y0, y1])):
            values += [value + shift for value in own for shift in (by.value, -by.value, 0)]
    return across, up

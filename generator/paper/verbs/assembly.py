"""Folding and assembling: fold, faces, glue, thread, gather, turn."""
from __future__ import annotations

from shapely import LineString, box

from generator.geometry import Region, Stroke, clipped_inside, counter_clockwise
from generator.geometry.overlay import shared_area
from generator.geometry.tolerances import PLACE_TOLERANCE
from generator.paper.area import area_of, is_plain_sheet, rectangle_between, valid_polygon
from generator.paper.coordinates import span_coordinates
from generator.paper.mark_placement import shape_strokes
from generator.paper.orientation import side_coordinate, turned, turned_over
from generator.paper.parameter_kinds import (
    Angles,
    Directions,
    Extent,
    Faces,
    Folds,
    Holes,
    Marks,
    OrderArg,
    PieceArg,
    ShapeArg,
    Spans,
    TurnArg,
)
from generator.paper.patterns import has_group, members, paired
from generator.paper.plan_builder import PlanBuilder
from generator.paper.records import (
    Face,
    Fold,
    FoldDirection,
    Glue,
    Mark,
    PieceState,
    Side,
    Thread,
)
from generator.paper.values import Group, JointHandle, PlaceSpan, VocabularyWord
from generator.paper.verbs.marks import closed_shapes, rectangle_spans
from generator.units import Angle, Quantity

OwnSpans = tuple[tuple[Quantity, Quantity], tuple[Quantity, Quantity]]     # spans of x and y, own frame
QUARTER_TURNS = {"quarter": 1, "half": 2, "quarter_back": 3}


def fold(builder: PlanBuilder, marks: Marks, direction: Directions, *, x: Extent | None = None,
         y: Extent | None = None, by: Angles | None = None) -> Folds:
    """Fold along scores, or along the part of them within a span.

    Mountain and valley are seen from the printed side.
    """
    result: list[Fold] = []
    pieces: dict[int, list[Fold]] = {}
    spans: dict[int, OwnSpans | None] = {}
    for mark, way, angle in paired(builder, marks, direction, by):
        state = builder.state(mark.piece)
        if not mark.kind.folds:
            builder.refuse("fold-unscored", f"a {mark.verb} is no score to fold along", "score it first",
                       at="marks")
        if mark.stays_flat:
            builder.refuse("fold-unscored", "this score is to be kept flat, and is folded here",
                       "take keep=flat out of the score, or the fold", at="marks")
        builder.count_work((len(state.marks) + len(state.folds)) // 40)
        now = next(m for m in state.marks if m.id == mark.id)
        if mark.piece not in spans:
            spans[mark.piece] = _spans(builder, state, x, y)
        runs = _runs_within(now, spans[mark.piece])
        if any(_overlap(run, folded) for old in state.folds if old.mark == mark.id for folded in old.runs
               for run in runs):
            builder.refuse("work-twice", "this score is folded already", "leave the second fold out, or fold "
                           "another part of it with x= or y=", at="marks")
        if not runs:    # part of a row of scores may be cut away, as where a tab was cut back
            continue
        result.append(Fold(mark.id, FoldDirection(way.value), runs, _fold_angle(builder, angle), builder.step,
                         builder.act, builder.span))
        pieces.setdefault(mark.piece, []).append(result[-1])
    if not result:
        builder.refuse("fold-unscored", "nothing is left of these scores where they would be folded",
                   "check the span, and what was cut or removed", at="marks")
    for piece, folds in pieces.items():
        builder.change(piece, folds=(*builder.state(piece).folds, *folds))
    builder.record("fold", *pieces, marks=tuple(f.mark for f in result), detail=tuple(result))
    return Group(tuple(result)) if has_group(marks, direction, by) else result[0]


def _overlap(run: Stroke, other: Stroke) -> bool:
    """Whether two parts of one mark have more than an end in common."""
    shared = [min(run.box[k + 2], other.box[k + 2]) - max(run.box[k], other.box[k]) for k in (0, 1)]
    if min(shared) < 0 or max(shared) <= 4 * PLACE_TOLERANCE:
        return False
    one, two = (LineString([(float(p.x), float(p.y)) for p in each.flattened()]) for each in (run, other))
    return bool(one.intersection(two.buffer(PLACE_TOLERANCE)).length > 4 * PLACE_TOLERANCE)


def _fold_angle(builder: PlanBuilder, angle: Angle | None) -> float | None:
    if angle is None:
        return None
    if not 0 < angle.degrees <= 180:
        builder.refuse("angle-wrong", f"paper cannot be folded by {float(angle.degrees):g}°",
                   "an angle of 0 leaves it flat, 180 deg folds it back on itself", at="by")
    return float(angle.degrees)


def _spans(builder: PlanBuilder, state: PieceState, x: Extent | None, y: Extent | None) -> OwnSpans | None:
    """The rectangle of two spans in the own frame; None where neither is given."""
    if x is None and y is None:
        return None
    whole_x, whole_y = PlaceSpan(VocabularyWord("left"),
                                 VocabularyWord("right")), PlaceSpan(VocabularyWord("bottom"),
                                                                     VocabularyWord("top"))
    spans = [span_coordinates(builder, state, axis, span, axis) for axis, span in
             (("x", x if x is not None else whole_x), ("y", y if y is not None else whole_y))]
    return (spans[0], spans[1]) if state.orientation.quarters % 2 == 0 else (spans[1], spans[0])


def _runs_within(mark: Mark, own: OwnSpans | None) -> tuple[Stroke, ...]:
    if own is None:
        return mark.runs
    return tuple(part for run in mark.runs for part in _clipped_run(run, own))


def _clipped_run(run: Stroke, own: OwnSpans) -> list[Stroke]:
    (x0, x1), (y0, y1) = own
    left, low, right, high = run.box
    if (float(x0.value) <= left and right <= float(x1.value) and float(y0.value) <= low
        and high <= float(y1.value)):
        return [run]
    return [part for part in clipped_inside(run, Region(rectangle_between(*own)), keep_edge=True)
            if part.length() > PLACE_TOLERANCE]


def faces(builder: PlanBuilder, piece: PieceArg, *shapes: ShapeArg, x: Spans | None = None,
          y: Spans | None = None) -> Faces:
    """Name areas of a piece, between marks or edges, or by shapes.

    The bays of a row of panels, a tab, a flap.
    """
    state = builder.state(piece)
    areas: list[tuple[tuple[Stroke, ...], OwnSpans | None]]
    if shapes:
        areas = [(counter_clockwise(shape_strokes(builder, state, shape, None)), None)
                 for shape in closed_shapes(builder, shapes, x, y)]
    else:
        areas = [(rectangle_between(*own), own) for own in rectangle_spans(builder, state, x, y)]
    result = []
    for index, (strokes, own) in enumerate(areas, start=1):
        if not _on_paper(builder, state, strokes, own):
            builder.refuse("mark-off-piece",
                           f"there is no paper for face {index} of '{builder.name or 'these'}'",
                       "check its spans against what was cut away")
        result.append(Face(builder.face_id(), builder.name, index, len(areas), piece.id, strokes,
                           builder.step,
                         builder.act, builder.span,
                         lengths=_rectangle_lengths(own), size=_rectangle_size(own)))
    builder.record("faces", piece, faces=tuple(f.id for f in result))
    return Group(tuple(result)) if has_group(x, y, *shapes) or len(shapes) > 1 else result[0]


def _rectangle_size(own: OwnSpans | None) -> tuple[Quantity, Quantity] | None:
    """Width and height of a rectangle between places, so that its measures keep their names."""
    if own is None:
        return None
    (left, right), (low, high) = own
    return right - left, high - low


def _rectangle_lengths(own: OwnSpans | None) -> tuple[Quantity, ...]:
    size = _rectangle_size(own)
    return size * 2 if size is not None else ()


def _on_paper(builder: PlanBuilder, state: PieceState, strokes: tuple[Stroke, ...],
              own: OwnSpans | None) -> bool:
    if own is not None:
        (x0, x1), (y0, y1) = own
        area = box(float(x0.value), float(y0.value), float(x1.value), float(y1.value))
        return bool(shared_area(area_of(builder, state).polygon, area).area >= 0.5 * area.area)
    builder.count_work(5 + len(state.outline) // 20)
    if is_plain_sheet(state):
        low_x, high_x = side_coordinate(state, Side.LEFT).value, side_coordinate(state, Side.RIGHT).value
        low_y, high_y = side_coordinate(state, Side.BOTTOM).value, side_coordinate(state, Side.TOP).value
        return all(low_x <= s.start.x <= high_x and low_y <= s.start.y <= high_y for s in strokes)
    region = Region(strokes)
    covered = shared_area(area_of(builder, state).polygon, valid_polygon(region))
    return bool(covered.area >= 0.5 * float(region.area()))


def glue(builder: PlanBuilder, faces: Faces, *, under: Faces | None = None, over: Faces | None = None,
         order: OrderArg | None = None) -> JointHandle:
    """Stick faces under (or over) others, or on each other in an order; the last named lies on top."""
    stuck = members(faces)
    if under is not None and over is not None:
        builder.refuse("call-parameter", "faces are glued either under or over others",
                       "leave one of them out")
    onto = under if under is not None else over
    target = members(onto) if onto is not None else ()
    if not stuck or not target and onto is not None:
        builder.refuse("call-missing", "no face is named here, for none of the piece has been named",
                   "name one with faces(…) before it is glued")
    if len(target) > 1 and len(target) != len(stuck):
        builder.refuse("group-sizes", f"{len(stuck)} faces cannot be glued to {len(target)}",
                   "name as many, or a single one")
    if not target and len(stuck) < 2:
        builder.refuse("call-missing", "one face alone has nothing to be glued to", "say under=… or over=…")
    detail = Glue(stuck, target, over is not None,
                  _glue_order(len(stuck), order.value if order else "in_turn"))
    wanted = _pairs(detail)
    if any(not wanted.isdisjoint(_pairs(act.detail)) for act in builder.acts if isinstance(act.detail, Glue)):
        builder.refuse("work-twice", "these faces are glued to each other already",
                       "leave the second line out", at="faces")
    builder.count_work(len(builder.acts))
    pieces = dict.fromkeys(face.piece for face in (*stuck, *target))
    return JointHandle(builder.record("glue", *pieces, faces=tuple(face.id for face in stuck),
                                  detail=detail).number)


def _pairs(detail: Glue) -> frozenset[tuple[int, int]]:
    """The faces that are glued to each other, by number; among themselves, all that lie on the first."""
    if not detail.target:
        return frozenset((face.id, detail.faces[0].id) for face in detail.faces[1:])
    onto = detail.target if len(detail.target) > 1 else detail.target * len(detail.faces)
    return frozenset((face.id, other.id) for face, other in zip(detail.faces, onto, strict=True))


def _glue_order(count: int, how: str) -> tuple[int, ...]:
    if how != "opposite":
        return tuple(range(1, count + 1))
    half = (count + 1) // 2
    pairs = ((k, k + half) for k in range(1, half + 1))
    return tuple(k for pair in pairs for k in pair if k <= count)


def thread(builder: PlanBuilder, ribbon: PieceArg, *, through: Holes) -> JointHandle:
    """Lead a ribbon through holes, in their order."""
    holes = members(through)
    if not all(mark.kind.takes_ribbon for mark in holes):
        builder.refuse("call-kind", "a ribbon goes through punched holes or slits only", "punch them first",
                   at="through")
    detail = Thread(tuple(mark.id for mark in holes), builder.state(ribbon).width)
    act = builder.record("thread", ribbon, *dict.fromkeys(m.piece for m in holes), marks=detail.marks,
                     detail=detail)
    return JointHandle(act.number)


def gather(builder: PlanBuilder, piece: PieceArg, *, by: PieceArg | None = None) -> JointHandle:
    """Draw the top of a piece together, with a ribbon (``by``) or by hand."""
    return JointHandle(builder.record("gather", piece, *(() if by is None else (by,))).number)


def turn(builder: PlanBuilder, piece: PieceArg, how: TurnArg) -> None:
    """Turn a piece on the table: a quarter clockwise, half, or quarter_back."""
    builder.change(piece, orientation=turned(builder.state(piece).orientation, QUARTER_TURNS[how.value]))
    builder.record("turn", piece)


def turn_over(builder: PlanBuilder, piece: PieceArg) -> None:
    """Turn a piece over as one turns a page; left and right change places."""
    builder.change(piece, orientation=turned_over(builder.state(piece).orientation))
    builder.record("turn_over", piece)

"""Put marks on a piece: check them against what is there, and let cuts replace scores.

Turn a shape of the source into strokes of the piece's own frame.
"""
from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NoReturn

from shapely import LineString

from generator.dataclass import dataclass, field, replace
from generator.geometry import (
    Line,
    Point,
    Real,
    ShapeError,
    Stroke,
    Transform,
    clipped_inside,
    crossings,
    overlaps,
)
from generator.geometry.strokes import box_of, polyline
from generator.geometry.tolerances import PLACE_TOLERANCE
from generator.paper.area import LineWork, area_of, is_plain_sheet, remaining_runs
from generator.paper.coordinates import BoundLine, bind_place, bind_point, point, point_positions, reader_axis
from generator.paper.orientation import side_coordinate
from generator.paper.plan_builder import PlanBuilder
from generator.paper.records import Mark, PieceState, Side
from generator.paper.values import Group, Piece, PlaceValue, Shape, UnboundPoint
from generator.paper.work_kinds import MARK_KINDS
from generator.units import Quantity


@dataclass(frozen=True, slots=True)
class PendingMark:
    """A mark about to be made: its strokes in the own frame and, for a straight one, its place."""

    strokes: tuple[Stroke, ...]
    bound: BoundLine | None = None
    positions: tuple[tuple[Quantity, Side], ...] = ()
    sizes: tuple[Quantity, ...] = ()
    whole_width: bool = False       # runs from edge to edge, so it is cut to the outline silently
    parameter: str | None = None
    length: Quantity | None = None


def pending_straight_mark(state: PieceState, bound: BoundLine, span: tuple[Quantity, Quantity] | None,
                          parameter: str,
             ends: tuple[tuple[Quantity, Side], ...] = ()) -> PendingMark:
    """A line across the piece at ``bound``, between the own coordinates ``span`` or from edge to edge.

    ``ends`` are the distances that the reader sets for where it ends.
    """
    if bound.axis == "x":
        low, high = span or (side_coordinate(state, Side.BOTTOM), side_coordinate(state, Side.TOP))
        line = Line(point(bound.at, low), point(bound.at, high))
    else:
        low, high = span or (side_coordinate(state, Side.LEFT), side_coordinate(state, Side.RIGHT))
        line = Line(point(low, bound.at), point(high, bound.at))
    return PendingMark((line,), bound, ((bound.position, bound.side), *ends), (), span is None, parameter,
                       high - low)


def make_marks(builder: PlanBuilder, piece: Piece, verb: str, tool: str | None, drawn: Sequence[PendingMark],
               grouped: bool, stays_flat: bool = False) -> Mark | Group[Mark]:
    """Make marks, note them in the piece's state, end the act. Gives a Mark, or a Group when ``grouped``.

    ``tool`` None is the usual one of the kind.
    """
    state = builder.state(piece)
    result: list[Mark] = []
    for index, (ident, each) in enumerate(zip(builder.mark_ids(len(drawn)), drawn, strict=True), start=1):
        runs = _on_paper(builder, state, each, verb)
        made_with = tool or MARK_KINDS[verb].tool
        mark = replace(_mark(builder, piece, verb, made_with, ident, index, len(drawn), each, runs),
                       stays_flat=stays_flat)
        _check_against_others(builder, state, result, mark, each.parameter)
        result.append(mark)
    if MARK_KINDS[verb].cuts:
        builder.change(piece, marks=tuple(_without_cuts(mark, result) for mark in state.marks),
                   folds=tuple(_without_cuts(fold, result) for fold in state.folds))
    builder.change(piece, marks=(*builder.state(piece).marks, *result))
    builder.record(verb, piece, marks=tuple(mark.id for mark in result))
    return Group(tuple(result)) if grouped else result[0]


def _mark(builder: PlanBuilder, piece: Piece, verb: str, tool: str, ident: int, index: int, count: int,
          each: PendingMark, runs: tuple[Stroke, ...]) -> Mark:
    bound = each.bound
    return Mark(id=ident, verb=verb, name=builder.name, index=index, count=count, piece=piece.id,
                axis=bound.axis if bound else None, place=bound.at if bound else None,
                position=bound.position if bound else None, measured_from=bound.side if bound else None,
                tool=tool, whole=each.strokes, runs=runs, step=builder.step, act=builder.act,
                span=builder.span_of_parameter(each.parameter) if bound else builder.span,
                positions=each.positions, sizes=each.sizes,
                length=each.length, box=box_of(each.strokes))


def _on_paper(builder: PlanBuilder, state: PieceState, each: PendingMark, verb: str) -> tuple[Stroke, ...]:
    if each.bound is not None and each.whole_width:
        return _runs_across(builder, state, each, verb)
    for stroke in each.strokes:
        if stroke.length() <= PLACE_TOLERANCE:
            builder.refuse("zero-length", "this line ends where it begins", "give two different points",
                       at=each.parameter)
    if is_plain_sheet(state) and _within_box(state, each.strokes):
        if all(_along_side(state, stroke) for stroke in each.strokes):
            _refuse_off_piece(builder, state, each, verb)
        return each.strokes
    builder.count_work(len(state.outline))
    area = area_of(builder, state)
    lines = [LineString(polyline(stroke)) for stroke in each.strokes]
    if all(area.polygon.contains_properly(line) for line in lines):
        return each.strokes
    if not all(area.widened_polygon.covers(line) for line in lines):
        _refuse_off_piece(builder, state, each, verb)
    if not any(part.length() > PLACE_TOLERANCE for stroke in each.strokes
               for part in clipped_inside(stroke, area.region)):
        _refuse_off_piece(builder, state, each, verb)    # it lies along the edge, or swings out all the way
    return tuple(part for stroke in each.strokes
                 for part in clipped_inside(stroke, area.region, keep_edge=True)
                 if part.length() > PLACE_TOLERANCE)


def _runs_across(builder: PlanBuilder, state: PieceState, each: PendingMark, verb: str) -> tuple[Stroke, ...]:
    bound = each.bound
    assert bound is not None      # the caller has looked
    low, high = (Side.LEFT, Side.RIGHT) if bound.axis == "x" else (Side.BOTTOM, Side.TOP)
    if not (side_coordinate(state, low).below(bound.at) and bound.at.below(side_coordinate(state, high))):
        _refuse_off_piece(builder, state, each, verb)
    if is_plain_sheet(state):
        return each.strokes
    builder.count_work(len(state.outline))
    runs = tuple(part for part in clipped_inside(each.strokes[0], area_of(builder, state).region)
                 if part.length() > PLACE_TOLERANCE)
    if not runs:
        _refuse_off_piece(builder, state, each, verb)
    return runs


def _refuse_off_piece(builder: PlanBuilder, state: PieceState, each: PendingMark, verb: str) -> NoReturn:
    name = builder.info(state.piece).name
    place, width, height = _compared_lengths(builder, state, each.bound)
    measures = f"{width} by {height}"
    hint = f"'{name}' is {measures}; make the piece larger, "
    if each.bound is None:
        kind = MARK_KINDS[verb]
        what = f"this {kind.noun} {'reaches over the edge of' if kind.is_hole else 'runs off'} '{name}'"
        builder.refuse("mark-off-piece", what, hint + "or the shape smaller, or move it", at=each.parameter)
    where = f"the {verb} at {place} from the {each.bound.side} "
    if _on_side(state, each.bound):
        builder.refuse("mark-off-piece", f"{where}lies on the very edge of '{name}'",
                   "an edge is cut already; leave this out, or move it inwards", at=each.parameter)
    if each.bound.position.value < 0:
        hint = "distances count from the edge inwards; measured_from says from which edge"
    else:
        hint += "or the distance or the number of marks smaller"
    builder.refuse("mark-off-piece", f"{where}is not inside '{name}'", hint, at=each.parameter)


def _compared_lengths(builder: PlanBuilder, state: PieceState,
                      bound: BoundLine | None) -> tuple[str, str, str]:
    """How far a line lies from its side, and the sides of its piece, in words that can be compared."""
    width, height = builder.format_length(state.width), builder.format_length(state.height)
    if bound is None:
        return "", width, height
    if bound.axis == "x":
        place, width = builder.format_lengths(bound.position, state.width)
    else:
        place, height = builder.format_lengths(bound.position, state.height)
    return place, width, height


def _on_side(state: PieceState, bound: BoundLine) -> bool:
    sides = (Side.LEFT, Side.RIGHT) if bound.axis == "x" else (Side.BOTTOM, Side.TOP)
    return any(side_coordinate(state, side).same_as(bound.at) for side in sides)


def _within_box(state: PieceState, strokes: Sequence[Stroke]) -> bool:
    x0, y0, x1, y1 = box_of(strokes)
    left, right = float(side_coordinate(state,
                                        Side.LEFT).value), float(side_coordinate(state, Side.RIGHT).value)
    low, high = float(side_coordinate(state,
                                      Side.BOTTOM).value), float(side_coordinate(state, Side.TOP).value)
    return (x0 >= left - PLACE_TOLERANCE and x1 <= right + PLACE_TOLERANCE and y0 >= low - PLACE_TOLERANCE
            and y1 <= high + PLACE_TOLERANCE)


def _along_side(state: PieceState, stroke: Stroke) -> bool:
    if not isinstance(stroke, Line):
        return False
    (x0, y0), (x1, y1) = stroke.start, stroke.end
    upright = {side_coordinate(state, side).value for side in (Side.LEFT, Side.RIGHT)}
    level = {side_coordinate(state, side).value for side in (Side.BOTTOM, Side.TOP)}
    return (x0 == x1 and x0 in upright) or (y0 == y1 and y0 in level)


def _check_against_others(builder: PlanBuilder, state: PieceState, new_marks: Sequence[Mark], mark: Mark,
                          parameter: str | None) -> None:
    if not mark.kind.is_line:
        return
    builder.count_work((len(state.marks) + len(new_marks)) // 40 + 1)
    cuts = mark.kind.cuts
    for other in (*state.marks, *new_marks):
        if not other.kind.is_line or not _boxes_touch(mark.box, other.box):
            continue
        if _lies_on(mark, other) and not (cuts and other.kind.folds):
            builder.refuse("mark-doubled", f"this {mark.verb} lies on {_mark_text(other)}",
                       "leave one of them out, or move it", at=parameter)
        if cuts and other.kind.cuts and _cross(mark, other):
            builder.refuse("cuts-cross", f"this cut crosses {_mark_text(other)}",
                       "end one of the cuts at the other", at=parameter)


def _mark_text(mark: Mark) -> str:
    name = f"'{mark.name}'" if mark.name else "one"
    which = f", number {mark.index} of {mark.count}" if mark.count > 1 else ""
    return f"the {mark.verb} {name}{which} (line {mark.span.line})"


def _lies_on(mark: Mark, other: Mark) -> bool:
    if mark.axis and other.axis:
        if mark.axis != other.axis or not _same_place(mark, other):
            return False
    elif not any(isinstance(a, type(b)) for a in mark.runs for b in other.runs):
        return False
    return any((last - first) * run.length() > PLACE_TOLERANCE
               for run in mark.runs for before in other.runs
               for first, last in overlaps(run, before))


def _same_place(mark: Mark, other: Mark) -> bool:
    return mark.place is not None and other.place is not None and mark.place.same_as(other.place)


def _boxes_touch(a: tuple[float, ...] | None, b: tuple[float, ...] | None) -> bool:
    """True when two boxes have more than rounding in common, or touch along a side."""
    if a is None or b is None:
        return False
    return (a[0] <= b[2] + PLACE_TOLERANCE and b[0] <= a[2] + PLACE_TOLERANCE
            and a[1] <= b[3] + PLACE_TOLERANCE and b[1] <= a[3] + PLACE_TOLERANCE)


def _cross(mark: Mark, other: Mark) -> bool:
    return any(PLACE_TOLERANCE < s < 1 - PLACE_TOLERANCE and PLACE_TOLERANCE < t < 1 - PLACE_TOLERANCE
               for run in mark.runs for before in other.runs for s, t in crossings(run, before))


def _without_cuts(line: LineWork, cuts: Sequence[Mark]) -> LineWork:
    """A score, or a fold along one, without what cuts now lie on."""
    if isinstance(line, Mark) and not line.kind.folds:
        return line
    runs = line.runs
    for cut in cuts:
        if any(_boxes_touch(cut.box, run.box) for run in runs):
            for stroke in cut.runs:
                runs = tuple(part for run in runs for part in remaining_runs(run, stroke))
    return line if runs == line.runs else replace(line, runs=runs)


@dataclass(frozen=True, slots=True)
class PieceFrame:
    """What a shape is handed when it is drawn: how points and lines of the source lie in the own frame."""

    builder: PlanBuilder
    state: PieceState
    parameter: str | None = None    # where the shape stands in the source, for findings
    # by id of a spot, which the shape holds
    bound: dict[int, tuple[BoundLine, BoundLine]] = field(default_factory=dict)

    @property
    def mirrors(self) -> bool:
        """True on a piece turned over: what bulges left there bulges right in the own frame."""
        return self.state.orientation.over

    @property
    def to_piece_frame(self) -> Transform:
        """The turn from the reader's directions into those of the own frame."""
        back = Transform.quarter(self.state.orientation.quarters)
        return Transform.mirror_x().then(back) if self.mirrors else back

    @property
    def axes_swapped(self) -> bool:
        """True where the reader's across is the own frame's up."""
        return self.state.orientation.quarters % 2 == 1

    def refuse(self, code: str, message: str, hint: str) -> NoReturn:
        """End the call with a finding at the shape. Raises Trouble."""
        self.builder.refuse(code, message, hint, at=self.parameter)

    def spot(self, spot: UnboundPoint) -> Point:
        """The point of the own frame, in mm."""
        across, up = self._both(spot)
        return point(across.at, up.at) if across.axis == "x" else point(up.at, across.at)

    def positions(self, spot: UnboundPoint) -> tuple[tuple[Quantity, Side], ...]:
        """The distances a reader sets to find a point."""
        return point_positions(self.state, self._both(spot))

    def _both(self, spot: UnboundPoint) -> tuple[BoundLine, BoundLine]:
        if id(spot) not in self.bound:
            self.bound[id(spot)] = bind_point(self.builder, self.state, spot)
        return self.bound[id(spot)]

    def line(self, place: PlaceValue) -> tuple[str, Real]:
        """Own axis and coordinate of a mirror line; ``middle`` is the upright one."""
        bound = bind_place(self.builder, self.state, reader_axis(self.state, place), place)
        return bound.axis, bound.at.value


def shape_strokes(builder: PlanBuilder, state: PieceState, shape: Shape,
                  parameter: str | None) -> tuple[Stroke, ...]:
    """The strokes of a shape. Raises Trouble when it cannot be drawn."""
    return _strokes_or_refusal(PieceFrame(builder, state, parameter), shape)


def _strokes_or_refusal(binder: PieceFrame, shape: Shape) -> tuple[Stroke, ...]:
    try:
        return shape.draw(binder)
    except ShapeError as error:
        binder.refuse("shape-wrong", str(error), "change its points or its size")


def pending_shape_mark(builder: PlanBuilder, state: PieceState, shape: Shape,
                       parameter: str | None) -> PendingMark:
    """A shape ready to be made as a mark, with every distance that the reader sets for it."""
    binder = PieceFrame(builder, state, parameter)
    strokes = _strokes_or_refusal(binder, shape)
    positions = dict.fromkeys(p for spot in shape.spots for p in binder.positions(spot))
    return PendingMark(strokes, None, tuple(positions), shape.sizes, parameter=parameter,
                       length=_total_length(strokes, positions, shape))


def _total_length(strokes: tuple[Stroke, ...], positions: Iterable[tuple[Quantity, Side]],
                  shape: Shape) -> Quantity:
    names = frozenset().union(*(q.names for q in (*(p for p, _ in positions), *shape.sizes)))
    return Quantity(sum(stroke.length() for stroke in strokes), 1, names)

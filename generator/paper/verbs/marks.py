"""The verbs of the board way: score, tick, cut, perforate, slit, notch, punch, remove."""
from __future__ import annotations

from dataclasses import replace

from generator.geometry import Circle, Line, Point, Stroke, counter_clockwise
from generator.paper.area import cut_area_out, rectangle_between
from generator.paper.coordinates import (
    bind_place,
    bind_point,
    end_positions,
    on_edge,
    point,
    point_positions,
    span_coordinates,
)
from generator.paper.mark_placement import (
    PendingMark,
    make_marks,
    pending_shape_mark,
    pending_straight_mark,
    shape_strokes,
)
from generator.paper.orientation import own_side, side_axis
from generator.paper.parameter_kinds import (
    KeepArg,
    Lengths,
    Lines,
    Marks,
    PieceArg,
    Places,
    ShapeArg,
    SideArg,
    Spans,
    ToolArg,
)
from generator.paper.patterns import flattened, has_group, members, paired
from generator.paper.plan_builder import PlanBuilder
from generator.paper.records import Mark, PieceState, Removal, Side
from generator.paper.values import Bay, Group, Piece, PlaceSpan, PlaceValue, Scrap, Shape, VocabularyWord
from generator.units import Quantity, length, number

Interval = tuple[Quantity, Quantity]      # two own coordinates along one axis, the lower first
TICK_LENGTH = length(4)    # mm drawn of a tick; a drawing convention, not a measure of the box


def score(builder: PlanBuilder, piece: PieceArg, *shapes: ShapeArg, x: Lines | None = None,
          y: Lines | None = None,
          measured_from: SideArg | None = None, tool: ToolArg | None = None,
          keep: KeepArg | None = None) -> Marks:
    """Score lines: upright ones at x, level ones at y, or along shapes.

    ``keep=flat``: they guide the eye, nobody folds them.
    """
    return _line_marks(builder, piece, "score", shapes, x, y, measured_from, tool, keep is not None)


def cut(builder: PlanBuilder, piece: PieceArg, *shapes: ShapeArg, x: Lines | None = None,
        y: Lines | None = None,
        measured_from: SideArg | None = None, tool: ToolArg | None = None) -> Marks:
    """Cuts: at x or at y, from edge to edge or within a span of the other.

    A cut along a score replaces it.
    """
    return _line_marks(builder, piece, "cut", shapes, x, y, measured_from, tool)


def perforate(builder: PlanBuilder, piece: PieceArg, *shapes: ShapeArg, x: Lines | None = None,
              y: Lines | None = None, measured_from: SideArg | None = None,
              tool: ToolArg | None = None) -> Marks:
    """Perforations: cuts in dashes that hold until they are torn.

    They are placed as scores are, and may be folded.
    """
    return _line_marks(builder, piece, "perforate", shapes, x, y, measured_from, tool)


def slit(builder: PlanBuilder, piece: PieceArg, *shapes: ShapeArg, x: Lines | None = None,
         y: Lines | None = None, measured_from: SideArg | None = None, tool: ToolArg | None = None) -> Marks:
    """Slits: cuts that something is pushed through or slid into."""
    return _line_marks(builder, piece, "slit", shapes, x, y, measured_from, tool)


def tick(builder: PlanBuilder, piece: PieceArg, *, x: Places | None = None, y: Places | None = None,
         edge: SideArg,
         measured_from: SideArg | None = None, tool: ToolArg | None = None) -> Marks:
    """Short marks on an edge: at x on the top or bottom edge, at y on the left or right one."""
    state = builder.state(piece)
    axis, places = _tick_axis(builder, x, y)
    if side_axis(Side(edge.value)) == axis:
        builder.refuse("call-kind", f"ticks at {axis} do not lie on the {edge.value} edge",
                   "x goes with top or bottom, y with left or right", at="edge")
    side = Side(measured_from.value) if measured_from else None
    drawn = []
    for place in members(places):
        bound = bind_place(builder, state, axis, place, side, axis)
        drawn.append(pending_straight_mark(state, bound, _tick_span(state, Side(edge.value)), axis))
    return make_marks(builder, piece, "tick", tool.value if tool else None, drawn, has_group(places))


def _tick_span(state: PieceState, edge: Side) -> tuple[Quantity, Quantity]:
    own = own_side(state.orientation, edge)
    size = state.width if side_axis(own) == "x" else state.height
    low = state.origin[0 if side_axis(own) == "x" else 1] if state.origin else length(0)
    if own in (Side.LEFT, Side.BOTTOM):
        return low, low + TICK_LENGTH
    return low + size - TICK_LENGTH, low + size


def punch(builder: PlanBuilder, piece: PieceArg, *, x: Places, y: Places, diameter: Lengths,
          measured_from: SideArg | None = None, tool: ToolArg | None = None) -> Marks:
    """Round holes: centres at x across and y up; groups zip.

    ``measured_from`` changes the edge for its axis.
    """
    state = builder.state(piece)
    side = Side(measured_from.value) if measured_from else None
    rows: list[tuple[PlaceValue, PlaceValue, Quantity]] = paired(builder, x, y, diameter)
    drawn = [_pending_hole(builder, state, row, side) for row in rows]
    return make_marks(builder, piece, "punch", tool.value if tool else None, drawn, has_group(x, y, diameter))


def _pending_hole(builder: PlanBuilder, state: PieceState, row: tuple[PlaceValue, PlaceValue, Quantity],
                  side: Side | None) -> PendingMark:
    x, y, diameter = row
    _require_positive(builder, diameter, "diameter", "use the size of the punch")
    across = bind_place(builder, state, "x", x, side if side and side_axis(side) == "x" else None, "x")
    up = bind_place(builder, state, "y", y, side if side and side_axis(side) == "y" else None, "y")
    own = (across.at, up.at) if across.axis == "x" else (up.at, across.at)
    hole = Circle(point(*own), diameter.value / 2)
    return PendingMark((hole,), None, ((across.position, across.side), (up.position, up.side)), (diameter,),
                       parameter="x")


def _require_positive(builder: PlanBuilder, size: Quantity, parameter: str, hint: str) -> None:
    if size.value <= 0:
        builder.refuse("length-negative", f"a {parameter} of {builder.format_length(size)} is nothing to cut",
                       hint,
                   at=parameter)


def remove(builder: PlanBuilder, piece: PieceArg, *shapes: ShapeArg, x: Spans | None = None,
           y: Spans | None = None) -> Scrap:
    """Cut areas away: rectangles x by y, or closed shapes.

    Marks in them go too; the outline follows. Gives the scrap.
    """
    state = builder.state(piece)
    if shapes:
        closed = closed_shapes(builder, shapes, x, y)
        detail = _removal("template", [
            Removal("template", _shape_positions(builder, state, shape), tuple(shape.sizes),
                    tuple(shape_strokes(builder, state, shape, None))) for shape in closed])
    else:
        spans = rectangle_spans(builder, state, x, y)
        ends = [[end_positions(builder, state, axis, one) for one in members(span)]
                for axis, span in (("x", x), ("y", y))]
        detail = _removal("trimmer", [
            Removal("trimmer", tuple(dict.fromkeys(end for each in ends for end in each[k % len(each)])),
                    outline=tuple(rectangle_between(*own))) for k, own in enumerate(spans)])
        # as they are written, across first
        detail = replace(detail, positions=tuple(dict.fromkeys(
            end for each in ends for one in each for end in one)))
    for area in detail.areas:
        cut_area_out(builder, builder.state(piece), area.outline)
    builder.record("remove", piece, detail=detail)
    return Scrap(piece.id, builder.name or "what is cut away", tuple(area.outline for area in detail.areas))


def _removal(tool: str, areas: list[Removal]) -> Removal:
    """All that is set for the areas together, each position once."""
    return Removal(tool, tuple(dict.fromkeys(position for area in areas for position in area.positions)),
                   tuple(size for area in areas for size in area.sizes), areas=tuple(areas))


def shapes_in(given: Shape | Group[Shape]) -> list[Shape]:
    """The shapes of a group, also of groups within it."""
    return [shape for shape in flattened(given) if isinstance(shape, Shape)]


def closed_shapes(builder: PlanBuilder, shapes: tuple[Shape | Group[Shape], ...], x: object,
                  y: object) -> list[Shape]:
    """Shapes that bound areas. Raises Trouble for open ones, and where spans are given as well."""
    if x is not None or y is not None:
        builder.refuse("call-parameter", "an area is either a shape or spans of x and y",
                       "leave one of them out")
    found = []
    for k, given in enumerate(shapes):
        for shape in shapes_in(given):
            if not shape.closed:
                builder.refuse("shape-wrong", f"{shape.phrase} bounds no area",
                           "use a polygon, a circle, or spans of x and y", at=f"shapes {k}")
            found.append(shape)
    return found


def _shape_positions(builder: PlanBuilder, state: PieceState,
                     shape: Shape) -> tuple[tuple[Quantity, Side], ...]:
    return tuple(dict.fromkeys(p for spot in shape.spots
                               for p in point_positions(state, bind_point(builder, state, spot))))


def notch(builder: PlanBuilder, piece: PieceArg, *, edge: SideArg, at: Places, width: Lengths,
          depth: Lengths) -> None:
    """V-shaped notches in an edge, ``width`` along it and ``depth`` into the paper, middles at ``at``."""
    state = builder.state(piece)
    areas: list[Removal] = []
    rows: list[tuple[PlaceValue, Quantity, Quantity]] = paired(builder, at, width, depth)
    for place, wide, deep in rows:
        _require_positive(builder, wide, "width", "make it wider")
        _require_positive(builder, deep, "depth", "make it deeper")
        corners, positions = _notch_corners(builder, state, Side(edge.value), place, wide, deep)
        areas.append(Removal("rule", tuple(positions), outline=_closed_lines(corners)))
        cut_area_out(builder, builder.state(piece), areas[-1].outline, "at")
    builder.record("notch", piece, detail=_removal("rule", areas))


def _notch_corners(builder: PlanBuilder, state: PieceState, side: Side, place: PlaceValue, width: Quantity,
                   depth: Quantity) -> tuple[list[Point], list[tuple[Quantity, Side]]]:
    """The corners of a notch in the own frame, and what the reader sets.

    Its two ends on the edge, and its depth.
    """
    axis = "y" if side_axis(side) == "x" else "x"
    middle = bind_place(builder, state, axis, place, None, "at")
    rim = bind_place(builder, state, side_axis(side), VocabularyWord(side.value), None, "edge")
    tip = bind_place(builder, state, side_axis(side), depth, side, "depth")
    half = width / number(2)
    corners = [(middle.at - half, rim.at), (middle.at, tip.at), (middle.at + half, rim.at)]
    ends = [(middle.position + by, middle.side) for by in (-half, half)]
    points = [point(b, a) if middle.axis == "y" else point(a, b) for a, b in corners]
    inner = [(at, end) for at, end in zip((middle.at - half, middle.at + half), ends, strict=True)
             if not on_edge(state, middle.axis, at)]
    return points, [end for _, end in inner] + [(depth, side)]


def _closed_lines(points: list[Point]) -> tuple[Stroke, ...]:
    return counter_clockwise(tuple(Line(a, b) for a, b in zip(points, points[1:] + points[:1], strict=True)))


def _line_marks(builder: PlanBuilder, piece: Piece, verb: str, shapes: tuple[Shape | Group[Shape], ...],
                x: Lines | None, y: Lines | None, measured_from: VocabularyWord | None,
                tool: VocabularyWord | None, flat: bool = False) -> Mark | Group[Mark]:
    state = builder.state(piece)
    chosen = tool.value if tool else None
    if shapes:
        if x is not None or y is not None:
            builder.refuse("call-parameter", f"a {verb} follows either shapes or places",
                           "leave one of them out")
        drawn = [pending_shape_mark(builder, state, shape, f"shapes {k}") for k,
                 given in enumerate(shapes) for shape in shapes_in(given)]
        return make_marks(builder, piece, verb, chosen or "template", drawn,
                          len(shapes) > 1 or has_group(shapes[0]), flat)
    axis, places, spans = _place_and_span(builder, x, y)
    side = Side(measured_from.value) if measured_from else None
    other = "y" if axis == "x" else "x"
    drawn = []
    for place, span in paired(builder, places, spans):
        bound = bind_place(builder, state, axis, place, side, axis)
        own = span_coordinates(builder, state, other, span, other) if span is not None else None
        drawn.append(pending_straight_mark(state, bound, own, axis,
                                           end_positions(builder, state, other, span)))
    return make_marks(builder, piece, verb, chosen, drawn, has_group(places, spans), flat)


def _place_and_span(builder: PlanBuilder, x: Lines | None, y: Lines | None) -> tuple[
        str, Lines, Lines | None]:
    x_span, y_span = _is_span(x), _is_span(y)
    if x is not None and not x_span and (y is None or y_span):
        return "x", x, y
    if y is not None and not y_span and (x is None or x_span):
        return "y", y, x
    if x is None and y is None:
        builder.refuse("call-missing", "this does not say where", "give x=… or y=…, or a shape")
    raise builder.refusal("call-kind", "a line has one place and at most one span",
                      "for an upright line give x=place, y=from..to; for a level one y=place, x=from..to")


def _tick_axis(builder: PlanBuilder, x: Places | None, y: Places | None) -> tuple[str, Places]:
    if x is not None and y is None:
        return "x", x
    if y is not None and x is None:
        return "y", y
    raise builder.refusal("call-missing", "ticks lie at x or at y", "give one of them")


def _is_span(value: object) -> bool:
    first = value.items[0] if isinstance(value, Group) and value.items else value
    return isinstance(first, PlaceSpan | Bay)


def rectangle_spans(builder: PlanBuilder, state: PieceState, x: Spans | None,
                    y: Spans | None) -> list[tuple[Interval, Interval]]:
    """The spans across and up, own frame, of each rectangle; without a span the whole piece that way."""
    if x is None and y is None:
        builder.refuse("call-missing", "this does not say which area",
                   "give x=from..to and y=from..to, or a shape")
    whole_x, whole_y = PlaceSpan(VocabularyWord("left"),
                                 VocabularyWord("right")), PlaceSpan(VocabularyWord("bottom"),
                                                                     VocabularyWord("top"))
    result = []
    for a, b in paired(builder, x if x is not None else whole_x, y if y is not None else whole_y):
        reader = {"x": span_coordinates(builder, state, "x", a, "x"),
                  "y": span_coordinates(builder, state, "y", b, "y")}
        turned = state.orientation.quarters % 2 == 1
        result.append((reader["y"], reader["x"]) if turned else (reader["x"], reader["y"]))
    return result

"""Blanks: the pieces that a box begins with."""
from __future__ import annotations

from generator.geometry import (
    Line,
    Region,
    ShapeError,
    Stroke,
    Transform,
    counter_clockwise,
    tallest_rectangles,
)
from generator.geometry import inset as inset_lines
from generator.geometry.tolerances import PLACE_TOLERANCE
from generator.paper.area import rectangle_between
from generator.paper.parameter_kinds import FaceOrPiece, Length, Number, OutlineArg, PaperArg, ScrapArg, UpArg
from generator.paper.plan_builder import LARGEST_PIECE, PlanBuilder
from generator.paper.records import ActDetail, Face, OutlineStroke, Paper, PieceState
from generator.paper.shapes import whole_number
from generator.paper.values import Outline, Piece, Scrap, VocabularyWord
from generator.units import ZERO, Quantity, number


def sheet(builder: PlanBuilder, *, width: Length, height: Length, paper: PaperArg | None = None,
          up: UpArg | None = None,
          out_of: ScrapArg | None = None) -> Piece:
    """A rectangle cut from a sheet, or ``out_of`` a scrap that remove(…) gave, or the sheet's offcut.

    ``up`` is the side up (plain).
    """
    if not isinstance(out_of, Scrap):
        return rectangle_piece(builder, "sheet", width, height, paper, up, out_of.value if out_of else None)
    host = builder.info(out_of.piece).paper
    if paper is not None and host is not None and paper.name != host.name:
        builder.refuse("piece-wrong", f"'{out_of.name}' is a scrap of '{host.name}', not of '{paper.name}'",
                   "leave paper=… out", at="paper")
    _check_scrap(builder, out_of, width, height)
    return rectangle_piece(builder, "sheet", width, height, paper or host, up, out_of.name)


def _check_scrap(builder: PlanBuilder, scrap: Scrap, width: Quantity, height: Quantity) -> None:
    """Raises Trouble where a rectangle does not come out of a scrap, upright or turned by a quarter."""
    wanted = sorted((float(width.value), float(height.value)))
    builder.count_work(200)
    for area in scrap.areas:
        points = [p for stroke in area for p in stroke.flattened()]
        for box in tallest_rectangles(Region(area).polygon(), [p.x for p in points], [p.y for p in points]):
            if all(a <= b + PLACE_TOLERANCE for a,
                   b in zip(wanted, sorted((float(box[2] - box[0]), float(box[3] - box[1]))), strict=True)):
                return
    builder.refuse("mark-off-piece",
               f"'{scrap.name}' is too small for a piece {builder.format_length(width)} "
               f"by {builder.format_length(height)}",
               "make the piece smaller, or cut it out of another scrap", at="out_of")


def ribbon(builder: PlanBuilder, *, length: Length, width: Length | None = None,
           boxes: Number | None = None) -> Piece:
    """A ribbon or cord of this length, for one box or for so many together; any width when it is left out."""
    require_positive(builder, length, "length")
    return rectangle_piece(builder, "ribbon", length, width if width is not None else length / number(50),
                           None, None, boxes=1 if boxes is None else whole_number(builder, boxes, "boxes"))


def panel(builder: PlanBuilder, shape: OutlineArg, *, paper: PaperArg | None = None,
          up: UpArg | None = None) -> Piece:
    """The first panel of a net, to which others are attached by their edges (the net way)."""
    strokes = _free_strokes(builder, shape)
    lengths = shape.lengths(None) if shape.lengths else ()
    box = (lengths[0], lengths[1]) if _is_upright_rectangle(strokes) and len(lengths) == 4 else None
    return piece_from_strokes(builder, "panel", strokes, shape.sizes, paper, up, lengths, box)


def inset(builder: PlanBuilder, of: FaceOrPiece, *, by: Length, paper: PaperArg | None = None,
          up: UpArg | None = None) -> Piece:
    """A new piece like a piece or a face as it lies, smaller by a border on every side: a liner, a mat."""
    strokes, box, names = _outline_of(builder, of)
    builder.count_work(12 * len(strokes))
    require_positive(builder, by, "by")
    lines = [stroke for stroke in strokes if isinstance(stroke, Line)]
    if len(lines) < len(strokes):
        builder.refuse("shape-wrong", "only a piece with straight edges can be inset",
                   "make the liner from a sheet", at="of")
    try:
        smaller = inset_lines(lines, by.value)
    except ShapeError:
        builder.refuse("shape-wrong", f"a border of {builder.format_length(by)} leaves nothing of it",
                       "make it narrower",
                   at="by")
    if box is not None:     # a rectangle keeps its exact, linear size
        box = box[0] - by * number(2), box[1] - by * number(2)
    orientation = builder.state(of if isinstance(of, Piece) else of.piece).orientation
    view = Transform.quarter(-orientation.quarters)
    view = view.then(Transform.mirror_x()) if orientation.over else view
    seen = counter_clockwise(tuple(stroke.moved(view) for stroke in smaller))
    return piece_from_strokes(builder, "liner", seen, (Quantity(by.value, 1, by.names | names),), paper, up,
                              (),
                        (box[1], box[0]) if box and orientation.quarters % 2 else box)


def _outline_of(builder: PlanBuilder, of: Piece | Face) -> tuple[tuple[Stroke, ...],
                                                                 tuple[Quantity, Quantity] | None,
                                                             frozenset[str]]:
    """The outline of a piece or a face, its size as an upright rectangle, and the names it depends on.

    The size is None where it is no upright rectangle.
    """
    state = builder.state(of if isinstance(of, Piece) else of.piece)
    if isinstance(of, Face):
        sizes = (*(of.size or ()), *of.lengths, state.width, state.height)
        return of.outline, of.size, frozenset().union(*(size.names for size in sizes))
    strokes = tuple(rim.stroke for rim in state.outline)
    box = (state.width, state.height) if _is_upright_rectangle(strokes) else None
    return strokes, box, state.width.names | state.height.names


def _is_upright_rectangle(strokes: tuple[Stroke, ...]) -> bool:
    return len(strokes) == 4 and all(isinstance(s, Line) and (s.start.x == s.end.x or s.start.y == s.end.y)
                                     for s in strokes)


def rectangle_piece(builder: PlanBuilder, kind: str, width: Quantity, height: Quantity, paper: Paper | None,
                    up: VocabularyWord | None,
                    out_of: str | None = None, detail: ActDetail | None = None, boxes: int = 1) -> Piece:
    """A rectangular piece. ``out_of`` names the scrap it is cut from, where it is no blank of its own."""
    for name, size in (("width", width), ("height", height)):
        require_positive(builder, size, name)
        if size.value > LARGEST_PIECE:
            builder.refuse("mark-off-piece",
                           f"a {name} of {builder.format_length(size)} is more than any sheet",
                       "check the named lengths it is made of", at=name)
    strokes = rectangle_between((ZERO, width), (ZERO, height))
    piece = builder.new_piece(kind, paper, up.value if up else "plain",
                          _initial_state(builder, strokes, width, height), out_of, boxes)
    builder.record(kind, piece, detail=detail)
    return piece


def require_positive(builder: PlanBuilder, size: Quantity, parameter: str) -> None:
    """Refuse a size of nothing or less, at the argument for ``parameter``."""
    if size.value <= 0:
        builder.refuse("length-negative",
                       f"{parameter} comes to {builder.format_length(size)}, which is no paper at all",
                   "check the named lengths it is made of", at=parameter)


def _initial_state(builder: PlanBuilder, strokes: tuple[Stroke, ...], width: Quantity,
                   height: Quantity) -> PieceState:
    return PieceState(builder.next_piece,
                      tuple(OutlineStroke(s, builder.act, builder.step, builder.span) for s in strokes),
                      width, height)


def _free_strokes(builder: PlanBuilder, shape: Outline) -> tuple[Stroke, ...]:
    try:
        return shape.draw(None)
    except ShapeError as error:
        builder.refuse("shape-wrong", str(error), "change its sizes", at="shape")


def piece_from_strokes(builder: PlanBuilder, kind: str, strokes: tuple[Stroke, ...],
                       sizes: tuple[Quantity, ...],
                       paper: Paper | None, up: VocabularyWord | None,
                 lengths: tuple[Quantity, ...], box: tuple[Quantity, Quantity] | None) -> Piece:
    """A piece of one face from closed strokes, moved so that its lower left corner is the origin.

    It depends on the names of ``sizes``; ``lengths`` are its edges' and
    ``box`` its width and height where they are known with their names.
    """
    x0, y0, x1, y1 = Region(strokes).bounds()
    if x1 - x0 > LARGEST_PIECE or y1 - y0 > LARGEST_PIECE:
        builder.refuse("mark-off-piece", "this is larger than any sheet",
                       "check the named lengths it is made of")
    strokes = tuple(stroke.moved(Transform.shift(-x0, -y0)) for stroke in strokes)
    names = frozenset().union(*(size.names for size in sizes))
    width, height = box or (Quantity(x1 - x0, 1, names), Quantity(y1 - y0, 1, names))
    piece = builder.new_piece(kind, paper, up.value if up else "plain",
                          _initial_state(builder, strokes, width, height))
    face = Face(builder.face_id(), builder.name, 1, 1, piece.id, strokes, builder.step, builder.act,
                builder.span, frozenset(), lengths, box)
    builder.change(piece, faces=(face,))
    builder.record(kind, piece, faces=(face.id,))
    return piece

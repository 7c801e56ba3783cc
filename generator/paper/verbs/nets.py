"""The net way: attach shapes to the edges of panels, and say which free edges meet."""
from __future__ import annotations

from dataclasses import replace

from generator.geometry import Line, Point, Region, ShapeError, Stroke, Transform
from generator.geometry.overlay import shared_area
from generator.geometry.tolerances import JOINED_EDGE_TOLERANCE, MIN_FACE_OVERLAP, PLACE_TOLERANCE
from generator.paper.area import valid_polygon
from generator.paper.parameter_kinds import Edges, Numbers, Outlines, PieceArg
from generator.paper.patterns import has_group, members, paired
from generator.paper.plan_builder import LARGEST_PIECE, CallContext, PlanBuilder
from generator.paper.records import Face, Mark, OutlineStroke, PieceState, Seam
from generator.paper.shapes import whole_number
from generator.paper.values import Edge, Group, JointHandle, Outline
from generator.units import Quantity, number


def attach(builder: PlanBuilder, edges: Edges, shape: Outlines, *,
           by: Numbers | None = None) -> Face | Group[Face]:
    """Hang a copy of a shape on each edge, by its edge number ``by`` (the first).

    The joint becomes a score.
    """
    rows = paired(builder, edges, shape, by if by is not None else number(1))
    faces, marks = [], []
    for index, (row, ident) in enumerate(zip(rows, builder.mark_ids(len(rows)), strict=True), start=1):
        face, mark = _attach_one(builder, row, index, len(rows), ident)
        faces.append(face)
        marks.append(mark)
    builder.record("attach", *dict.fromkeys(row[0].piece for row in rows), marks=tuple(m.id for m in marks),
               faces=tuple(f.id for f in faces))
    return Group(tuple(faces)) if has_group(edges, shape, by) else faces[0]


def _attach_one(builder: PlanBuilder, row: tuple[Edge, Outline, Quantity], index: int, count: int,
                ident: int) -> tuple[Face, Mark]:
    edge, shape, by = row
    state, host = builder.state(edge.piece), face_of(builder, edge)
    builder.count_work(10 + len(state.outline))
    stroke = host.outline[edge.index]
    place = _outline_index(state, stroke)
    if edge.index in host.joined or place is None:
        builder.refuse("net-overlaps", "something already hangs on this edge", "choose a free edge",
                       at="edges")
    turned = whole_number(builder, by, "by", most=100) - 1
    strokes = _strokes_on_edge(builder, shape, turned, edge, stroke)
    face = Face(builder.face_id(), builder.name, index, count, edge.piece, strokes, builder.step, builder.act,
                builder.span, frozenset({0}),
                _edge_lengths(shape, turned, edge, len(strokes)))
    _check_overlap(builder, state, face)
    hinge = _hinge_mark(builder, edge, stroke, index, count, ident)
    rims = tuple(OutlineStroke(s, builder.act, builder.step, builder.span) for s in strokes[1:])
    outline = state.outline[:place] + rims + state.outline[place + 1:]
    faces = tuple(replace(f, joined=f.joined | {edge.index}) if f.id == host.id else f for f in state.faces)
    _resize(builder, state, outline, shape)
    builder.change(edge.piece, outline=outline, faces=(*faces, face), marks=(*state.marks, hinge))
    return face, hinge


def _edge_lengths(shape: Outline, by: int, edge: Edge, count: int) -> tuple[Quantity, ...]:
    """The lengths of the edges of a hung shape, from the edge it hangs on, where the shape names them."""
    named = shape.lengths(edge.length) if shape.lengths else ()
    if len(named) != count:
        return ()
    ordered = (*named[by:], *named[:by])
    return (edge.length if edge.length.form is not None else ordered[0], *ordered[1:])


def _strokes_on_edge(builder: PlanBuilder, shape: Outline, by: int, edge: Edge,
                     stroke: Stroke) -> tuple[Stroke, ...]:
    try:
        loose = shape.draw(edge.length)
    except ShapeError as error:
        builder.refuse("shape-wrong", str(error), "change its sizes", at="shape")
    if by >= len(loose):
        builder.refuse("select-range", f"this shape has {len(loose)} edges, not {by + 1}",
                   "count its edges from 1", at="by")
    own = loose[by]
    if not isinstance(own, Line) or abs(float(own.length()) - float(stroke.length())) > PLACE_TOLERANCE:
        free, other = builder.format_lengths(edge.length, Quantity(own.length(), 1))
        builder.refuse("shape-wrong", f"the edge is {free} long, the shape's edge is {other}",
                       "edges that are joined must be equally long",
                   at="shape")
    move = Transform.onto(own.start, own.end, stroke.end, stroke.start)
    moved = [s.moved(move) for s in (*loose[by:], *loose[:by])]
    return _snapped_to_edge(moved, stroke)


def _snapped_to_edge(moved: list[Stroke], stroke: Stroke) -> tuple[Stroke, ...]:
    """Give the shared corners exactly the coordinates of the edge, so that outlines close without dust."""
    moved[0] = Line(stroke.end, stroke.start)
    if isinstance(moved[1], Line):
        moved[1] = Line(stroke.start, moved[1].end)
    if isinstance(moved[-1], Line):
        moved[-1] = Line(moved[-1].start, stroke.end)
    return tuple(moved)


def _check_overlap(builder: PlanBuilder, state: PieceState, face: Face) -> None:
    mine = valid_polygon(Region(face.outline))
    lap = sum(shared_area(mine, valid_polygon(Region(other.outline))).area for other in state.faces)
    if lap > MIN_FACE_OVERLAP:
        builder.refuse("net-overlaps", f"this panel would lie on the net already there ({lap:.1f} mm² of it)",
                   "hang it on another edge, or make it narrower", at="edges")


def _resize(builder: PlanBuilder, state: PieceState, outline: tuple[OutlineStroke, ...],
            shape: Outline) -> None:
    x0, y0, x1, y1 = Region(tuple(rim.stroke for rim in outline)).bounds()
    if x1 - x0 > LARGEST_PIECE or y1 - y0 > LARGEST_PIECE:
        builder.refuse("mark-off-piece", "the net grows larger than any sheet",
                   "check the named lengths it is made of")
    names = state.width.names.union(state.height.names, *(size.names for size in shape.sizes))
    builder.change(state.piece, width=Quantity(x1 - x0, 1, names), height=Quantity(y1 - y0, 1, names),
               origin=(Quantity(x0, 1, names), Quantity(y0, 1, names)))


def _hinge_mark(builder: PlanBuilder, edge: Edge, stroke: Stroke, index: int, count: int, ident: int) -> Mark:
    return Mark(id=ident, verb="score", name=builder.name, index=index, count=count, piece=edge.piece,
                axis=None, place=None,
                position=None, measured_from=None, tool="template", whole=(stroke,), runs=(stroke,),
                step=builder.step,
                act=builder.act, span=builder.span, length=edge.length, box=stroke.box)


def face_of(builder: PlanBuilder, edge: Edge) -> Face:
    """The panel an edge belongs to, as it is now.

    Raises Trouble for an area of a sheet, which is no panel.
    """
    for face in builder.state(edge.piece).faces:
        if face.id == edge.face:
            return face
    raise builder.refusal("piece-wrong",
                      "this is the edge of an area that was named on a sheet, not of a panel of a net",
                      "begin the net with panel(…), or glue the area", at="edges")


def hinge_of(context: CallContext, face: Face) -> Mark:
    """The score on which a panel hangs. Raises Trouble for one that hangs on nothing."""
    for mark in context.state(face.piece).marks:
        if mark.act == face.act and mark.index == face.index and 0 in face.joined:
            return mark
    raise context.refusal("attribute-unknown", "this face hangs on nothing, so it has no hinge",
                      "panels that were attached have hinges")


def _outline_index(state: PieceState, stroke: Stroke) -> int | None:
    for index, rim in enumerate(state.outline):
        if _same_point(rim.stroke.start, stroke.start) and _same_point(rim.stroke.end, stroke.end):
            return index
    return None


def _same_point(a: Point, b: Point) -> bool:
    return abs(float(a.x - b.x)) <= JOINED_EDGE_TOLERANCE and abs(float(a.y - b.y)) <= JOINED_EDGE_TOLERANCE


def edges_of(context: CallContext, face: Face, names: frozenset[str] = frozenset()) -> Group[Edge]:
    """The edges of a face in order, counted from the edge it hangs on."""
    names = names or context.state(face.piece).width.names
    known = face.lengths or tuple(Quantity(s.length(), 1, names) for s in face.outline)
    return Group(tuple(Edge(face.piece, face.id, k, size) for k, size in enumerate(known)))


def free_edges(context: CallContext, piece: PieceArg) -> Group[Edge]:
    """All edges of a net that nothing hangs on, in order round its outline."""
    state = context.state(piece)
    places = {}
    for face in state.faces:
        context.count_work(len(face.outline) * (1 + len(state.outline) // 20))
        for edge in edges_of(context, face).items:
            place = _outline_index(state, face.outline[edge.index])
            if place is not None:
                places[place] = edge
    return Group(tuple(places[k] for k in sorted(places)))


def seam(builder: PlanBuilder, edges: Edges, others: Edges) -> JointHandle:
    """Say which edges meet when the box is closed: the first of one group with the first of the other."""
    if len(members(edges)) != len(members(others)):
        builder.refuse("group-sizes", f"{len(members(edges))} edges cannot meet {len(members(others))}",
                   "name as many edges on both sides")
    pairs = paired(builder, edges, others)
    taken = {end for act in builder.acts if isinstance(act.detail, Seam) for pair in act.detail.pairs
             for end in pair}
    for a, b in pairs:
        if not a.length.same_as(b.length) and abs(float(a.length.value)
                                                  - float(b.length.value)) > PLACE_TOLERANCE:
            first, other = builder.format_lengths(a.length, b.length)
            builder.refuse("seam-unequal", f"an edge of {first} would meet one of {other}",
                       "edges that meet must be equally long", at="others")
        for edge, parameter in ((a, "edges"), (b, "others")):
            _check_free(builder, edge, taken, parameter)
            taken.add((edge.face, edge.index))
    detail = Seam(tuple(((a.face, a.index), (b.face, b.index)) for a, b in pairs))
    return JointHandle(builder.record("seam", *dict.fromkeys(e.piece for pair in pairs for e in pair),
                                  detail=detail).number)


def _check_free(builder: PlanBuilder, edge: Edge, taken: set[tuple[int, int]], parameter: str) -> None:
    if edge.index in face_of(builder, edge).joined:
        builder.refuse("seam-unequal", "one of these edges is already joined by a score",
                       "name free edges only",
                   at=parameter)
    if (edge.face, edge.index) in taken:
        builder.refuse("seam-unequal", "one of these edges is to meet two others",
                   "let each edge meet one other edge", at=parameter)

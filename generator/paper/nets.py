"""The net way: attach shapes to the edges of panels, and say which free edges meet."""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from generator.geometry import Line, Point, Region, ShapeError, Stroke, Transform
from generator.paper.area import region_of
from generator.paper.job import LARGEST_PIECE, Job
from generator.paper.kinds import Edges, Number, OutlineArg, PieceArg
from generator.paper.records import Face, Mark, PieceState, Rim, Seam
from generator.paper.shapes import whole
from generator.paper.values import Edge, Group, Outline
from generator.units import Quantity

SAME = 1e-7         # mm; edges this close are the same edge
OVERLAP = 1e-3      # mm²; less than this is the dust of arithmetic


def attach(job: Job, edges: Edges, shape: OutlineArg, *, by: Number = None) -> object:
    """Hang a copy of a shape on each edge, by its edge number ``by`` (the first); the joint becomes a score."""
    items = edges.items if isinstance(edges, Group) else (edges,)
    by_edge = whole(job, by, "by", most=100) if by is not None else 1
    faces, marks = [], []
    for index, (edge, ident) in enumerate(zip(items, job.mark_ids(len(items)), strict=True), start=1):
        face, mark = _hang(job, edge, shape, by_edge - 1, index, len(items), ident)
        faces.append(face)
        marks.append(mark)
    job.record("attach", *dict.fromkeys(edge.piece for edge in items), marks=tuple(m.id for m in marks),
               faces=tuple(f.id for f in faces))
    return Group(tuple(faces)) if isinstance(edges, Group) else faces[0]


def _hang(job: Job, edge: Edge, shape: Outline, by: int, index: int, count: int, ident: int) -> tuple[Face, Mark]:
    state = job.state(edge.piece)
    host = _face(state, edge.face)
    stroke = host.outline[edge.index]
    place = _rim_index(state, stroke)
    if edge.index in host.joined or place is None:
        job.refuse("net-overlaps", "something already hangs on this edge", "choose a free edge", at="edges")
    strokes = _placed(job, shape, by, edge, stroke)
    face = Face(job.face_id(), job.name, index, count, edge.piece, strokes, job.step, job.act, job.span, frozenset({0}))
    _check_room(job, state, face)
    hinge = _mark(job, edge.piece, stroke, index, count, ident)
    rims = tuple(Rim(s, job.act, job.step, job.span) for s in strokes[1:])
    outline = state.outline[:place] + rims + state.outline[place + 1:]
    faces = tuple(replace(f, joined=f.joined | {edge.index}) if f.id == host.id else f for f in state.faces)
    _resize(job, state, outline, shape)
    job.change(edge.piece, outline=outline, faces=(*faces, face), marks=(*state.marks, hinge))
    return face, hinge


def _placed(job: Job, shape: Outline, by: int, edge: Edge, stroke: Stroke) -> tuple[Stroke, ...]:
    try:
        loose = shape.draw(edge.length)
    except ShapeError as error:
        job.refuse("shape-wrong", str(error), "change its sizes", at="shape")
    if by >= len(loose):
        job.refuse("select-range", f"this shape has {len(loose)} edges, not {by + 1}", "count its edges from 1", at="by")
    own = loose[by]
    if not isinstance(own, Line) or abs(float(own.length()) - float(stroke.length())) > 1e-6:
        job.refuse("shape-wrong", f"the edge is {job.say(edge.length)} long, the shape's edge is "
                   f"{job.say(Quantity(own.length(), 1))}", "edges that are joined must be equally long", at="shape")
    move = Transform.onto(own.start, own.end, stroke.end, stroke.start)
    moved = [s.moved(move) for s in (*loose[by:], *loose[:by])]
    return _joined_to(moved, stroke)


def _joined_to(moved: list[Stroke], stroke: Stroke) -> tuple[Stroke, ...]:
    """Give the shared corners exactly the coordinates of the edge, so that outlines close without dust."""
    moved[0] = Line(stroke.end, stroke.start)
    if isinstance(moved[1], Line):
        moved[1] = Line(stroke.start, moved[1].end)
    if isinstance(moved[-1], Line):
        moved[-1] = Line(moved[-1].start, stroke.end)
    return tuple(moved)


def _check_room(job: Job, state: PieceState, face: Face) -> None:
    lap = region_of(state).polygon().intersection(Region(face.outline).polygon()).area
    if lap > OVERLAP:
        job.refuse("net-overlaps", f"this panel would lie on the net already there ({lap:.1f} mm² of it)",
                   "hang it on another edge, or make it narrower", at="edges")


def _resize(job: Job, state: PieceState, outline: tuple[Rim, ...], shape: Outline) -> None:
    x0, y0, x1, y1 = Region(tuple(rim.stroke for rim in outline)).bounds()
    if x1 - x0 > LARGEST_PIECE or y1 - y0 > LARGEST_PIECE:
        job.refuse("mark-off-piece", "the net grows larger than any sheet", "check the named lengths it is made of")
    names = state.width.names.union(*(size.names for size in shape.sizes))
    job.change(state.piece, width=Quantity(x1 - x0, 1, names), height=Quantity(y1 - y0, 1, names),
               origin=(Quantity(x0, 1, names), Quantity(y0, 1, names)))


def _mark(job: Job, piece: int, stroke: Stroke, index: int, count: int, ident: int) -> Mark:
    return Mark(id=ident, verb="score", name=job.name, index=index, count=count, piece=piece, axis=None, place=None,
                position=None, measured_from=None, tool="template", whole=(stroke,), runs=(stroke,), step=job.step,
                act=job.act, span=job.span, box=tuple(map(float, stroke.bounds())))


def _face(state: PieceState, ident: int) -> Face:
    return next(face for face in state.faces if face.id == ident)


def _rim_index(state: PieceState, stroke: Stroke) -> int | None:
    for index, rim in enumerate(state.outline):
        if _near(rim.stroke.start, stroke.start) and _near(rim.stroke.end, stroke.end):
            return index
    return None


def _near(a: Point, b: Point) -> bool:
    return abs(a.x - b.x) <= SAME and abs(a.y - b.y) <= SAME


def edges_of(job: Job, face: Face, names: frozenset[str] = frozenset()) -> Group:
    """The edges of a face in order, counted from the edge it hangs on."""
    state = job.state(face.piece)
    names = names or state.width.names
    return Group(tuple(Edge(face.piece, face.id, k, Quantity(s.length(), 1, names))
                       for k, s in enumerate(face.outline)))


def free_edges(job: Job, piece: PieceArg) -> Group:
    """All edges of a net that nothing hangs on, in order round its outline."""
    state = job.state(piece)
    places = {}
    for face in state.faces:
        for edge in edges_of(job, face).items:
            place = _rim_index(state, face.outline[edge.index])
            if place is not None:
                places[place] = edge
    return Group(tuple(places[k] for k in sorted(places)))


def seam(job: Job, edges: Edges, others: Edges) -> None:
    """Say which edges meet when the box is closed: the first of one group with the first of the other …"""
    pairs = _pairs(job, edges, others)
    for a, b in pairs:
        if abs(float(a.length.value) - float(b.length.value)) > 1e-6:
            job.refuse("seam-unequal", f"an edge of {job.say(a.length)} would meet one of {job.say(b.length)}",
                       "edges that meet must be equally long", at="others")
        for edge in (a, b):
            if edge.index in _face(job.state(edge.piece), edge.face).joined:
                job.refuse("seam-unequal", "one of these edges is already joined by a score", "name free edges only",
                           at="edges")
    detail = Seam(tuple(((a.face, a.index), (b.face, b.index)) for a, b in pairs))
    job.record("seam", *dict.fromkeys(e.piece for pair in pairs for e in pair), detail=detail)


def _pairs(job: Job, edges: object, others: object) -> Sequence[tuple[Edge, Edge]]:
    left = edges.items if isinstance(edges, Group) else (edges,)
    right = others.items if isinstance(others, Group) else (others,)
    if len(left) != len(right):
        job.refuse("group-sizes", f"{len(left)} edges cannot meet {len(right)}", "name as many edges on both sides")
    return tuple(zip(left, right, strict=True))



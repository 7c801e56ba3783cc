"""Lines drawn once: what an earlier line covers is left out of a later one.

A piece sorted by what is done to it: cut, scored, ticked, punched, glued.

Prick points: where a needle goes through, marked so that no ink is left on the finished box.

A point of the edge is marked by ticks beyond the paper, where they fall to
the waste; a point within by a dot that the needle takes away.
"""
from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from types import MappingProxyType

import shapely

from generator.dataclass import dataclass
from generator.drawing.pen import Path
from generator.drawing.picture_geometry import View, polygon_loops
from generator.drawing.process_table import HOLE_PROCESSES, LINE_PROCESSES, folded_key
from generator.drawing.steps.scene import unfolded_parts
from generator.drawing.templates.page import TemplateFace
from generator.drawing.templates.scraps import scraps_of
from generator.geometry import Circle, Line, Point, Region, Stroke, overlaps
from generator.geometry.overlay import common_area
from generator.geometry.tolerances import (
    CLEAR_CHORD_TOLERANCE,
    MIN_REMAINDER,
    PLACE_TOLERANCE,
    PRICK_TOLERANCE,
    TANGENT_CHORD_TOLERANCE,
)
from generator.paper.glue_sides import face_numbers, glued_areas, order_text
from generator.paper.records import (
    Fold,
    FoldDirection,
    Glue,
    Mark,
    Orientation,
    PieceInfo,
    PieceState,
    Plan,
)
from generator.units import Quantity, memoised


def uncovered_parts(stroke: Stroke, others: Iterable[Stroke]) -> tuple[Stroke, ...]:
    """The parts of a stroke that lie on none of the ``others``, in order."""
    covered = sorted((float(t0), float(t1)) for other in others for t0, t1 in overlaps(stroke, other))
    if not covered:
        return (stroke,)
    size, parts, at = float(stroke.length()), [], 0.0
    for t0, t1 in (*covered, (1.0, 1.0)):
        if (t0 - at) * size > MIN_REMAINDER:
            parts.append(stroke.part(at, t0))
        at = max(at, t1)
    return tuple(parts)


def without_duplicates(strokes: Iterable[Stroke], before: Sequence[Stroke] = ()) -> tuple[Stroke, ...]:
    """Each stroke less what those before it (and ``before``) already cover."""
    kept: list[Stroke] = []
    for stroke in strokes:
        kept += uncovered_parts(stroke, (*before, *kept))
    return tuple(kept)


MIN_LOST_AREA = 0.1         # mm²; a face that lacks less is whole


@dataclass(frozen=True, slots=True)
class MarkPosition:
    """The position of one line parallel to an edge: its axis as drawn, and what the reader sets."""

    axis: str
    stroke: Stroke
    position: Quantity


@dataclass(frozen=True, slots=True)
class GluedLoops:
    """Closed loops round what gets glue; the ``number`` of a flap, or 0; whether on the side seen.

    The last flap of an order is ``bare``: it gets none, and has a number all the same.
    """

    loops: tuple[Path, ...]
    number: int
    up: bool
    bare: bool = False

    @property
    def words(self) -> str:
        """The key of what is said on it."""
        if self.bare:
            return "number"
        return f"glue{'' if self.up else '_below'}{'_n' if self.number else ''}"


@dataclass(frozen=True, slots=True)
class ProcessedPiece:
    """A piece with every line once, in floats of mm, as one face of it is seen.

    ``outline`` and ``holes`` are closed paths. ``work`` has the lines and the
    punched circles of each process; mountains and valleys are as seen. ``orders``
    say in which order numbered faces are glued on each other. ``scraps`` are the loops round what is cut
    away, each with its letter.
    """

    name: str
    outline: Path
    holes: tuple[Path, ...]
    work: Mapping[str, tuple[Stroke, ...]]
    glued: tuple[GluedLoops, ...]
    places: tuple[MarkPosition, ...]
    width: Quantity
    height: Quantity
    orders: tuple[str, ...] = ()
    scraps: tuple[tuple[str, tuple[Path, ...]], ...] = ()

    def of(self, process: str) -> tuple[Stroke, ...]:
        """The lines, or the circles, of one process of the table."""
        return self.work.get(process, ())

    @property
    def punched(self) -> tuple[Circle, ...]:
        """The round holes."""
        return tuple(circle for process in HOLE_PROCESSES for circle in self.of(process.key)
                     if isinstance(circle, Circle))

    @property
    def edge(self) -> tuple[Stroke, ...]:
        """The outline, and the edges of the holes that no punch makes."""
        return (*self.outline, *(stroke for hole in self.holes for stroke in hole))

    def strokes(self) -> Iterator[Stroke]:
        """Every line and circle."""
        yield from self.edge
        for strokes in self.work.values():
            yield from strokes


def processed_piece(plan: Plan, piece: int, face: TemplateFace = TemplateFace.INSIDE) -> ProcessedPiece:
    """A piece as it is when all work is done, seen from its plain side, or mirrored from the other."""
    return _processed_piece(plan, piece, face is TemplateFace.MIRRORED)


def piece_as_laid(plan: Plan, piece: int) -> ProcessedPiece:
    """The same, seen from the side that is up when it is first laid on the table, as bench cards count."""
    info = next(p for p in plan.pieces if p.id == piece)
    return _processed_piece(plan, piece, info.up == "printed")


@memoised(128)      # every paper, manner and language takes the same
def _processed_piece(plan: Plan, piece: int, turned: bool) -> ProcessedPiece:
    info = next(p for p in plan.pieces if p.id == piece)
    if (state := plan.state(piece)) is None:
        raise ValueError(f"{info.name} is never made")
    mirrored = (info.up == "printed") != turned
    view = View(Orientation(0, mirrored))
    outline = view.path(tuple(rim.stroke for rim in state.outline))
    found = tuple(_marked(state, view, turned))
    punched = tuple(stroke for _, stroke in found if isinstance(stroke, Circle))
    holes = tuple(path for hole in state.holes
                  if not _is_any_of(path := view.path(tuple(rim.stroke for rim in hole)), punched))
    work: dict[str, tuple[Stroke, ...]] = {}
    taken = [*outline, *(stroke for hole in holes for stroke in hole)]
    for process in LINE_PROCESSES:
        work[process.key] = without_duplicates((stroke for key, stroke in found if key == process.key), taken)
        taken += work[process.key]
    for process in HOLE_PROCESSES:
        work[process.key] = tuple(stroke for key, stroke in found if key == process.key)
    return ProcessedPiece(info.name, outline, holes, MappingProxyType(work),
                          (*_glued(plan, piece, view, Region(outline, holes),
                                   "printed" if turned else "plain"), *_unglued(plan, piece, view)),
                          tuple(_places(state.marks, view)), state.width, state.height,
                          tuple(order_text(glue) for glue in _orders(plan, piece)),
                          tuple(scraps_of(plan, piece, view, outline)))


def template_pieces(plan: Plan) -> tuple[PieceInfo, ...]:
    """The pieces that are cut from paper."""
    return tuple(info for info in plan.pieces if not info.is_ribbon and plan.state(info.id) is not None)


def _is_any_of(path: Path, circles: tuple[Circle, ...]) -> bool:
    """True for a hole that a punch makes: it is drawn with the punched ones."""
    if len(path) != 1 or not isinstance(hole := path[0], Circle):
        return False
    (x, y), radius = map(float, hole.center), float(hole.radius)
    return any(abs(x - float(c.center.x)) + abs(y - float(c.center.y)) < PLACE_TOLERANCE
               and abs(radius - float(c.radius)) < PLACE_TOLERANCE for c in circles)


def _marked(state: PieceState, view: View, turned: bool) -> Iterator[tuple[str, Stroke]]:
    """Every mark as (process, stroke): what is folded of lines that serve nothing else by its direction."""
    for mark in state.marks:
        if mark.kind.is_hole:
            if mark.runs:
                yield mark.kind.process, view.stroke(mark.whole[0])
        elif mark.kind.must_fold:
            folds = tuple(fold for fold in reversed(state.folds) if fold.mark == mark.id)
            for stroke, mountain in _folded(folds, view, turned):
                yield folded_key(mark.kind.process, mountain), stroke
            folded = tuple(stroke for fold in folds for stroke in view.path(fold.runs))
            for run in view.path(mark.runs):
                yield from ((mark.kind.process, part) for part in unfolded_parts(run, folded))
        else:
            yield from ((mark.kind.process, run) for run in view.path(mark.runs))


def _folded(folds: Sequence[Fold], view: View, turned: bool) -> Iterator[tuple[Stroke, bool]]:
    """Every folded run of a mark, once, and whether it is a mountain as seen; the last fold holds."""
    done: list[Stroke] = []
    for fold in folds:
        for run in view.path(fold.runs):
            parts: tuple[Stroke, ...] = (run,)
            for other in done:
                parts = tuple(rest for part in parts for rest in unfolded_parts(part, (other,)))
            yield from ((part, (fold.direction is FoldDirection.MOUNTAIN) == turned) for part in parts)
            done.append(run)


def _orders(plan: Plan, piece: int) -> Iterator[Glue]:
    """Faces, some of them of this piece, that are glued on each other."""
    for act in plan.acts:
        if isinstance(act.detail, Glue) and not act.detail.target and any(
                face.piece == piece for face in act.detail.faces):
            yield act.detail


def _unglued(plan: Plan, piece: int, view: View) -> Iterator[GluedLoops]:
    for glue in _orders(plan, piece):
        last = glue.order[-1] - 1
        if glue.faces[last].piece == piece:
            yield GluedLoops((view.path(glue.faces[last].outline),), face_numbers(glue)[last], True, True)


def _glued(plan: Plan, piece: int, view: View, area: Region, seen: str) -> Iterator[GluedLoops]:
    """What gets glue, once each, less what was cut off; ``seen`` is the side of the paper that is seen."""
    for glued in {each.face.id: each for each in reversed(glued_areas(plan)) if each.piece == piece}.values():
        path = view.path(glued.outline)
        whole = Region(path).polygon(TANGENT_CHORD_TOLERANCE)
        kept = common_area(whole, area.polygon(TANGENT_CHORD_TOLERANCE))
        loops = (path,) if whole.area - kept.area < MIN_LOST_AREA else polygon_loops(kept)
        yield GluedLoops(loops, glued.number, glued.side == seen)


def _places(marks: tuple[Mark, ...], view: View) -> Iterator[MarkPosition]:
    """Lines parallel to an edge, each position once."""
    drawn_keys: set[tuple[str, str]] = set()
    for mark in marks:
        if (mark.position is None or mark.place is None or mark.axis is None or not mark.runs
                or mark.kind.is_hole):
            continue
        stroke = max(view.path(mark.runs), key=lambda run: float(run.length()))
        key = mark.axis, f"{float(mark.place):.4f}"
        if isinstance(stroke, Line) and key not in drawn_keys:
            drawn_keys.add(key)
            yield MarkPosition(mark.axis, stroke, mark.position)


TICK_CLEARANCE = 1.0         # mm between the paper and a tick beyond it
TICK_REACH = 5.0         # mm from the paper to the far end of such a tick
MAX_PRICK_SPACING = 10.0        # mm at most between two points of a curve
# mm from the paper that a tick must get to: one that runs along the edge shows nothing
MIN_TICK_DISTANCE = 3.0


@dataclass(frozen=True, slots=True)
class PrickMarks:
    """Ticks beyond the paper, and points within it."""

    ticks: tuple[Line, ...] = ()
    dots: tuple[Point, ...] = ()


def edge_prick_marks(piece: ProcessedPiece, area: Region) -> PrickMarks:
    """The corners and curves of the outline and of the holes in it."""
    ticks, dots = [], []
    for path in (piece.outline, *piece.holes):
        for before, after in zip((path[-1], *path[:-1]), path, strict=True):
            found = [tick for tick in (_tick_beyond(before, 1, area), _tick_beyond(after, 0, area)) if tick]
            ticks += found
            if not found:
                dots.append(_float_point(after.start))
            dots += _points_along(after)
    return PrickMarks(tuple(ticks), tuple(distinct_points(dots, {})))


def line_prick_marks(strokes: Sequence[Stroke], area: Region) -> PrickMarks:
    """Both ends of every line, and points along the curved ones."""
    ticks, dots = [], []
    for stroke in strokes:
        for end in (0, 1):
            tick = _tick_beyond(stroke, end, area) if _is_on_edge(stroke.at(end), area) else None
            ticks += [tick] if tick else []
            dots += [] if tick else [_float_point(stroke.at(end))]
        dots += _points_along(stroke)
    return PrickMarks(tuple(ticks), tuple(distinct_points(dots, {})))


def hole_centres(circles: Sequence[Stroke]) -> tuple[Point, ...]:
    """The middle of each circle."""
    return tuple(_float_point(circle.center) for circle in circles if isinstance(circle, Circle))


def _tick_beyond(stroke: Stroke, end: int, area: Region) -> Line | None:
    """A tick that continues a stroke beyond its start (0) or end (1); None where paper lies there."""
    x, y = map(float, stroke.at(end))
    step = stroke.tangent(end)
    dx, dy = (step.x, step.y) if end else (-step.x, -step.y)
    near, far = (Point(x + dx * by, y + dy * by) for by in (TICK_CLEARANCE, TICK_REACH))
    blocked = area.contains(near) or area.contains(far) or area.polygon(CLEAR_CHORD_TOLERANCE).distance(
        shapely.Point(float(far.x), float(far.y))) < MIN_TICK_DISTANCE
    return None if blocked else Line(near, far)


def _is_on_edge(point: Point, area: Region) -> bool:
    return area.on_edge(_float_point(point))


def _points_along(stroke: Stroke) -> Iterator[Point]:
    if not isinstance(stroke, Line):
        count = max(2, math.ceil(float(stroke.length()) / MAX_PRICK_SPACING))
        yield from (_float_point(stroke.at(k / count)) for k in range(1, count))


PointsByCell = dict[tuple[int, int], list[Point]]        # cells are as large as points are apart


def distinct_points(points: Sequence[Point], kept: PointsByCell) -> Iterator[Point]:
    """The points that are none of those that are ``kept`` already, each once; they are kept too."""
    for point in points:
        column, row = (math.floor(float(place) / PRICK_TOLERANCE) for place in point)
        near = (other for x in range(column - 1, column + 2) for y in range(row - 1, row + 2)
                for other in kept.get((x, y), ()))
        if all(math.dist(point, other) > PRICK_TOLERANCE for other in near):
            kept.setdefault((column, row), []).append(point)
            yield point


def _float_point(point: Point) -> Point:
    return Point(float(point[0]), float(point[1]))

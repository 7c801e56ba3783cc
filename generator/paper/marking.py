"""Put marks on a piece: check them against what is there, and let cuts replace scores."""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from shapely import LineString

from generator.geometry import Line, Stroke, crossings, inside, overlaps
from generator.paper.area import SHORTEST, area_of, is_plain_sheet, without
from generator.paper.job import Job
from generator.paper.lie import side_at
from generator.paper.places import Bound, point
from generator.paper.records import Fold, Mark, PieceState, Side
from generator.paper.values import Group, Piece
from generator.paper.work_kinds import MARK_KINDS
from generator.units import Quantity

EDGE = 1e-6     # share of a stroke, or mm, within which it only touches


@dataclass(frozen=True, slots=True)
class Drawn:
    """A mark about to be made: its strokes in the own frame and, for a straight one, its place."""

    strokes: tuple[Stroke, ...]
    bound: Bound | None = None
    positions: tuple[tuple[Quantity, Side], ...] = ()
    sizes: tuple[Quantity, ...] = ()
    whole_width: bool = False       # runs from edge to edge, so it is cut to the outline silently
    parameter: str | None = None
    length: Quantity | None = None


def straight(state: PieceState, bound: Bound, span: tuple[Quantity, Quantity] | None, parameter: str,
             ends: tuple[tuple[Quantity, Side], ...] = ()) -> Drawn:
    """A line across the piece at ``bound``, between the own coordinates ``span`` or from edge to edge.

    ``ends`` are the distances that the reader sets for where it ends.
    """
    if bound.axis == "x":
        low, high = span or (side_at(state, Side.BOTTOM), side_at(state, Side.TOP))
        line = Line(point(bound.at, low), point(bound.at, high))
    else:
        low, high = span or (side_at(state, Side.LEFT), side_at(state, Side.RIGHT))
        line = Line(point(low, bound.at), point(high, bound.at))
    return Drawn((line,), bound, ((bound.position, bound.side), *ends), (), span is None, parameter, high - low)


def make_marks(job: Job, piece: Piece, verb: str, tool: str, drawn: Sequence[Drawn], grouped: bool,
               stays_flat: bool = False) -> object:
    """Make marks, note them in the piece's state, end the act. Gives a Mark, or a Group when ``grouped``."""
    state = job.state(piece)
    made = []
    for index, (ident, each) in enumerate(zip(job.mark_ids(len(drawn)), drawn, strict=True), start=1):
        runs = _on_paper(job, state, each, verb)
        mark = replace(_mark(job, piece, verb, tool, ident, index, len(drawn), each, runs), stays_flat=stays_flat)
        _against_others(job, state, made, mark, each.parameter)
        made.append(mark)
    if MARK_KINDS[verb].cuts:
        job.change(piece, marks=tuple(_cut_out_of(mark, made) for mark in state.marks),
                   folds=tuple(_cut_out_of(fold, made) for fold in state.folds))
    job.change(piece, marks=(*job.state(piece).marks, *made))
    job.record(verb, piece, marks=tuple(mark.id for mark in made))
    return Group(tuple(made)) if grouped else made[0]


def _mark(job: Job, piece: Piece, verb: str, tool: str, ident: int, index: int, count: int, each: Drawn,
          runs: tuple[Stroke, ...]) -> Mark:
    bound = each.bound
    return Mark(id=ident, verb=verb, name=job.name, index=index, count=count, piece=piece.id,
                axis=bound.axis if bound else None, place=bound.at if bound else None,
                position=bound.position if bound else None, measured_from=bound.side if bound else None,
                tool=tool, whole=each.strokes, runs=runs, step=job.step, act=job.act,
                span=job.where(each.parameter) if bound else job.span, positions=each.positions, sizes=each.sizes,
                length=each.length, box=_box(each.strokes))


def _on_paper(job: Job, state: PieceState, each: Drawn, verb: str) -> tuple[Stroke, ...]:
    if each.bound is not None and each.whole_width:
        return _across(job, state, each, verb)
    for stroke in each.strokes:
        if stroke.length() <= SHORTEST:
            job.refuse("zero-length", "this line ends where it begins", "give two different points", at=each.parameter)
    if is_plain_sheet(state) and _within_box(state, each.strokes):
        if all(_along_side(state, stroke) for stroke in each.strokes):
            _off(job, state, each, verb)
        return each.strokes
    job.spend(len(state.outline))
    area = area_of(job, state)
    lines = [LineString(stroke.flattened()) for stroke in each.strokes]
    if all(area.polygon.contains_properly(line) for line in lines):
        return each.strokes
    if not all(area.forgiving.covers(line) for line in lines):
        _off(job, state, each, verb)
    if not any(part.length() > SHORTEST for stroke in each.strokes for part in inside(stroke, area.region)):
        _off(job, state, each, verb)    # it lies along the edge, or swings out all the way
    return tuple(part for stroke in each.strokes for part in inside(stroke, area.region, keep_edge=True)
                 if part.length() > SHORTEST)


def _across(job: Job, state: PieceState, each: Drawn, verb: str) -> tuple[Stroke, ...]:
    bound = each.bound
    low, high = (Side.LEFT, Side.RIGHT) if bound.axis == "x" else (Side.BOTTOM, Side.TOP)
    if not (side_at(state, low).below(bound.at) and bound.at.below(side_at(state, high))):
        _off(job, state, each, verb)
    if is_plain_sheet(state):
        return each.strokes
    job.spend(len(state.outline))
    runs = tuple(part for part in inside(each.strokes[0], area_of(job, state).region) if part.length() > SHORTEST)
    if not runs:
        _off(job, state, each, verb)
    return runs


def _off(job: Job, state: PieceState, each: Drawn, verb: str) -> None:
    name = job.info(state.piece).name
    hint = f"'{name}' is {job.say(state.width)} by {job.say(state.height)}; make the piece larger, "
    if each.bound is None:
        kind = MARK_KINDS[verb]
        what = f"this {kind.noun} {'reaches over the edge of' if kind.is_hole else 'runs off'} '{name}'"
        job.refuse("mark-off-piece", what, hint + "or the shape smaller, or move it", at=each.parameter)
    where = f"the {verb} at {job.say(each.bound.position)} from the {each.bound.side} "
    if _on_side(state, each.bound):
        job.refuse("mark-off-piece", f"{where}lies on the very edge of '{name}'", "an edge is cut already; leave this out, "
                   "or move it inwards", at=each.parameter)
    if each.bound.position.value < 0:
        hint = "distances count from the edge inwards; measured_from says from which edge"
    else:
        hint += "or the distance or the number of marks smaller"
    job.refuse("mark-off-piece", f"{where}is not inside '{name}'", hint, at=each.parameter)


def _on_side(state: PieceState, bound: Bound) -> bool:
    sides = (Side.LEFT, Side.RIGHT) if bound.axis == "x" else (Side.BOTTOM, Side.TOP)
    return any(side_at(state, side).same_as(bound.at) for side in sides)


def _within_box(state: PieceState, strokes: Sequence[Stroke]) -> bool:
    x0, y0, x1, y1 = _box(strokes)
    left, right = float(side_at(state, Side.LEFT).value), float(side_at(state, Side.RIGHT).value)
    low, high = float(side_at(state, Side.BOTTOM).value), float(side_at(state, Side.TOP).value)
    return x0 >= left - EDGE and x1 <= right + EDGE and y0 >= low - EDGE and y1 <= high + EDGE


def _along_side(state: PieceState, stroke: Stroke) -> bool:
    if not isinstance(stroke, Line):
        return False
    (x0, y0), (x1, y1) = stroke.start, stroke.end
    upright = {side_at(state, side).value for side in (Side.LEFT, Side.RIGHT)}
    level = {side_at(state, side).value for side in (Side.BOTTOM, Side.TOP)}
    return (x0 == x1 and x0 in upright) or (y0 == y1 and y0 in level)


def _box(strokes: Sequence[Stroke]) -> tuple[float, float, float, float]:
    if len(strokes) == 1:
        return strokes[0].box
    left, low, right, high = zip(*(stroke.box for stroke in strokes), strict=True)
    return min(left), min(low), max(right), max(high)


def _against_others(job: Job, state: PieceState, made: Sequence[Mark], mark: Mark, parameter: str | None) -> None:
    if not mark.kind.is_line:
        return
    job.spend((len(state.marks) + len(made)) // 40 + 1)
    cuts = mark.kind.cuts
    for other in (*state.marks, *made):
        if not other.kind.is_line or not _near(mark.box, other.box):
            continue
        if _lies_on(mark, other) and not (cuts and other.kind.folds):
            job.refuse("mark-doubled", f"this {mark.verb} lies on {_called(other)}",
                       "leave one of them out, or move it", at=parameter)
        if cuts and other.kind.cuts and _cross(mark, other):
            job.refuse("cuts-cross", f"this cut crosses {_called(other)}", "end one of the cuts at the other", at=parameter)


def _called(mark: Mark) -> str:
    name = f"'{mark.name}'" if mark.name else "one"
    which = f", number {mark.index} of {mark.count}" if mark.count > 1 else ""
    return f"the {mark.verb} {name}{which} (line {mark.span.line})"


def _lies_on(mark: Mark, other: Mark) -> bool:
    if mark.axis and other.axis:
        if mark.axis != other.axis or not mark.place.same_as(other.place):
            return False
    elif not any(isinstance(a, type(b)) for a in mark.runs for b in other.runs):
        return False
    return any((last - first) * run.length() > SHORTEST
               for run in mark.runs for before in other.runs
               for first, last in overlaps(run, before))


def _near(a: tuple[float, ...], b: tuple[float, ...]) -> bool:
    """True when two boxes have more than dust in common, or touch along a side."""
    return a[0] <= b[2] + EDGE and b[0] <= a[2] + EDGE and a[1] <= b[3] + EDGE and b[1] <= a[3] + EDGE


def _cross(mark: Mark, other: Mark) -> bool:
    return any(EDGE < s < 1 - EDGE and EDGE < t < 1 - EDGE
               for run in mark.runs for before in other.runs for s, t in crossings(run, before))


def _cut_out_of(line: Mark | Fold, cuts: Sequence[Mark]) -> Mark | Fold:
    """A score, or a fold along one, without what cuts now lie on."""
    if isinstance(line, Mark) and not line.kind.folds:
        return line
    runs = line.runs
    for cut in cuts:
        if any(_near(cut.box, run.box) for run in runs):
            for stroke in cut.runs:
                runs = tuple(part for run in runs for part in without(run, stroke))
    return line if runs == line.runs else replace(line, runs=runs)

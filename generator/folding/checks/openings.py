"""Holes, windows and what covers them: clear of edges, glue and folds, alike where panels lie on each other.

A hole beside a score tears, and one on it is folded; a window that runs over a fold opens the edge of the
box; holes through which one ribbon or one hand goes lie on each other when the box is folded.
"""
from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from shapely import Point, Polygon
from shapely.geometry.base import BaseGeometry

from generator.dataclass import dataclass
from generator.findings import Finding, Span, finding
from generator.folding.closings import face_polygon, glued_pairs
from generator.folding.piece_context import PieceContext, hole_name, length_texts, pressed_together
from generator.folding.planar_map import piece_polygon
from generator.folding.rigid_folding import in_frame_of
from generator.geometry import Circle, Stroke
from generator.geometry.overlay import common_area
from generator.geometry.strokes import polyline, ring_points
from generator.geometry.tolerances import (
    ALIGNED_TOLERANCE,
    CHORD_TOLERANCE,
    EQUAL_LENGTHS,
    MIN_EDGE_CLEARANCE,
    POINT_TOLERANCE,
)
from generator.paper.records import Glue, Mark, PieceState, Plan

# mm from the rim of a hole to a score; nearer it touches it (common practice, no source)
MIN_FOLD_CLEARANCE = 0.1
ADVISED_CLEARANCE = 1.0         # mm; what authors are told to leave
NEAR_DIAMETERS = 3.0            # holes nearer than so many of their widths are meant for each other
MIN_OPENING = 0.5               # mm²; smaller pieces are left by rounding
MIN_BORDER = 2.0                # mm of card that a film needs all round (common practice, no source)


def hole_findings(context: PieceContext) -> Iterator[Finding]:
    """One finding for each statement that punches too near an edge, and one where it punches into glue."""
    yield from _openings_near_edges(context)
    holes = [mark for mark in context.state.marks if mark.kind.is_hole and mark.runs]
    if not holes:
        return
    edges = _paper_edges(context)
    glued = list(_glued_areas(context))
    reported: set[tuple[str, int]] = set()
    for mark in holes:
        near = _hole_centre(mark).distance(edges) - float(_circle(mark).radius)
        if near < MIN_EDGE_CLEARANCE - 1e-3 and _is_first(reported, "near", mark):
            kept, least = context.length_texts(max(near, 0), MIN_EDGE_CLEARANCE)
            yield finding("hole-near-edge", mark.span,
                          f"{hole_name(mark)} keeps {kept} from the edge; paper tears when it is less than "
                          f"{least}",
                          "move it inwards, or punch a smaller hole")
        if any(_hole_disc(mark).intersection(area).area > 1e-3
               for area in glued) and not _meets_another_hole(context, mark, holes) \
                and _is_first(reported, "glued", mark):
            yield finding("hole-glued", mark.span, f"{hole_name(mark)} lies where paper is glued",
                          "move it off the glued area, or punch both layers in the same place")
    yield from _crowded_holes(context, holes)


def _openings_near_edges(context: PieceContext) -> Iterator[Finding]:
    """One finding for each statement whose opening leaves hardly any paper beside it."""
    loops = [(shapely.Polygon(ring_points([rim.stroke for rim in loop], CHORD_TOLERANCE)),
              max(loop, key=lambda rim: rim.act)) for loop in context.state.holes]
    outline = piece_polygon(context.state)
    edge = shapely.Polygon(outline.exterior) if isinstance(outline, Polygon) else outline
    reported: set[int] = set()
    for k, (area, last) in enumerate(loops):
        kept = min(area.distance(other) for other in (edge.boundary, *(o for o, _ in loops[:k])))
        if kept < MIN_EDGE_CLEARANCE - 1e-3 and last.act not in reported:
            reported.add(last.act)
            given, least = context.length_texts(kept, MIN_EDGE_CLEARANCE)
            yield finding("hole-near-edge", last.span,
                          f"this opening leaves {given} of paper beside it, which tears when it is less than "
                          f"{least}", "make it smaller, or move it inwards")


def _crowded_holes(context: PieceContext, holes: Sequence[Mark]) -> Iterator[Finding]:
    """One finding for each statement that punches into another hole, or so near that the paper tears."""
    reported: set[tuple[str, int]] = set()
    discs = [_hole_disc(mark) for mark in holes]
    for k, mark in enumerate(holes):
        for other, disc in zip(holes[:k], discs, strict=False):
            if disc.distance(discs[k]) < ADVISED_CLEARANCE - EQUAL_LENGTHS and _is_first(reported, "", mark):
                least = context.length_text(ADVISED_CLEARANCE)
                where = "into" if disc.intersects(discs[k]) else f"less than {least} beside"
                yield finding("hole-near-edge", mark.span,
                              f"{hole_name(mark)} is punched {where} {hole_name(other)}",
                              f"leave {least} or more of paper between them")


def _is_first(reported: set[tuple[str, int]], what: str, mark: Mark) -> bool:
    new = (what, mark.act) not in reported
    reported.add((what, mark.act))
    return new


def _hole_centre(mark: Mark) -> Point:
    centre = _circle(mark).center
    return Point(float(centre.x), float(centre.y))


def _hole_disc(mark: Mark) -> Polygon:
    return _hole_centre(mark).buffer(float(_circle(mark).radius))


def _circle(mark: Mark) -> Circle:
    """The circle of a hole: what is punched has no other shape."""
    stroke = mark.whole[0]
    if not isinstance(stroke, Circle):
        raise TypeError(f"{mark.verb} makes a hole that is no circle")
    return stroke


def _paper_edges(context: PieceContext) -> shapely.Geometry:
    """The outline of the piece and all its cuts."""
    cuts = [shapely.LineString(polyline(run))
            for mark in context.state.marks if mark.kind.cuts for run in mark.runs]
    return shapely.union_all([piece_polygon(context.state).boundary, *cuts])


def _glued_areas(context: PieceContext) -> Iterator[BaseGeometry]:
    """Areas of the flat plan with glue on them: each tab, and where it lies on its target."""
    flat, frames = context.folded.flat, context.folded.frames
    for each in context.glued:
        if not each.paired:
            continue
        tab = face_polygon(each.face)
        yield tab
        if context.closes() and each.panel != each.target_panel:
            yield in_frame_of(flat, frames, each.panel, each.target_panel, tab)


def _meets_another_hole(context: PieceContext, mark: Mark, holes: list[Mark]) -> bool:
    """Whether another hole comes to lie on this one when the box is folded."""
    if not context.closes():
        return False
    flat, frames = context.folded.flat, context.folded.frames
    own = next((p.id for p in flat.panels if p.polygon.contains(_hole_centre(mark))), None)
    for each in context.glued:
        if own not in (each.panel, each.target_panel):
            continue
        away = each.target_panel if own == each.panel else each.panel
        for other in holes:
            if not flat.panels[away].polygon.contains(_hole_centre(other)):
                continue
            over = in_frame_of(flat, frames, away, own, _hole_disc(other))
            if over.distance(_hole_centre(mark)) <= ALIGNED_TOLERANCE:
                return True
    return False


def fold_clearance_findings(context: PieceContext) -> Iterator[Finding]:
    """One finding for each statement that punches on a score or beside it, or cuts a window over a fold."""
    scores = [(mark, _line(mark.runs)) for mark in context.state.marks if mark.kind.must_fold and mark.runs]
    reported: set[int] = set()
    for hole in context.state.marks:
        if not hole.kind.is_hole or hole.act in reported:
            continue
        disc = Polygon(ring_points(hole.whole, CHORD_TOLERANCE))
        near = min(((float(line.distance(disc.exterior)), mark) for mark, line in scores
                    if not line.disjoint(disc.buffer(MIN_FOLD_CLEARANCE))), key=lambda row: row[0],
                    default=None)
        if near is not None and (near[1].stays_flat is False or not near[0]):
            reported.add(hole.act)
            apart, least = context.length_texts(near[0], ADVISED_CLEARANCE)
            where = "on" if any(line.intersects(disc) for _, line in scores) else f"{apart} from"
            yield finding("hole-near-fold", hole.span,
                          f"{hole_name(hole)} lies {where} the score of line {near[1].span.line}",
                          f"keep it {least} or more away: paper tears at a hole beside a fold")
    yield from _windows_over_folds(context)


def _windows_over_folds(context: PieceContext) -> Iterator[Finding]:
    folds = [run for fold in context.state.folds for run in fold.runs]
    ends = shapely.multipoints([(float(p.x), float(p.y)) for run in folds for p in (run.start, run.end)]) \
        if folds else shapely.MultiPoint()
    reported: set[int] = set()
    for loop in context.state.holes:
        for rim in loop:
            if rim.act not in reported and _line((rim.stroke,)).distance(ends) <= POINT_TOLERANCE:
                reported.add(rim.act)
                yield finding("hole-near-fold", rim.span, "this opening runs over a fold",
                              "keep it within one panel, or end the fold before it")


def _line(strokes: Sequence[Stroke]) -> BaseGeometry:
    return shapely.union_all([shapely.LineString([(float(p.x), float(p.y)) for p in stroke.flattened()])
                              for stroke in strokes])


@dataclass(frozen=True, slots=True, eq=False)
class _Opening:
    """A hole of a panel: its area in the flat plan, and the statement that made it."""

    panel: int
    area: BaseGeometry
    span: Span
    name: str


def layer_agreement_findings(context: PieceContext) -> Iterator[Finding]:
    """One finding for each statement whose opening misses its like in the panel that comes to lie on it."""
    if not context.closes():
        return
    openings = list(_openings(context))
    reported: set[int] = set()
    for k, one in enumerate(openings):
        for other in openings[k + 1:]:
            if one.panel != other.panel and pressed_together(context, one.panel, other.panel):
                apart = _apart(context, one, other)
                if (apart is not None and other.span.line not in reported
                        and not any(_agree(context, pair) for third in openings
                                    for pair in ((one, third), (other, third))
                                    if {third.panel, pair[0].panel} == {one.panel, other.panel})):
                    reported.add(other.span.line)
                    far = context.length_text(apart)
                    yield finding("holes-apart", other.span,
                                  f"folded, {other.name} comes to lie {far} beside "
                                  f"{one.name.replace('this', 'the')} of line {one.span.line}, on which it "
                                  "belongs" if one.span.line != other.span.line else
                                  f"folded, two of {_several(other.name)} that belong on each other lie "
                                  f"{far} apart", "put them alike on both panels, seen from where they meet")


def _several(name: str) -> str:
    return name if name.startswith("'") else f"{name.replace('this', 'these')}s"


def _openings(context: PieceContext) -> Iterator[_Opening]:
    panels = [p for p in context.folded.flat.panels if context.is_rigid(p.id)]
    for mark in context.state.marks:
        if mark.kind.is_hole and isinstance(mark.whole[0], Circle):
            area = Polygon(ring_points(mark.whole, CHORD_TOLERANCE))
            name = f"'{mark.name}'" if mark.name else "this hole"
            yield from (_Opening(p.id, area, mark.span, name) for p in panels
                        if p.polygon.buffer(POINT_TOLERANCE).contains(area.centroid))
    names = {act.number: f"'{act.name}'" for act in context.plan.acts if act.name}
    for loop in context.state.holes:
        area = Polygon(ring_points([rim.stroke for rim in loop], CHORD_TOLERANCE))
        last = max(loop, key=lambda rim: rim.act)
        yield from (_Opening(p.id, area, last.span, names.get(last.act, "this opening")) for p in panels
                    if Polygon(p.polygon.exterior).contains(area.centroid))


def _agree(context: PieceContext, pair: tuple[_Opening, _Opening]) -> bool:
    """Whether two openings lie on each other."""
    one, other = pair
    over = in_frame_of(context.folded.flat, context.folded.frames, other.panel, one.panel, other.area)
    return bool(over.centroid.distance(one.area.centroid) <= ALIGNED_TOLERANCE)


def _apart(context: PieceContext, one: _Opening, other: _Opening) -> float | None:
    """How far the middles of two openings that belong together lie from each other; None where they agree."""
    over = in_frame_of(context.folded.flat, context.folded.frames, other.panel, one.panel, other.area)
    far = float(over.centroid.distance(one.area.centroid))
    width = 2 * float(np.sqrt(max(one.area.area, over.area) / np.pi))
    if not 0.5 <= over.area / one.area.area <= 2 or far > NEAR_DIAMETERS * width:
        return None
    return far if far > ALIGNED_TOLERANCE else None


def covering_findings(plan: Plan) -> Iterator[Finding]:
    """One finding for each paper glued over a window that leaves some open, or has no border to hold by."""
    for act in plan.acts:
        if not isinstance(act.detail, Glue) or not act.detail.target:
            continue
        for face, target, _ in glued_pairs(act.detail):
            state = plan.state(target.piece)
            if face.piece == target.piece or state is None:
                continue
            window = common_area(face_polygon(target), _opened(state))
            cover, info = face_polygon(face), plan.pieces[face.piece]
            if window.area < MIN_OPENING or cover.is_empty:
                continue
            border = _border(cover, face_polygon(target), window)
            if border < MIN_BORDER:
                open_ = border < -POINT_TOLERANCE
                reach, least = length_texts(plan, abs(border), MIN_BORDER)
                how = (f"leaves {reach} of the window open" if open_ else
                       "is no larger than the window" if border < POINT_TOLERANCE else
                       f"reaches only {reach} beyond the window")
                cause = _joining_opening(cover, face_polygon(target), state)
                joined = ", which this opening has joined" if cause else ""
                yield finding("window-uncovered", cause or info.span, f"'{info.name}' {how}{joined}",
                              "keep this opening off the window" if cause else
                              f"make it {least} or more larger than the window all round")
                break


def _joining_opening(cover: BaseGeometry, target: BaseGeometry, state: PieceState) -> Span | None:
    """The statement that joins an opening to a window and alone leaves what covers it; else None."""
    (x, y), (to_x, to_y) = (shape.envelope.centroid.coords[0] for shape in (cover, target))
    held = shapely.transform(cover, lambda xy: xy + (to_x - x, to_y - y)).buffer(-MIN_BORDER)
    for loop in state.holes:
        inside: dict[int, bool] = {}
        for rim in loop:
            inside[rim.act] = inside.get(rim.act, True) and held.covers(_line((rim.stroke,)))
        if any(inside.values()) and not all(inside.values()):
            return next(rim.span for rim in loop if not inside[rim.act])
    return None


def _opened(state: PieceState) -> BaseGeometry:
    return shapely.union_all([Polygon(ring_points([rim.stroke for rim in loop], CHORD_TOLERANCE))
                              for loop in state.holes]) \
        if state.holes else Polygon()


def _border(cover: BaseGeometry, target: BaseGeometry, window: BaseGeometry) -> float:
    """How far a cover on the middle of its target reaches beyond the window, on its poorest side, in mm."""
    shift = np.array(target.envelope.centroid.coords[0]) - np.array(cover.envelope.centroid.coords[0])
    left, low, right, high = np.array(cover.bounds) + np.concatenate([shift, shift])
    inner = window.bounds
    return float(min(inner[0] - left, inner[1] - low, right - inner[2], high - inner[3]))

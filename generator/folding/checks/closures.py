"""What is to close a box closes it: bands, its own lid over it, flaps that are tucked in."""
from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from generator.findings import Finding, Severity, finding
from generator.folding.closings import face_polygon
from generator.folding.features.own_lids import OwnLid, own_lids
from generator.folding.piece_context import PieceContext, face_name, paper_thickness
from generator.folding.records import FoldedPiece, Hinge, placed_points
from generator.folding.rigid_folding import moved_in_plane
from generator.geometry.arrays import FloatArray
from generator.geometry.strokes import ring_points
from generator.geometry.tolerances import (
    ALIGNED_TOLERANCE,
    CHORD_TOLERANCE,
    CLEARANCE_TOLERANCE,
    EQUAL_LENGTHS,
    FLAT_FOLD_ANGLE,
    MAX_OVERHANG,
    MAX_PLAY,
    MIN_TAB_WIDTH,
    OPPOSITE_COSINE,
    POINT_TOLERANCE,
)
from generator.paper.records import Act, Band, Closure, Face, Plan
from generator.paper.work_kinds import Effect

MIN_COVER_SHARE = 0.5       # of the smaller of the two faces, of which so much must lie on the other
MAX_SLOPE = 0.035           # sine of the angle (2 degrees) by which a lid may lean and still close
MAX_TUCK_GAP = 3.0          # mm between a tuck and the wall it goes behind, with the paper of both
END_SHARE = 0.9         # of the depth of a tuck: what lies farther from its hinge is its end
MAX_OUTSIDE = 3.0       # mm; a flap that stands out by less may be pressed flat
MIN_INSIDE = 1.0        # mm; what lies inside may reach so far beyond, as paper gives
MIN_BRIM = 3            # flaps in one plane
DIRECTIONS = 60         # in which a flap is looked at


def own_lid_findings(context: PieceContext) -> Iterator[Finding]:
    """For each lid of the piece itself: that it closes, goes over the walls of its base, and is not loose."""
    for lid in own_lids(context):
        name = context.panel_name(lid.panel)
        if not lid.closed:
            yield finding("lid-open", lid.hinge.bend.span,
                          f"folded so, the lid {name} does not come to lie over its box with its rims down",
                          "look at the directions of the folds between box and lid, and at how far they go")
        elif lid.rigid:
            yield from _fit_findings(context, lid, name)


def _fit_findings(context: PieceContext, lid: OwnLid, name: str) -> Iterator[Finding]:
    for fit in lid.fits:
        spare, needed = context.length_texts(max(fit.larger, 0), fit.needed)
        span = next((mark.span for mark in context.state.marks if mark.id == fit.mark), context.info.span)
        takes = f"the lid {name} is {spare} {fit.way} than its box, and the paper of the walls takes {needed}"
        if fit.larger < fit.needed - CLEARANCE_TOLERANCE:
            yield finding("lid-tight", span, takes, "make the lid larger or the box smaller")
        elif fit.larger > fit.needed + MAX_PLAY:
            yield finding("lid-loose", span, f"{takes} of it",
                          "make the lid smaller: with more room it falls off")


def tuck_findings(context: PieceContext) -> Iterator[Finding]:
    """One finding for each statement that folds flaps out of the box which lie inside when folded otherwise.

    Three flaps or more that one statement folds into one plane are a brim, and meant (common practice, no
    source).
    """
    if not context.closes():
        return
    reported: set[int] = set()
    glued = {k for each in context.glued for k in (each.panel, each.target_panel)}
    firm = [k for k in range(len(context.folded.flat.panels)) if context.is_rigid(k)]
    for panel in firm:
        hinges = context.folded.flat.hinges_of(panel)
        if len(hinges) != 1 or panel in glued or hinges[0].bend.act in reported:
            continue
        body = np.concatenate([context.folded.corners(k) for k in firm if k != panel])
        if (_reach(context.folded.corners(panel), body) > MAX_OUTSIDE
                and _reach(_mirrored(context, panel, hinges[0]), body) <= MIN_INSIDE
                and not _is_of_brim(context, panel, hinges[0].bend.act)):
            reported.add(hinges[0].bend.act)
            yield finding("flap-outside", hinges[0].bend.span,
                          f"folded so, {context.panel_name(panel)} stands out of the box",
                          "fold it the other way, and it lies inside")


def _is_of_brim(context: PieceContext, panel: int, act: int) -> bool:
    """Whether enough other flaps of the same statement lie in the plane of this one."""
    at, normal = context.folded.corners(panel)[0], context.folded.normal(panel)
    flaps = [k for h in context.folded.flat.hinges if h.bend.act == act for k in (h.left, h.right)
             if len(context.folded.flat.hinges_of(k)) == 1]
    level = [k for k in flaps
             if np.abs((context.folded.corners(k) - at) @ normal).max() < ALIGNED_TOLERANCE]
    return len(level) >= MIN_BRIM


def _reach(points: FloatArray, body: FloatArray) -> float:
    """How far points stand out of a convex body at most, in mm, as seen from many directions."""
    middle = body.mean(axis=0)
    ways = points - middle
    ways = ways / np.maximum(np.linalg.norm(ways, axis=1), POINT_TOLERANCE)[:, None]
    ways = np.concatenate([ways, np.eye(3), -np.eye(3), _sphere()])
    return float(((points @ ways.T).max(axis=0) - (body @ ways.T).max(axis=0)).max())


def _sphere() -> FloatArray:
    """Unit vectors spread evenly (the spiral of the golden angle, from memory)."""
    k = np.arange(DIRECTIONS) + 0.5
    up = 1 - 2 * k / DIRECTIONS
    round_, turn = np.sqrt(1 - up * up), k * np.pi * (3 - np.sqrt(5))
    return np.stack([round_ * np.cos(turn), round_ * np.sin(turn), up], axis=1)


def _mirrored(context: PieceContext, panel: int, hinge: Hinge) -> FloatArray:
    """The corners of a flap folded the other way by the same angle: mirrored in the plane it hangs on."""
    other = hinge.other(panel)
    normal, at = context.folded.normal(other), context.folded.corners(other)[0]
    points = context.folded.corners(panel)
    result: FloatArray = points - 2 * ((points - at) @ normal)[:, None] * normal
    return result


def loose_fold_findings(context: PieceContext) -> Iterator[Finding]:
    """One for each statement with folds of which nothing says how far, in a design that states its outcome.

    No angle is given, nothing that is glued feels them, no face that they bring to its place is said to
    close there, and no ribbon draws them together.
    """
    folded, plan = context.folded, context.plan
    if not context.closes() or folded.pouch is not None or not (plan.finish or plan.closures):
        return
    if any(act.effect is Effect.GATHER and act.pieces[:1] == (context.info.id,) for act in plan.acts):
        return
    brought = [context.locator.panel(face) for closure in plan.closures for face in closure.faces
               if face.piece == context.info.id]
    told = np.asarray(context.link.paths[brought].any(axis=0))
    loose = [k for k in folded.unconstrained if not told[k] and context.is_rigid(folded.flat.hinges[k].left)
             and context.is_rigid(folded.flat.hinges[k].right)]
    others = [folded.angles[h.id] for h in folded.flat.hinges if h.id not in loose]
    if others and min(others) >= FLAT_FOLD_ANGLE:
        return      # among paper that is all folded flat it lies flat too
    bends = {folded.flat.hinges[k].bend.act: folded.flat.hinges[k].bend for k in loose}
    for number, bend in sorted(bends.items()):
        name = context.act(number).name
        which = f"'{name}'" if name else "this"
        yield finding("fold-loose", bend.span,
                      f"nothing says how far {which} is folded, and nothing holds what it folds",
                      "glue it, say with close(…) what it closes, or say its angle with by=")


def closure_findings(plan: Plan, contexts: Sequence[PieceContext],
                     placed: Mapping[int, FoldedPiece]) -> Iterator[Finding]:
    """One finding for each stated closing of which a face does not come to lie where it is said to."""
    known = {context.info.id: context for context in contexts if context.closes()
             and context.info.id in placed}
    for closure in plan.closures:
        for k, face in enumerate(closure.faces):
            target = closure.target[k if len(closure.target) > 1 else 0]
            if face.piece not in known or target.piece not in known:
                continue
            why = _why_open(known, placed, closure, face, target)
            if why:
                yield finding("closing-open", closure.span, f"{face_name(face)} {why}",
                              "look at the directions of the folds that bring it there, and at its length")
                break
            if closure.behind and (short := _depth(known[face.piece], face)) < MIN_TAB_WIDTH:
                deep, least = known[face.piece].length_texts(short, MIN_TAB_WIDTH)
                yield finding("tab-narrow", closure.span, f"{face_name(face)} is {deep} deep, and slips out",
                              f"make it {least} or more", Severity.WARNING)
                break


def closing_tilts(plan: Plan, contexts: Sequence[PieceContext],
                  placed: Mapping[int, FoldedPiece]) -> tuple[float, ...]:
    """The angles in degrees, up to 90, at which faces stand to what they are said to close on."""
    known = {context.info.id: context for context in contexts if context.info.id in placed}
    tilts = [_tilt(_motion(known, placed, face, closure.target[k if len(closure.target) > 1 else 0]))
             for closure in plan.closures for k, face in enumerate(closure.faces)
             if {face.piece, closure.target[0].piece} <= known.keys()]
    return tuple(tilt for tilt in tilts if math.sin(math.radians(tilt)) > MAX_SLOPE)


def _motion(contexts: Mapping[int, PieceContext], placed: Mapping[int, FoldedPiece], face: Face,
            target: Face) -> FloatArray:
    """From the plane of a face to that of its target (4 × 4)."""
    frames = [_frame(contexts[each.piece], placed[each.piece], each) for each in (face, target)]
    result: FloatArray = np.linalg.inv(frames[1]) @ frames[0]
    return result


def _tilt(move: FloatArray) -> float:
    return math.degrees(math.asin(min(1.0, float(np.hypot(*move[2, :2])))))


def _why_open(contexts: Mapping[int, PieceContext], placed: Mapping[int, FoldedPiece], closure: Closure,
              face: Face, target: Face) -> str:
    """What keeps a face from lying over or behind its target; "" where nothing does."""
    move = _motion(contexts, placed, face, target)
    where = f"{'behind' if closure.behind else 'over'} {face_name(target)}"
    if float(np.hypot(*move[2, :2])) > MAX_SLOPE:
        return f"does not come to lie level {where}: it stands at an angle of {_tilt(move):.0f}° to it"
    shape, ground = moved_in_plane(face_polygon(face), move), face_polygon(target)
    if _shared(shape, ground) < MIN_COVER_SHARE * min(shape.area, ground.area):
        return f"does not come to lie {where}"
    heights = placed_points(move, ring_points(face.outline, CHORD_TOLERANCE))[:, 2]
    far = float(np.abs(heights).max())
    long_by = float(shapely.distance(ground, shapely.points(shapely.get_coordinates(shape))).max())
    if closure.behind and long_by > MAX_TUCK_GAP:
        return f"reaches {contexts[face.piece].length_text(long_by)} beyond {face_name(target)}"
    if closure.behind and _catches(contexts[face.piece], face, move, ground):
        return f"is as wide at its end as {face_name(target)}, and catches in its corners"
    if closure.behind and far > MAX_TUCK_GAP:
        return f"stays {contexts[face.piece].length_text(far)} away from {face_name(target)}"
    return ""


def _depth(context: PieceContext, face: Face) -> float:
    """How far a flap reaches from the fold on which it hangs; without bound where it hangs on several."""
    panel = context.locator.panel(face)
    hinges = context.folded.flat.hinges_of(panel)
    if len(hinges) != 1:
        return math.inf
    paper = shapely.get_coordinates(context.folded.flat.panels[panel].polygon)
    return float(np.abs((paper - hinges[0].start) @ hinges[0].normal).max())


def _catches(context: PieceContext, face: Face, move: FloatArray, ground: BaseGeometry) -> bool:
    """Whether the free end of a tuck is too wide to go between the walls beside that it goes behind."""
    panel = context.locator.panel(face)
    hinges = context.folded.flat.hinges_of(panel)
    if len(hinges) != 1:
        return False
    step = (hinges[0].end - hinges[0].start) / hinges[0].length
    paper = shapely.get_coordinates(
        face_polygon(face).intersection(context.folded.flat.panels[panel].polygon))
    far = np.abs((paper - hinges[0].start) @ np.array((-step[1], step[0])))
    room = np.ptp(shapely.get_coordinates(ground) @ (move[:2, :2] @ step))
    return bool(np.ptp(paper[far > END_SHARE * far.max()] @ step) > room - context.thickness + EQUAL_LENGTHS)


def _shared(shape: BaseGeometry, ground: BaseGeometry) -> float:
    return float(shape.intersection(ground).area)


def _frame(context: PieceContext, piece: FoldedPiece, face: Face) -> FloatArray:
    frame: FloatArray = piece.placement @ piece.frames[context.locator.panel(face)]
    return frame


MAX_CORNER = 8.0        # mm from one face to the next: the gap of a lid, the thickness of a hinge


def band_findings(contexts: Sequence[PieceContext]) -> Iterator[Finding]:
    """One for each band that leaves out a face, is wider than its faces, or has hardly any lap."""
    if not contexts:
        return
    for act in contexts[0].plan.acts:
        if not isinstance(act.detail, Band):
            continue
        lap = float(act.detail.lap.value)
        if lap < MIN_TAB_WIDTH:
            given, least = contexts[0].length_texts(lap, MIN_TAB_WIDTH)
            yield finding("tab-narrow", act.span, f"the lap of this band is {given} wide, and holds badly",
                          f"give it {least} or more", Severity.WARNING)
        own = next(info for info in contexts[0].plan.pieces if info.act == act.number)
        wide = float(contexts[0].plan.final_state(own.id).height.value)
        across = 1 if act.detail.axis == "x" else 0
        room = min((float(face.size[across].value) for face in act.detail.faces if face.size is not None),
                   default=math.inf)
        if wide > room + MAX_OVERHANG:
            given, most = contexts[0].length_texts(wide, room)
            yield finding("tab-sticks-out", act.span,
                          f"this band is {given} wide, and the faces it goes round {most}",
                          "make it narrower")
        if (far := _gap_in_ring(contexts, act.detail)) is not None:
            yield finding("band-short", act.span,
                          "these faces do not go all round: from one to the next are "
                          f"{contexts[0].length_text(far)}",
                          "name every face that the band lies on, in the order round the box")
        elif (left := _lap_left(contexts, act, act.detail)) is not None \
                and left < (MIN_TAB_WIDTH / 2 if lap >= MIN_TAB_WIDTH else 0):
            given, needed = contexts[0].length_texts(max(left, 0), lap)
            yield finding("band-short", act.span,
                          f"round these faces and their paper {given} are left of the lap of {needed}",
                          "name faces that meet, or make the lap longer")


def _lap_left(contexts: Sequence[PieceContext], act: Act, band: Band) -> float | None:
    """What is left of a band's lap once it lies tight round its faces, in mm; None where nobody can tell.

    Round a convex outline with an offset: its length and a full turn of the offset (Steiner's formula).
    """
    context = next((c for c in contexts if {face.piece for face in band.faces} == {c.info.id}), None)
    if context is None or not context.closes() or len(band.faces) < MIN_BRIM:
        return None
    along = 0 if band.axis == "x" else 1
    panels = [context.locator.panel(face) for face in band.faces]
    axes = np.array([context.folded.frames[k][:3, 1 - along] for k in panels])
    if np.abs(axes @ axes[0]).min() < -OPPOSITE_COSINE:
        return None
    points = np.concatenate([_placed(context, face_polygon(face), k)
                             for face, k in zip(band.faces, panels, strict=True)])
    level = np.linalg.svd(axes[:1])[2][1:]
    round_ = float(shapely.convex_hull(shapely.multipoints(points @ level.T)).length)
    own = next(info for info in context.plan.pieces if info.act == act.number)
    offset = (context.thickness + paper_thickness(own.paper)) / 2
    given = sum(float(face.size[along].value) for face in band.faces if face.size is not None)
    return given + float(band.lap.value) - round_ - 2 * float(np.pi) * offset


def _gap_in_ring(contexts: Sequence[PieceContext], band: Band) -> float | None:
    """The widest gap between two faces that follow each other round the box, in mm; None without a gap."""
    places = {context.info.id: context for context in contexts}
    if len(band.faces) < 2 or any(face.piece not in places or not places[face.piece].closes()
                                  for face in band.faces):
        return None
    shapes = [_placed(places[face.piece], face_polygon(face), places[face.piece].locator.panel(face))
              for face in band.faces]
    gaps = [_distance(one, other) for one, other in zip(shapes, (*shapes[1:], shapes[0]), strict=True)]
    return max(gaps) if max(gaps) > MAX_CORNER else None


def _placed(context: PieceContext, shape: shapely.Geometry, panel: int) -> FloatArray:
    return placed_points(context.folded.frames[panel], shapely.get_coordinates(shape))


def _distance(one: FloatArray, other: FloatArray) -> float:
    """From the nearest edge of one face to the other, in mm: the least distance of middles of edges."""
    middles = [(shape + np.roll(shape, 1, axis=0)) / 2 for shape in (one, other)]
    return float(np.linalg.norm(middles[0][:, None] - middles[1][None], axis=2).min())

"""Where pieces that are glued or seamed to each other come to lie.

A piece is placed on one that is placed already by the edges that meet: the
hinges of its tabs on the edges of the panels they are glued to, or the edges
of a seam (least squares over rigid motions: Kabsch 1976). A plate, a flat piece
that is glued on a panel such as a liner or a base, lies with its middle on the
middle of what it is glued to, turned so that it covers most of it.
"""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from generator.folding.closings import face_polygon
from generator.folding.features.floors import floor_of, floors
from generator.folding.features.joints import (
    EdgeMeeting,
    GluedJoint,
    PiecePlacement,
    joints_between,
    seam_meetings,
    tab_meetings,
)
from generator.folding.piece_context import PieceContext
from generator.folding.records import Hinge, placed_points
from generator.folding.rigid_folding import moved_in_plane
from generator.geometry.arrays import FloatArray
from generator.geometry.ties import first_largest, first_smallest
from generator.geometry.tolerances import EQUAL_AREAS
from generator.paper.records import Plan

# of what pulls points together: so hard a piece is held as drawn, where one edge lets it turn freely
STAY = 1e-9
QUARTER_TURNS = (0, 90, 180, 270)


def piece_placements(plan: Plan, contexts: Sequence[PieceContext]) -> dict[int, PiecePlacement]:
    """Where each piece lies that hangs together with the first, by its place in the row; others stay."""
    joints = joints_between(plan, contexts)
    placed = {0: PiecePlacement(0, np.eye(4))} if contexts else {}
    waiting = set(range(1, len(contexts)))
    while True:
        for piece in sorted(waiting):
            fitting = _placement(plan, contexts, piece,
                                 [j.seen_from(piece) for j in joints if piece in (j.one, j.other)], placed)
            if fitting is not None:
                placed[piece] = fitting
                waiting.discard(piece)
                break
        else:
            if not waiting:
                return placed
            # it hangs on nothing: a box of its own
            placed[min(waiting)] = PiecePlacement(min(waiting), np.eye(4))
            waiting.discard(min(waiting))


def _placement(plan: Plan, contexts: Sequence[PieceContext], piece: int, joints: Sequence[GluedJoint],
               placed: Mapping[int, PiecePlacement]) -> PiecePlacement | None:
    known = [j for j in joints if j.other in placed]
    seams = list(seam_meetings(plan, contexts, piece, placed))
    tries = [fit for order in (known, _reversed_targets(known))
             if (fit := _placed_by_edges(contexts, piece, order, seams, placed)) is not None]
    if tries:
        return tries[first_smallest(_misfit(contexts, placed, fit) for fit in tries)]
    if known:
        return PiecePlacement(piece, plate_motion(contexts, known, placed), (), tuple(known))
    return None


def _placed_by_edges(contexts: Sequence[PieceContext], piece: int, joints: Sequence[GluedJoint],
                     seams: Sequence[EdgeMeeting],
                     placed: Mapping[int, PiecePlacement]) -> PiecePlacement | None:
    """The piece placed by edges that meet; None where it has none."""
    meetings = [*tab_meetings(contexts, piece, joints, placed), *seams]
    if not meetings:
        return None
    move = _best_motion(meetings)
    angles = _tab_angles(contexts[piece], move, meetings, contexts, placed)
    return PiecePlacement(piece, move, tuple(meetings),
                          tuple(j for j in joints if all(m.joint is not j for m in meetings)), angles)


def _reversed_targets(joints: Sequence[GluedJoint]) -> list[GluedJoint]:
    """The same tabs on the same panels, going round the other way: which of two like ones, nobody knows."""
    result = []
    for act in dict.fromkeys(j.act.number for j in joints):
        row = [j for j in joints if j.act.number == act]
        targets = [(j.target, j.target_panel) for j in (row[0], *row[:0:-1])]
        result += [replace(j, target=face, target_panel=panel) for j,
                 (face, panel) in zip(row, targets, strict=True)]
    return result


def _misfit(contexts: Sequence[PieceContext], placed: Mapping[int, PiecePlacement],
            fit: PiecePlacement) -> float:
    """How much of the glued faces lies beside what it is glued to, and how far edges are from meeting."""
    off = 0.0
    for m in fit.meetings:
        mine = m.mine @ fit.placement[:3, :3].T + fit.placement[:3, 3]
        off += float(np.linalg.norm(mine.mean(axis=0) - m.theirs.mean(axis=0)))
        if m.joint is not None:
            shape, _ = face_over_target(contexts, placed, fit, m.joint)
            panel = contexts[m.joint.other].folded.flat.panels[m.joint.target_panel].polygon
            off += shape.difference(panel).area
    return off


def face_over_target(contexts: Sequence[PieceContext], placed: Mapping[int, PiecePlacement],
                     fit: PiecePlacement,
                     joint: GluedJoint) -> tuple[BaseGeometry, FloatArray]:
    """A glued face over the flat frame of its target's panel, and how high its corners stand (mm)."""
    context, host = contexts[fit.piece], contexts[joint.other]
    frames = context.folded.frames if fit.angles is None else context.link.frames(context.signs * fit.angles)
    whole = face_polygon(joint.face).intersection(context.folded.flat.panels[joint.panel].polygon)
    xyz = placed_points(fit.placement @ frames[joint.panel], shapely.get_coordinates(whole))
    back = np.linalg.inv(placed[joint.other].placement @ host.folded.frames[joint.target_panel])
    flat = xyz @ back[:3, :3].T + back[:3, 3]
    result = Polygon(flat[:, :2])
    return result if result.is_valid else result.buffer(0), flat[:, 2]


def _best_motion(meetings: Sequence[EdgeMeeting]) -> FloatArray:
    """The rigid motion that brings edges nearest to those they meet, either end tried on each."""
    tries = []
    for turn in (False, True):
        mine = np.concatenate([m.mine for m in meetings])
        theirs = np.concatenate([m.theirs[::-1] if turn and not m.ordered else m.theirs for m in meetings])
        move = rigid_motion(mine, theirs)
        tries.append((float(np.linalg.norm(mine @ move[:3, :3].T + move[:3, 3] - theirs)), move))
    return tries[first_smallest(far for far, _ in tries)][1]


def rigid_motion(mine: FloatArray, theirs: FloatArray) -> FloatArray:
    """The motion (4 × 4) without mirroring that brings points (n × 3) nearest to others (Kabsch 1976)."""
    a, b = mine.mean(axis=0), theirs.mean(axis=0)
    pull = (mine - a).T @ (theirs - b)
    u, _, v = np.linalg.svd(pull + STAY * np.linalg.norm(pull) * np.diag((3.0, 2.0, 1.0)))
    keep = np.diag((1.0, 1.0, np.sign(np.linalg.det(v.T @ u.T)) or 1.0))
    turn = v.T @ keep @ u.T
    result = np.eye(4)
    result[:3, :3], result[:3, 3] = turn, b - turn @ a
    return result


def _tab_angles(context: PieceContext, move: FloatArray, meetings: Sequence[EdgeMeeting],
                contexts: Sequence[PieceContext],
                placed: Mapping[int, PiecePlacement]) -> FloatArray:
    """Angles of the piece with each tab whose angle nobody says laid on what it is glued to."""
    angles = context.folded.angles.copy()
    for m in meetings:
        joint, hinge = m.joint, m.hinge
        if joint is None or hinge is None or hinge.bend.angle is not None:
            continue
        other = contexts[joint.other]
        goal = placed_points(placed[joint.other].placement @ other.folded.frames[joint.target_panel],
                             np.array([_panel_centroid(other, joint.target_panel)]))[0]
        angles[hinge.id] = _fold_towards(context, move, hinge, joint.panel, goal)
    return angles


def _panel_centroid(context: PieceContext, panel: int) -> FloatArray:
    return np.asarray(context.folded.flat.panels[panel].polygon.centroid.coords[0])


def _fold_towards(context: PieceContext, move: FloatArray, hinge: Hinge, tab: int, goal: FloatArray) -> float:
    """The fold, in radians, with which a tab points from its hinge towards a place."""
    frame = move @ context.folded.frames[hinge.other(tab)]
    start, end = placed_points(frame, np.array((hinge.start, hinge.end)))
    along = (end - start) / np.linalg.norm(end - start)
    flat = placed_points(frame, np.array([_panel_centroid(context, tab)]))[0] - start
    flat, there = (v - (v @ along) * along for v in (flat, goal - start))
    cosine = flat @ there / max(np.linalg.norm(flat) * np.linalg.norm(there), 1e-12)
    return float(np.arccos(np.clip(cosine, -1, 1)))


def plate_motion(contexts: Sequence[PieceContext], joints: Sequence[GluedJoint],
                 placed: Mapping[int, PiecePlacement]) -> FloatArray:
    """A piece laid centred on what it is glued to, turned so that it covers most of it."""
    first = joints[first_largest((face_polygon(j.face).area for j in joints), EQUAL_AREAS)]
    host = contexts[first.other]
    own, goal = face_polygon(first.face), plate_ground(host, first, joints)
    frame = placed[first.other].placement @ host.folded.frames[first.target_panel]
    tries: list[tuple[float, FloatArray]] = []
    for over in (False, True):
        for quarter in QUARTER_TURNS:
            flat = _onto_centre(own, goal, np.radians(quarter) + _long_side_turn(own, goal, over), over)
            lap = moved_in_plane(own, flat).intersection(goal).area
            tries.append((lap, flat))
    flat = tries[first_largest((lap for lap, _ in tries), EQUAL_AREAS)][1]
    result: FloatArray = frame @ flat @ np.linalg.inv(contexts[first.one].folded.frames[first.panel])
    return result


def plate_ground(host: PieceContext, first: GluedJoint, joints: Sequence[GluedJoint]) -> BaseGeometry:
    """What a plate lies on, in the flat frame of its first joint's target: a whole floor, or that face."""
    flaps = tuple(dict.fromkeys(j.target_panel for j in joints if j.other == first.other))
    joint_floor = floor_of(host, first.act, flaps) if len(flaps) > 2 else None
    for floor in (*floors(host), *(() if joint_floor is None else (joint_floor,))):
        if first.target_panel in floor.flaps:
            move = np.linalg.inv(host.folded.frames[first.target_panel]) @ host.folded.frames[floor.base]
            return moved_in_plane(floor.outline, move)
    return face_polygon(first.target)


def _long_side_turn(own: BaseGeometry, goal: BaseGeometry, over: bool) -> float:
    """The turn that makes the long sides of two shapes parallel, in radians."""
    mine, theirs = _long_side_angle(own), _long_side_angle(goal)
    return theirs + mine if over else theirs - mine


def _long_side_angle(shape: BaseGeometry) -> float:
    xy = shapely.get_coordinates(shapely.minimum_rotated_rectangle(shape))
    steps = np.diff(xy[:3], axis=0)
    longest = steps[first_largest(np.hypot(*steps.T))]
    return float(np.arctan2(longest[1], longest[0]))


def _onto_centre(own: BaseGeometry, goal: BaseGeometry, turn: float, over: bool) -> FloatArray:
    """The motion of the plane (4 × 4) that turns a shape onto another's middle.

    Where ``over``, the shape is first turned over about its middle line.
    """
    result = np.eye(4)
    cosine, sine = np.cos(turn), np.sin(turn)
    result[:3, :3] = np.array(((cosine, -sine, 0), (sine, cosine, 0),
                             (0, 0, 1))) @ np.diag((1, -1, -1) if over else (1, 1, 1))
    a, b = (np.array((*shape.centroid.coords[0], 0.0)) for shape in (own, goal))
    result[:3, 3] = b - result[:3, :3] @ a
    return result

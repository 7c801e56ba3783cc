"""Pieces glued or seamed to each other: where each comes to lie, and how far what holds them is from meeting.

A piece is placed on one that is placed already by the edges that meet: the
hinges of its tabs on the edges of the panels they are glued to, or the edges
of a seam (least squares over rigid motions: Kabsch 1976). A flat piece that
is glued on a panel, a liner or a base plate, lies with its middle on the
middle of what it is glued to, turned so that it covers most of it.
"""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from generator.folding.closings import face_polygon, glued_pairs
from generator.folding.features.joint_records import EdgeMeeting, GluedJoint, PiecePlacement
from generator.folding.features.plates import plate_motion
from generator.folding.piece_context import PieceContext
from generator.folding.records import FreeEdge, Hinge, placed_points
from generator.geometry.arrays import FloatArray
from generator.geometry.plane import floats
from generator.geometry.ties import first_smallest, snapped
from generator.geometry.tolerances import EQUAL_LENGTHS, LENGTH_TOLERANCE
from generator.paper.records import Face, Glue, Plan, Seam

# of what pulls points together: so hard a piece is held as drawn, where one edge lets it turn freely
STAY = 1e-9


def joints_between(plan: Plan, cases: Sequence[PieceContext]) -> list[GluedJoint]:
    """Every face that is glued to a face of another piece, where both panels stay flat."""
    place = {case.info.id: k for k, case in enumerate(cases)}
    made = []
    for act in plan.acts:
        if not isinstance(act.detail, Glue):
            continue
        for index, (face, target, _) in enumerate(glued_pairs(act.detail), start=1):
            if face.piece == target.piece or not {face.piece, target.piece} <= set(place):
                continue
            one, other = place[face.piece], place[target.piece]
            panels = cases[one].locator.panel(face), cases[other].locator.panel(target)
            if cases[one].firm(panels[0]) and cases[other].firm(panels[1]):
                made.append(GluedJoint(act, index, one, face, panels[0], other, target, panels[1]))
    return made


def piece_placements(plan: Plan, cases: Sequence[PieceContext]) -> dict[int, PiecePlacement]:
    """Where each piece lies that hangs together with the first one, by its place in the row.

    Others lie where they are.
    """
    joints = joints_between(plan, cases)
    placed = {0: PiecePlacement(0, np.eye(4))} if cases else {}
    waiting = set(range(1, len(cases)))
    while True:
        for piece in sorted(waiting):
            fitting = _placement(plan, cases, piece,
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


def _placement(plan: Plan, cases: Sequence[PieceContext], piece: int, joints: Sequence[GluedJoint],
               placed: Mapping[int, PiecePlacement]) -> PiecePlacement | None:
    known = [j for j in joints if j.other in placed]
    seams = list(_seam_meetings(plan, cases, piece, placed))
    tries = [made for order in (known, _reversed_targets(known))
             if (made := _placed_by_edges(cases, piece, order, seams, placed)) is not None]
    if tries:
        return tries[first_smallest(_misfit(cases, placed, fit) for fit in tries)]
    if known:
        return PiecePlacement(piece, plate_motion(cases, known, placed), (), tuple(known))
    return None


def _placed_by_edges(cases: Sequence[PieceContext], piece: int, joints: Sequence[GluedJoint],
                     seams: Sequence[EdgeMeeting],
          placed: Mapping[int, PiecePlacement]) -> PiecePlacement | None:
    """The piece placed by edges that meet; None where it has none."""
    meetings = [*_tab_meetings(cases, piece, joints, placed), *seams]
    if not meetings:
        return None
    move = _best_motion(meetings)
    angles = _tab_angles(cases[piece], move, meetings, cases, placed)
    return PiecePlacement(piece, move, tuple(meetings),
                          tuple(j for j in joints if all(m.joint is not j for m in meetings)), angles)


def _reversed_targets(joints: Sequence[GluedJoint]) -> list[GluedJoint]:
    """The same tabs on the same panels, going round the other way.

    Which of two like panels is meant, nobody can tell.
    """
    made = []
    for act in dict.fromkeys(j.act.number for j in joints):
        row = [j for j in joints if j.act.number == act]
        targets = [(j.target, j.target_panel) for j in (row[0], *row[:0:-1])]
        made += [replace(j, target=face, target_panel=panel) for j,
                 (face, panel) in zip(row, targets, strict=True)]
    return made


def _misfit(cases: Sequence[PieceContext], placed: Mapping[int, PiecePlacement],
            fit: PiecePlacement) -> float:
    """How much of the glued faces lies beside what it is glued to, and how far edges are from meeting."""
    off = 0.0
    for m in fit.meetings:
        mine = m.mine @ fit.placement[:3, :3].T + fit.placement[:3, 3]
        off += float(np.linalg.norm(mine.mean(axis=0) - m.theirs.mean(axis=0)))
        if m.joint is not None:
            shape, _ = face_over_target(cases, placed, fit, m.joint)
            panel = cases[m.joint.other].folded.flat.panels[m.joint.target_panel].polygon
            off += shape.difference(panel).area
    return off


def face_over_target(cases: Sequence[PieceContext], placed: Mapping[int, PiecePlacement], fit: PiecePlacement,
                     joint: GluedJoint) -> tuple[BaseGeometry, FloatArray]:
    """A glued face as it lies over the flat frame of its target's panel.

    The second result is how high its corners stand there, in mm.
    """
    case, host = cases[fit.piece], cases[joint.other]
    frames = case.folded.frames if fit.angles is None else case.link.frames(case.signs * fit.angles)
    whole = face_polygon(joint.face).intersection(case.folded.flat.panels[joint.panel].polygon)
    xyz = placed_points(fit.placement @ frames[joint.panel], shapely.get_coordinates(whole))
    back = np.linalg.inv(placed[joint.other].placement @ host.folded.frames[joint.target_panel])
    flat = xyz @ back[:3, :3].T + back[:3, 3]
    made = Polygon(flat[:, :2])
    return made if made.is_valid else made.buffer(0), flat[:, 2]


# -- edges that meet ----------------------------------------------------------

def _tab_meetings(cases: Sequence[PieceContext], piece: int, joints: Sequence[GluedJoint],
                  placed: Mapping[int, PiecePlacement]) -> Iterator[EdgeMeeting]:
    """For each tab of the piece: its hinge, and the edge of the panel that the tab is glued to."""
    case = cases[piece]
    for joint in joints:
        hinges = case.folded.flat.hinges_of(joint.panel)
        if len(hinges) != 1 or hinges[0].other(joint.panel) in {j.panel for j in joints}:
            continue
        hinge = hinges[0]
        edge = _edge_of(cases[joint.other], joint.target_panel, hinge)
        if edge is not None:
            frame = placed[joint.other].placement @ cases[joint.other].folded.frames[joint.target_panel]
            ends = np.array((hinge.start, hinge.end)
                            if hinge.left == joint.panel else (hinge.end, hinge.start))
            # the tab on its left, as is an edge's panel
            mine = placed_points(case.folded.frames[hinge.other(joint.panel)], ends)
            yield EdgeMeeting(joint.act, joint.index, mine,
                              placed_points(frame, np.array((edge.start, edge.end))), joint, hinge)


def _edge_of(case: PieceContext, panel: int, hinge: Hinge) -> FreeEdge | None:
    """The edge of a panel that a tab's hinge is to lie on.

    Of about its length, and the lowest as the piece was drawn.
    """
    def size(edge: FreeEdge) -> float:
        return float(np.hypot(*(edge.end - edge.start)))
    fits = [e for e in case.folded.flat.edges if e.panel == panel
            and abs(size(e) - hinge.length) <= LENGTH_TOLERANCE * max(size(e), hinge.length)]
    least = min((abs(size(e) - hinge.length) for e in fits), default=0.0)
    return min((e for e in fits if abs(size(e) - hinge.length) <= least + 3.0), default=None,
               key=lambda e: tuple(snapped(e.start + e.end, EQUAL_LENGTHS)[::-1]))


def _seam_meetings(plan: Plan, cases: Sequence[PieceContext], piece: int,
                   placed: Mapping[int, PiecePlacement]) -> Iterator[EdgeMeeting]:
    """Edges of the piece that a seam joins to edges of a placed one."""
    faces = {face.id: (k, face) for k, case in enumerate(cases) for face in case.state.faces}
    for act in plan.acts:
        for index, (a, b) in enumerate(act.detail.pairs if isinstance(act.detail, Seam) else (), start=1):
            if a[0] not in faces or b[0] not in faces:
                continue
            if faces[a[0]][0] != piece:
                a, b = b, a
            (own, face), (other, target) = faces[a[0]], faces[b[0]]
            if own == piece and other in placed:
                mine = _edge_points(cases[own], face, a[1], np.eye(4))
                theirs = _edge_points(cases[other], target, b[1], placed[other].placement)[::-1]
                yield EdgeMeeting(act, index, mine, theirs, ordered=True)


def _edge_points(case: PieceContext, face: Face, edge: int, placement: FloatArray) -> FloatArray:
    stroke = face.outline[edge]
    flat = np.array([floats(stroke.start), floats(stroke.end)])
    return placed_points(placement @ case.folded.frames[case.locator.panel(face)], flat)


def _best_motion(meetings: Sequence[EdgeMeeting]) -> FloatArray:
    """The rigid motion that brings all edges nearest to those they meet.

    Which end meets which is tried both ways.
    """
    tries = []
    for turn in (False, True):
        mine = np.concatenate([m.mine for m in meetings])
        theirs = np.concatenate([m.theirs[::-1] if turn and not m.ordered else m.theirs for m in meetings])
        move = rigid_motion(mine, theirs)
        tries.append((float(np.linalg.norm(mine @ move[:3, :3].T + move[:3, 3] - theirs)), move))
    return tries[first_smallest(far for far, _ in tries)][1]


def rigid_motion(mine: FloatArray, theirs: FloatArray) -> FloatArray:
    """The motion (4 × 4) without mirroring that brings points (n × 3) nearest to others.

    Kabsch, by singular values.
    """
    a, b = mine.mean(axis=0), theirs.mean(axis=0)
    pull = (mine - a).T @ (theirs - b)
    u, _, v = np.linalg.svd(pull + STAY * np.linalg.norm(pull) * np.diag((3.0, 2.0, 1.0)))
    keep = np.diag((1.0, 1.0, np.sign(np.linalg.det(v.T @ u.T)) or 1.0))
    turn = v.T @ keep @ u.T
    made = np.eye(4)
    made[:3, :3], made[:3, 3] = turn, b - turn @ a
    return made


def _tab_angles(case: PieceContext, move: FloatArray, meetings: Sequence[EdgeMeeting],
                cases: Sequence[PieceContext],
             placed: Mapping[int, PiecePlacement]) -> FloatArray:
    """Angles of the piece with each tab whose angle nobody says laid on what it is glued to."""
    angles = case.folded.angles.copy()
    for m in meetings:
        joint, hinge = m.joint, m.hinge
        if joint is None or hinge is None or hinge.bend.angle is not None:
            continue
        other = cases[joint.other]
        goal = placed_points(placed[joint.other].placement @ other.folded.frames[joint.target_panel],
                             np.array([_panel_centroid(other, joint.target_panel)]))[0]
        angles[hinge.id] = _fold_towards(case, move, hinge, joint.panel, goal)
    return angles


def _panel_centroid(case: PieceContext, panel: int) -> FloatArray:
    return np.asarray(case.folded.flat.panels[panel].polygon.centroid.coords[0])


def _fold_towards(case: PieceContext, move: FloatArray, hinge: Hinge, tab: int, goal: FloatArray) -> float:
    """The fold, in radians, with which a tab points from its hinge towards a place."""
    frame = move @ case.folded.frames[hinge.other(tab)]
    start, end = placed_points(frame, np.array((hinge.start, hinge.end)))
    along = (end - start) / np.linalg.norm(end - start)
    flat = placed_points(frame, np.array([_panel_centroid(case, tab)]))[0] - start
    flat, there = (v - (v @ along) * along for v in (flat, goal - start))
    cosine = flat @ there / max(np.linalg.norm(flat) * np.linalg.norm(there), 1e-12)
    return float(np.arccos(np.clip(cosine, -1, 1)))

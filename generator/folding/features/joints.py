"""Joints between pieces: faces glued to another piece, and edges that come to lie on edges of another."""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from generator.dataclass import dataclass
from generator.folding.closings import glued_pairs
from generator.folding.piece_context import PieceContext
from generator.folding.records import FreeEdge, Hinge, placed_points
from generator.geometry.arrays import FloatArray, ReadOnlyArrays
from generator.geometry.plane import floats
from generator.geometry.ties import snapped
from generator.geometry.tolerances import EQUAL_LENGTHS, LENGTH_TOLERANCE
from generator.paper.records import Act, Face, Glue, Plan, Seam


@dataclass(frozen=True, slots=True, eq=False)
class GluedJoint:
    """A face of one piece glued to one of another; ``one`` and ``other`` are places in the row."""

    act: Act
    index: int
    one: int
    face: Face
    panel: int
    other: int
    target: Face
    target_panel: int

    def seen_from(self, piece: int) -> GluedJoint:
        """The same joint with ``piece`` as its first."""
        if self.one == piece:
            return self
        return GluedJoint(self.act, self.index, self.other, self.target, self.target_panel, self.one,
                          self.face, self.panel)


@dataclass(frozen=True, slots=True, eq=False)
class EdgeMeeting(ReadOnlyArrays):
    """Edge ``mine`` (2 × 3, in the space of the piece that is placed) comes to lie on ``theirs``.

    ``theirs`` is 2 × 3 too, in the space of the first piece.
    """

    act: Act
    index: int
    mine: FloatArray
    theirs: FloatArray
    joint: GluedJoint | None = None
    hinge: Hinge | None = None
    ordered: bool = False       # the ends meet in this order, as those of a seam do


@dataclass(frozen=True, slots=True, eq=False)
class PiecePlacement(ReadOnlyArrays):
    """Where a piece lies: ``placement`` (4 × 4) by the first one, what holds it, the angles of its tabs."""

    piece: int
    placement: FloatArray
    meetings: tuple[EdgeMeeting, ...] = ()
    plates: tuple[GluedJoint, ...] = ()
    angles: FloatArray | None = None


def joints_between(plan: Plan, contexts: Sequence[PieceContext]) -> list[GluedJoint]:
    """Every face that is glued to a face of another piece, where both panels stay flat."""
    place = {context.info.id: k for k, context in enumerate(contexts)}
    result = []
    for act in plan.acts:
        if not isinstance(act.detail, Glue):
            continue
        for index, (face, target, _) in enumerate(glued_pairs(act.detail), start=1):
            if face.piece == target.piece or not {face.piece, target.piece} <= set(place):
                continue
            one, other = place[face.piece], place[target.piece]
            panels = contexts[one].locator.panel(face), contexts[other].locator.panel(target)
            if contexts[one].is_rigid(panels[0]) and contexts[other].is_rigid(panels[1]):
                result.append(GluedJoint(act, index, one, face, panels[0], other, target, panels[1]))
    return result


def tab_meetings(contexts: Sequence[PieceContext], piece: int, joints: Sequence[GluedJoint],
                  placed: Mapping[int, PiecePlacement]) -> Iterator[EdgeMeeting]:
    """For each tab of the piece: its hinge, and the edge of the panel that the tab is glued to."""
    context = contexts[piece]
    for joint in joints:
        hinges = context.folded.flat.hinges_of(joint.panel)
        if len(hinges) != 1 or hinges[0].other(joint.panel) in {j.panel for j in joints}:
            continue
        hinge = hinges[0]
        edge = _edge_of(contexts[joint.other], joint.target_panel, hinge)
        if edge is not None:
            frame = placed[joint.other].placement @ contexts[joint.other].folded.frames[joint.target_panel]
            ends = np.array((hinge.start, hinge.end)
                            if hinge.left == joint.panel else (hinge.end, hinge.start))
            # the tab on its left, as is an edge's panel
            mine = placed_points(context.folded.frames[hinge.other(joint.panel)], ends)
            yield EdgeMeeting(joint.act, joint.index, mine,
                              placed_points(frame, np.array((edge.start, edge.end))), joint, hinge)


def _edge_of(context: PieceContext, panel: int, hinge: Hinge) -> FreeEdge | None:
    """The edge of a panel for a tab's hinge: of about its length, the lowest as the piece was drawn."""
    def size(edge: FreeEdge) -> float:
        return float(np.hypot(*(edge.end - edge.start)))
    fits = [e for e in context.folded.flat.edges if e.panel == panel
            and abs(size(e) - hinge.length) <= LENGTH_TOLERANCE * max(size(e), hinge.length)]
    least = min((abs(size(e) - hinge.length) for e in fits), default=0.0)
    return min((e for e in fits if abs(size(e) - hinge.length) <= least + 3.0), default=None,
               key=lambda e: tuple(snapped(e.start + e.end, EQUAL_LENGTHS)[::-1]))


def seam_meetings(plan: Plan, contexts: Sequence[PieceContext], piece: int,
                   placed: Mapping[int, PiecePlacement]) -> Iterator[EdgeMeeting]:
    """Edges of the piece that a seam joins to edges of a placed one."""
    faces = {face.id: (k, face) for k, context in enumerate(contexts) for face in context.state.faces}
    for act in plan.acts:
        for index, (a, b) in enumerate(act.detail.pairs if isinstance(act.detail, Seam) else (), start=1):
            if a[0] not in faces or b[0] not in faces:
                continue
            if faces[a[0]][0] != piece:
                a, b = b, a
            (own, face), (other, target) = faces[a[0]], faces[b[0]]
            if own == piece and other in placed:
                mine = _edge_points(contexts[own], face, a[1], np.eye(4))
                theirs = _edge_points(contexts[other], target, b[1], placed[other].placement)[::-1]
                yield EdgeMeeting(act, index, mine, theirs, ordered=True)


def _edge_points(context: PieceContext, face: Face, edge: int, placement: FloatArray) -> FloatArray:
    stroke = face.outline[edge]
    flat = np.array([floats(stroke.start), floats(stroke.end)])
    return placed_points(placement @ context.folded.frames[context.locator.panel(face)], flat)

"""Flat pieces glued on a panel or a floor, liners and base plates: where each lies."""
from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from generator.folding.closings import face_polygon
from generator.folding.features.floors import floor_of, floors
from generator.folding.features.joint_records import GluedJoint, PiecePlacement
from generator.folding.piece_context import PieceContext
from generator.folding.rigid_folding import moved_in_plane
from generator.geometry.arrays import FloatArray
from generator.geometry.ties import first_largest
from generator.geometry.tolerances import EQUAL_AREAS

QUARTER_TURNS = (0, 90, 180, 270)


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
    """What a plate lies on, in the flat frame of the panel of the first joint.

    A whole floor, or the face it is glued to.
    """
    flaps = tuple(dict.fromkeys(j.target_panel for j in joints if j.other == first.other))
    made = floor_of(host, first.act, flaps) if len(flaps) > 2 else None
    for floor in (*floors(host), *(() if made is None else (made,))):
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
    made = np.eye(4)
    cosine, sine = np.cos(turn), np.sin(turn)
    made[:3, :3] = np.array(((cosine, -sine, 0), (sine, cosine, 0),
                             (0, 0, 1))) @ np.diag((1, -1, -1) if over else (1, 1, 1))
    a, b = (np.array((*shape.centroid.coords[0], 0.0)) for shape in (own, goal))
    made[:3, 3] = b - made[:3, :3] @ a
    return made

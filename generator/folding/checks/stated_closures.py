"""What a design says closes does: a lid comes to lie over its floor or pocket, a tuck behind its wall."""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from shapely.geometry.base import BaseGeometry

from generator.findings import Finding, finding
from generator.folding.closings import face_polygon
from generator.folding.piece_context import PieceContext
from generator.folding.records import FoldedPiece, placed_points
from generator.folding.rigid_folding import moved_in_plane
from generator.geometry.arrays import FloatArray
from generator.geometry.strokes import ring_points
from generator.geometry.tolerances import CHORD_TOLERANCE
from generator.paper.records import Closure, Face, Plan

MIN_COVER_SHARE = 0.5       # of the smaller of the two faces, of which so much must lie on the other
MAX_SLOPE = 0.035           # sine of the angle (2 degrees) by which a lid may lean and still close
MAX_TUCK_GAP = 3.0          # mm between a tuck and the wall it goes behind, with the paper of both


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
                yield finding("closing-open", closure.span, f"{_face_name(face)} {why}",
                              "look at the directions of the folds that bring it there, and at its length")
                break


def _why_open(contexts: Mapping[int, PieceContext], placed: Mapping[int, FoldedPiece], closure: Closure,
              face: Face, target: Face) -> str:
    """What keeps a face from lying over or behind its target; "" where nothing does."""
    frames = [_frame(contexts[each.piece], placed[each.piece], each) for each in (face, target)]
    move = np.linalg.inv(frames[1]) @ frames[0]
    where = f"{'behind' if closure.behind else 'over'} {_face_name(target)}"
    if abs(float(np.hypot(*move[2, :2]))) > MAX_SLOPE:
        return f"does not come to lie level {where}: it stands at an angle to it"
    shape, ground = moved_in_plane(face_polygon(face), move), face_polygon(target)
    if _shared(shape, ground) < MIN_COVER_SHARE * min(shape.area, ground.area):
        return f"does not come to lie {where}"
    heights = placed_points(move, ring_points(face.outline, CHORD_TOLERANCE))[:, 2]
    far = float(np.abs(heights).max())
    if closure.behind and far > MAX_TUCK_GAP:
        return f"stays {contexts[face.piece].length_text(far)} away from {_face_name(target)}"
    return ""


def _shared(shape: BaseGeometry, ground: BaseGeometry) -> float:
    return float(shape.intersection(ground).area)


def _frame(context: PieceContext, piece: FoldedPiece, face: Face) -> FloatArray:
    frame: FloatArray = piece.placement @ piece.frames[context.locator.panel(face)]
    return frame


def _face_name(face: Face) -> str:
    name = f"'{face.name}'" if face.name else "this face"
    return name + (f" {face.index} of {face.count}" if face.count > 1 else "")

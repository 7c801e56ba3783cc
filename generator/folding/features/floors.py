"""Floors that flaps glued on each other close."""
from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from generator.dataclass import dataclass
from generator.folding.piece_context import PieceContext, feature
from generator.folding.records import Hinge, placed_points
from generator.folding.rigid_folding import in_frame_of
from generator.geometry.arrays import FloatArray
from generator.geometry.tolerances import HINGE_END_TOLERANCE, LEVEL_TOLERANCE, MIN_HOLE_AREA
from generator.paper.records import Act, Glue


@dataclass(frozen=True, slots=True, eq=False)
class Floor:
    """A floor closed by flaps: outline and holes in the flat frame of panel ``base``, and the flaps."""

    act: Act
    base: int
    outline: Polygon
    open: BaseGeometry
    pile: int                       # flaps on each other in the middle
    flaps: tuple[int, ...]

    @property
    def widest(self) -> float:
        """Diameter of the largest disc that falls through, in mm."""
        if self.open.area <= MIN_HOLE_AREA:
            return 0.0
        parts = [g for g in getattr(self.open, "geoms", [self.open]) if isinstance(g, Polygon)
                 and not g.is_empty]
        return max(2 * shapely.maximum_inscribed_circle(part).length for part in parts)


@feature
def floors(context: PieceContext) -> tuple[Floor, ...]:
    """Every floor of the piece that flaps glued on each other close all round."""
    if not context.closes():
        return ()
    result = []
    for act in context.plan.acts:
        if isinstance(act.detail, Glue) and not act.detail.target:
            flaps = tuple(dict.fromkeys(context.locator.panel(f) for f in act.detail.faces
                                        if f.piece == context.info.id))
            if len(flaps) > 2 and all(map(context.is_rigid,
                                          flaps)) and (floor := floor_of(context, act, flaps)) is not None:
                result.append(floor)
    return tuple(result)


def floor_of(context: PieceContext, act: Act, flaps: Sequence[int],
             joined: float = HINGE_END_TOLERANCE) -> Floor | None:
    """The floor of flaps whose hinges go round it, each ``joined`` mm or less from the next; else None."""
    flat, frames = context.folded.flat, context.folded.frames
    base = flaps[0]
    hinges = [(h, k) for k in flaps for h in flat.hinges_of(k) if h.other(k) not in flaps
              and not _is_level(context, h.other(k), base)]
    back = np.linalg.inv(frames[base])
    ends = np.array([_hinge_ends(context, h, k, back) for h, k in hinges]).reshape(-1, 2)
    if len(hinges) < 3 or not _is_closed_ring(ends, joined):
        return None
    outline = shapely.convex_hull(shapely.multipoints(ends))
    if not isinstance(outline, Polygon) or outline.area < MIN_HOLE_AREA:
        return None
    shapes = [in_frame_of(flat, frames, k, base) for k in flaps]
    left = outline.difference(shapely.union_all(shapes).buffer(0.01))
    pile = int(shapely.contains(shapes, outline.centroid).sum())
    return Floor(act, base, outline, left, pile, tuple(flaps))


def _is_level(context: PieceContext, panel: int, base: int) -> bool:
    """Whether a panel lies level with the floor, as the corners that are folded in between its flaps do."""
    return bool(abs(context.folded.normal(panel) @ context.folded.normal(base)) > 1 - LEVEL_TOLERANCE)


def _hinge_ends(context: PieceContext, hinge: Hinge, panel: int, back: FloatArray) -> FloatArray:
    """The ends of a panel's hinge in a plane that ``back`` (4 × 4) leads to from space."""
    points = placed_points(context.folded.frames[panel], np.array((hinge.start, hinge.end)))
    return (points @ back[:3, :3].T + back[:3, 3])[:, :2]


def _is_closed_ring(ends: FloatArray, joined: float) -> bool:
    """Whether every end of a hinge lies at an end of another one."""
    apart = np.hypot(*(ends[:, None] - ends[None]).transpose(2, 0, 1))
    own = np.arange(len(ends)) // 2
    return bool(((apart <= joined) & (own[:, None] != own[None])).any(axis=1).all())

"""Base flaps cover the floor; how thick their pile is in the middle."""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon

from generator.findings import Finding, finding
from generator.folding.piece_context import PieceContext
from generator.folding.records import Hinge, placed_points
from generator.folding.rigid_folding import in_frame_of
from generator.geometry.ties import snapped
from generator.paper.records import Act, Glue

HINGE_END_TOLERANCE = 0.5        # mm; hinges that end so close to each other go on round the floor
MIN_HOLE_AREA = 1.0      # mm²; and
MIN_HOLE_DIAMETER = 0.5     # mm: a smaller hole is no hole
LEVEL_TOLERANCE = 1e-6        # 1 − cosine


@dataclass(frozen=True, slots=True, eq=False)
class Floor:
    """A floor closed by flaps: its outline and its holes in the flat frame of panel ``base``, and who lies on it."""

    act: Act
    base: int
    outline: Polygon
    open: shapely.Geometry
    pile: int                       # flaps on each other in the middle
    flaps: tuple[int, ...]

    @property
    def widest(self) -> float:
        """Diameter of the largest disc that falls through, in mm."""
        if self.open.area <= MIN_HOLE_AREA:
            return 0.0
        parts = [g for g in getattr(self.open, "geoms", [self.open]) if isinstance(g, Polygon) and not g.is_empty]
        return max(2 * shapely.maximum_inscribed_circle(part).length for part in parts)


def floors(case: PieceContext) -> list[Floor]:
    """Every floor of the piece that flaps glued on each other close all round."""
    if not case.closes():
        return []
    made = []
    for act in case.plan.acts:
        if isinstance(act.detail, Glue) and not act.detail.target:
            flaps = tuple(dict.fromkeys(case.locator.panel(f) for f in act.detail.faces if f.piece == case.info.id))
            if len(flaps) > 2 and all(map(case.firm, flaps)) and (floor := floor_of(case, act, flaps)) is not None:
                made.append(floor)
    return made


def floor_of(case: PieceContext, act: Act, flaps: Sequence[int], joined: float = HINGE_END_TOLERANCE) -> Floor | None:
    """The floor that flaps make; None where their hinges do not go round it, each ``joined`` mm or less from the next."""
    flat, frames = case.folded.flat, case.folded.frames
    base = flaps[0]
    hinges = [(h, k) for k in flaps for h in flat.hinges_of(k) if h.other(k) not in flaps and not _is_level(case, h.other(k), base)]
    ends = np.array([_hinge_ends(case, h, k, base) for h, k in hinges]).reshape(-1, 2)
    if len(hinges) < 3 or not _is_closed_ring(ends, joined):
        return None
    outline = shapely.convex_hull(shapely.multipoints(ends))
    if not isinstance(outline, Polygon) or outline.area < MIN_HOLE_AREA:
        return None
    shapes = [in_frame_of(flat, frames, k, base) for k in flaps]
    left = outline.difference(shapely.union_all(shapes).buffer(0.01))
    pile = int(shapely.contains(shapes, outline.centroid).sum())
    return Floor(act, base, outline, left, pile, tuple(flaps))


def _is_level(case: PieceContext, panel: int, base: int) -> bool:
    """Whether a panel lies level with the floor, as the corners that are folded in between its flaps do."""
    return abs(case.folded.normal(panel) @ case.folded.normal(base)) > 1 - LEVEL_TOLERANCE


def _hinge_ends(case: PieceContext, hinge: Hinge, panel: int, base: int) -> np.ndarray:
    points = placed_points(case.folded.frames[panel], np.array((hinge.start, hinge.end)))
    back = np.linalg.inv(case.folded.frames[base])
    return (points @ back[:3, :3].T + back[:3, 3])[:, :2]


def _is_closed_ring(ends: np.ndarray, joined: float) -> bool:
    """Whether every end of a hinge lies at an end of another one."""
    apart = np.hypot(*(ends[:, None] - ends[None]).transpose(2, 0, 1))
    own = np.arange(len(ends)) // 2
    return bool(((apart <= joined) & (own[:, None] != own[None])).any(axis=1).all())


def floor_findings(case: PieceContext) -> Iterator[Finding]:
    """Where a floor stays open: how much of it, and the largest hole."""
    for floor in floors(case):
        if floor.widest > MIN_HOLE_DIAMETER:
            yield finding("floor-open", floor.act.span, f"the flaps leave {float(snapped(floor.open.area)) / 100:.1f} cm² of the floor open; "
                          f"a disc {case.say(floor.widest)} across falls through the largest hole",
                          "make the flaps longer, or glue a card over them")


def floor_covered(case: PieceContext) -> bool:
    """Whether flaps make a floor and leave no hole in it."""
    made = floors(case)
    return bool(made) and all(floor.widest <= MIN_HOLE_DIAMETER for floor in made)


def floor_facts(case: PieceContext) -> Iterator[str]:
    """How thick a floor is that its flaps cover."""
    for floor in floors(case):
        if floor.widest <= MIN_HOLE_DIAMETER:
            yield f"in the middle of its floor {floor.pile} layers lie on each other, {floor.pile * case.thickness:.2f} mm thick"

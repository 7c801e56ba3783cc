"""How a bent sheet came to its shape.

The same mesh at several places of the way, so that a picture can follow it.

A gathered top is drawn together as its solver does it, from upright walls to
the shape it ends in; a pouch is folded flat and then pushed in, in closed form
(see :mod:`generator.folding.bending.pouches`). What repeats is told once. mm.
"""
from __future__ import annotations

import hashlib
import io
import math
from collections.abc import MutableMapping
from dataclasses import dataclass

import numpy as np

from generator.folding.bending.bays import BayRing, is_curved, ring_of_bays
from generator.folding.bending.domes import cache_key
from generator.folding.bending.gathering import HalfBayGathering
from generator.folding.bending.meshing import counter_clockwise
from generator.folding.bending.pouches import CURVE_SAMPLES, FLAP_LEAN, SIDE_TOLERANCE, PouchPlan, pouch_plan
from generator.folding.piece_context import final_state
from generator.folding.records import BentSurface, FoldedPiece
from generator.geometry.arrays import FloatArray, IntArray, ReadOnlyArrays
from generator.geometry.tolerances import MESH_POINT_TOLERANCE
from generator.paper.records import PieceState, Plan

# into which the gathering is cut; between two of them points move along curves through their neighbours
GATHERING_PARTS = 6
FOLDING_PARTS = 10          # into which folding a pouch flat is cut
PUSHING_PARTS = 4          # … and pushing its ends in
MIN_PART_ANGLE = 0.06        # radians; a part of the gathering takes at least as long as this


@dataclass(frozen=True, slots=True, eq=False)
class SurfaceMotion(ReadOnlyArrays):
    """A mesh that moves.

    ``steps`` are those of the tutorial in which it does, each from one whole number to the next.

    ``points`` (k × n × 3) are where the points of one cell lie at the places
    ``at`` (k, from 0 to the number of steps); ``seats`` (s × 3 × 4) put the
    cell into space, in the frame of the panels, and ``plan`` (s × 2 × 3) into
    the flat plan. ``triangles`` (m × 3) turn counter-clockwise in the cell's
    ``flat`` (n × 2); ``patch`` (s × m) as in :class:`BentSurface`. ``layers`` say which
    patches lie a sheet above or below the mesh where others may lie on them, towards their +z side for +1.
    ``folds`` and ``edges`` are
    rows of points of the cell.
    """

    steps: tuple[int, ...]
    at: FloatArray
    points: FloatArray
    flat: FloatArray
    triangles: IntArray
    patch: IntArray
    seats: FloatArray
    plan: FloatArray
    folds: tuple[tuple[int, ...], ...]
    edges: tuple[tuple[int, ...], ...]
    layers: tuple[tuple[int, int], ...] = ()

    def cell(self, place: float) -> FloatArray:
        """The cell at any place (n × 3).

        Along cubics (Hermite's), that turn no corner but where a step ends.
        """
        k = min(int(np.searchsorted(self.at, place, side="right")), len(self.at) - 1) - 1
        wide = self.at[k + 1] - self.at[k]
        u = (place - self.at[k]) / wide
        one, other = self._slope(k, k + 1), self._slope(k + 1, k)
        result: FloatArray = ((1 + 2 * u) * (1 - u) ** 2 * self.points[k]
                              + u * u * (3 - 2 * u) * self.points[k + 1]
                              + wide * (u * (1 - u) ** 2 * one - u * u * (1 - u) * other))
        return result

    def _chord(self, k: int, other: int) -> FloatArray:
        result: FloatArray = (self.points[other] - self.points[k]) / (self.at[other] - self.at[k])
        return result

    def _slope(self, k: int, towards: int) -> FloatArray:
        """How fast the cell moves at a key; at the end of a step as seen from one side of it."""
        if not self._rests(k):
            return self._chord(k - 1, k + 1)
        chord = self._chord(k, towards)
        result: FloatArray = chord if self._rests(towards) else (3 * chord - self._slope(towards, k)) / 2
        return result

    def _rests(self, k: int) -> bool:
        return k in (0, len(self.at) - 1) or float(self.at[k]).is_integer()

    def placed(self, key: int) -> FloatArray:
        """Where all points lie at one of the places (s·n × 3)."""
        return np.concatenate([self.points[key] @ seat[:, :3].T + seat[:, 3] for seat in self.seats])


def surface_motion(plan: Plan, piece: FoldedPiece, kept: MutableMapping[str, bytes]) -> SurfaceMotion | None:
    """The way of a piece's skin; None where it has none."""
    info, state = next(p for p in plan.pieces if p.id == piece.piece), final_state(plan, piece.piece)
    if piece.skin is None:
        return None
    if piece.pouch is not None:
        tube = pouch_plan(plan, info, state)
        return None if tube is None else _pouch_motion(tube, state, piece.skin)
    ring = ring_of_bays(plan, info, state, piece)
    return None if ring is None else _gathering_motion(ring, plan, piece.skin, kept)


# -- a gathered top -----------------------------------------------------------

def _gathering_motion(ring: BayRing, plan: Plan, skin: BentSurface,
                      kept: MutableMapping[str, bytes]) -> SurfaceMotion | None:
    gathering = HalfBayGathering(ring)
    mesh = gathering.mesh
    seats = [(seat, side) for seat in ring.seats for side in (1.0, -1.0)]
    space = np.array([np.column_stack([seat.frame * (side, 1.0, 1.0), ring.centre]) for seat, side in seats])
    lies = np.array([np.column_stack([side * seat.along, seat.up, seat.flat]) for seat, side in seats])
    last = _final_cell(skin, mesh.flat, space[0], lies[0])
    if last is None or len(skin.patch) != len(seats) * len(mesh.triangles):
        return None
    at, between = _intermediate_cells(gathering, last, kept)
    upright = np.column_stack([mesh.flat, np.ones(len(mesh.flat))]) @ ring.lean.T
    folds = [*mesh.on("fold"), *(mesh.on("corner") if ring.split else ()),
             *(mesh.on("base") if ring.shoulder else ())]
    step = next(act.step for act in plan.acts if act.number == ring.act)
    return SurfaceMotion((step,), np.array([0.0, *at, 1.0]), np.array([upright, *between, last]), mesh.flat,
                  counter_clockwise(mesh.flat, mesh.triangles), skin.patch.reshape(len(seats), -1), space,
                         lies,
                  tuple(map(tuple, folds)), tuple(map(tuple, mesh.on("rim"))))


def _final_cell(skin: BentSurface, flat: FloatArray, seat: FloatArray, lies: FloatArray) -> FloatArray | None:
    """The cell as it ends, taken from the skin."""
    xy = flat @ lies[:, :2].T + lies[:, 2]
    far = np.linalg.norm(skin.flat[None] - xy[:, None], axis=2)
    found = far.argmin(axis=1)
    if far[np.arange(len(xy)), found].max() > MESH_POINT_TOLERANCE:
        return None
    result: FloatArray | None = (skin.points[found] - seat[:, 3]) @ seat[:, :3]
    return result


def _intermediate_cells(gathering: HalfBayGathering, last: FloatArray,
                        kept: MutableMapping[str, bytes]) -> tuple[FloatArray, FloatArray]:
    """The cell on the way, and where on it, kept by all that it depends on.

    Gussets that will be tucked in stand outward with the walls. To get past,
    the petals lean out first, as far as where both ways of folding meet.
    """
    text = f"{cache_key(gathering.ring)} {GATHERING_PARTS} {np.round(last, 4).tolist()}"
    key = hashlib.sha256(text.encode()).hexdigest()
    if key in kept:
        with np.load(io.BytesIO(kept[key]), allow_pickle=False) as known:
            return known["at"], known["points"]
    ring = gathering.ring
    # the peak is drawn in as a straight crown would draw it, whose angle grows evenly
    final = math.asin(min(1.0, (ring.apothem - float(last[gathering.peak, 1])) / gathering.high))
    angles = [final * part / GATHERING_PARTS for part in range(1, GATHERING_PARTS)]
    if ring.tucked:
        out = -math.asin(min(1.0, ring.width / 2 / gathering.high * math.tan(gathering.lean / 2)))
        angles = [out, out / 2, 0.0, *angles]
    made = np.array([gathering.drawn_in(angle).points for angle in angles])
    at = np.cumsum(np.abs(np.diff([0.0, *angles, final])) + MIN_PART_ANGLE)
    out_ = io.BytesIO()
    np.savez(out_, at=at[:-1] / at[-1], points=made)
    kept[key] = out_.getvalue()
    return at[:-1] / at[-1], made


# -- a pouch --------------------------------------------------------------------

def _pouch_motion(tube: PouchPlan, state: PieceState, skin: BentSurface) -> SurfaceMotion:
    steps = sorted({max(f.step for f in state.folds if all(map(is_curved, f.runs)) is curved)
                    for curved in (False, True)})
    folds, pushes = np.linspace(0, 1, FOLDING_PARTS + 1), np.linspace(0, 1, PUSHING_PARTS + 1)
    if len(steps) == 2:
        at = np.concatenate([folds, 1 + pushes[1:]])
        keys = [*(pouch_points(tube, skin.flat, u, 0.0) for u in folds),
                *(pouch_points(tube, skin.flat, 1.0, u) for u in pushes[1:])]
    else:
        at, keys = folds, [pouch_points(tube, skin.flat, u, u) for u in folds]
    centres = skin.flat[skin.triangles].mean(axis=1)
    way = (centres @ tube.across - tube.first) * np.sign(tube.last - tube.first)
    tabs = np.unique(skin.patch[way > 2 * tube.width])
    own = np.eye(3, 4)[None]
    return SurfaceMotion(tuple(steps), at, np.array(keys), skin.flat, skin.triangles, skin.patch[None], own,
                  np.eye(2, 3)[None], skin.folds, skin.edges,
                         tuple((int(k), tube.outer) for k in np.unique(skin.patch) if k not in tabs))


def pouch_points(tube: PouchPlan, flat: FloatArray, folded: float, pushed: float) -> FloatArray:
    """Points of the flat plan (n × 2) where a pouch is ``folded`` and ``pushed`` in so far, each from 0 to 1.

    Folded flat and pushed in by 1/c it is the cylinder of
    :mod:`generator.folding.bending.pouches`; at 1 and 1 all lies as in its skin.
    """
    u, v = flat @ tube.across, flat @ tube.along
    turn = 1.0 if tube.last > tube.first else -1.0
    way = (u - tube.first) * turn
    face = np.floor(np.clip(way / tube.width, 0, 2.999))
    face = np.where(np.abs(way - 2 * tube.width) < SIDE_TOLERANCE, 1.0, face)
    s = np.clip(way - face * tube.width, 0.0, tube.width)
    places = np.linspace(0, tube.width, CURVE_SAMPLES)
    grown = np.sqrt(np.maximum(places[1] ** 2 - np.diff(pushed * tube.depth) ** 2, 0.0))
    x = np.concatenate([[0.0], np.cumsum(grown)])
    depth, reach = np.interp(s, places, tube.depth), np.interp(s, places, x)
    high = v > (tube.low + tube.high) / 2
    edge = np.where(high, tube.high - depth, tube.low + depth)
    beyond = np.maximum(np.where(high, v - edge, edge - v), 0.0)
    rise = depth * pushed - beyond * 2 * pushed / (1 + pushed ** 2)
    on = beyond * (1 - pushed ** 2) / (1 + pushed ** 2)
    along = np.where(beyond > 0, edge + np.where(high, on, -on), v) - (tube.low + tube.high) / 2
    along += np.where((face == 1) & (beyond > 0), np.where(high, -FLAP_LEAN, FLAP_LEAN) * beyond * pushed,
                      0.0)
    across, lifted = _around_pouch(face, reach, rise, x[-1], math.pi * folded)
    return np.column_stack([turn * across, along, lifted * tube.outer])


def _around_pouch(face: FloatArray, reach: FloatArray, rise: FloatArray, wide: float,
                  angle: float) -> tuple[FloatArray, FloatArray]:
    """Across and up: the first face lies still, the second swings down about its far side.

    The tab swings about the far side of the second.
    """
    flat = np.array((-wide / 2, 0.0)) + np.stack([reach, rise], axis=1)
    fold = np.array((wide / 2, 0.0))
    hem = fold + wide * np.array((math.cos(angle), -math.sin(angle)))

    def swung(pivot: FloatArray, turned: float) -> FloatArray:
        ahead, up = np.array((math.cos(turned),
                              -math.sin(turned))), np.array((math.sin(turned), math.cos(turned)))
        result: FloatArray = pivot + reach[:, None] * ahead + rise[:, None] * up
        return result
    made = np.where((face == 0)[:, None], flat,
                    np.where((face == 1)[:, None], swung(fold, angle), swung(hem, 2 * angle)))
    return made[:, 0], made[:, 1]

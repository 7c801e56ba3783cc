"""The motion of a bent sheet as one mesh at several places of its way, for pictures that follow it.

A gathered top is drawn together as its solver does it, from upright walls to the shape it ends in; a pouch is
folded flat and then pushed in, in closed form (see :mod:`generator.folding.bending.pouches`). Of what repeats
there is one cell. mm.
"""
from __future__ import annotations

import hashlib
import io
import math
from collections.abc import MutableMapping, Sequence
from itertools import pairwise

import numpy as np

from generator.dataclass import dataclass
from generator.folding.bending.bays import ring_of_bays
from generator.folding.bending.domes import cache_key
from generator.folding.bending.equilibrium import green_strains
from generator.folding.bending.gathering import HalfBayGathering
from generator.folding.bending.meshing import counter_clockwise
from generator.folding.bending.pouch_plan import PouchPlan, pouch_plan
from generator.folding.bending.pouches import PouchShape, pouch_course, pouch_points
from generator.folding.piece_context import final_state
from generator.folding.records import BentSurface, FoldedPiece
from generator.geometry.arrays import FloatArray, IntArray, ReadOnlyArrays
from generator.geometry.tolerances import MESH_POINT_TOLERANCE
from generator.paper.records import Plan

# into which the gathering is cut; between two of them points move along curves through their neighbours
GATHERING_PARTS = 6
FOLDING_PARTS = 12          # into which folding a pouch flat is cut
PUSHING_PARTS = 8          # … and pushing its ends in
MAX_REFINEMENTS = 2         # rounds in which parts that stretch the sheet are halved
MAX_WAY_STRAIN = 0.0045     # root mean square; a little less than a shape may be stretched
MIN_PART_ANGLE = 0.06        # radians; a part of the gathering takes at least as long as this


@dataclass(frozen=True, slots=True, eq=False)
class SurfaceMotion(ReadOnlyArrays):
    """A mesh that moves in the tutorial's ``steps``, each from one whole number to the next.

    ``points`` (k × n × 3) are where the points of one cell lie at the places ``at`` (k, from 0 to the number
    of steps); ``seats`` (s × 3 × 4) put the cell into space, in the frame of the panels, and ``plan`` (s × 2
    × 3) into the flat plan. ``triangles`` (m × 3) turn counter-clockwise in the cell's ``flat`` (n × 2);
    ``patch`` (s × m) as in :class:`BentSurface`. ``layers`` say which patches lie a sheet above or below the
    mesh where others may lie on them, towards their +z side for +1. ``folds`` and ``edges`` are rows of
    points of the cell. Between two places of ``bends`` the paper snaps over, and only both ends are known.
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
    bends: tuple[tuple[float, float], ...] = ()

    def cell(self, place: float) -> FloatArray:
        """The cell at any place (n × 3), along Hermite's cubics, smooth but where a step ends."""
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


def surface_motion(plan: Plan, piece: FoldedPiece, cache: MutableMapping[str, bytes]) -> SurfaceMotion | None:
    """The way of a piece's skin; None where it has none."""
    info, state = next(p for p in plan.pieces if p.id == piece.piece), final_state(plan, piece.piece)
    if piece.surface is None:
        return None
    if piece.pouch is not None:
        tube = pouch_plan(plan, info, state)
        course = () if tube is None else pouch_course(tube, plan, state)
        return None if tube is None else _pouch_motion(tube, course, piece.surface)
    ring = ring_of_bays(plan, info, state, piece)
    if ring is None:
        return None
    gathering = HalfBayGathering(ring, ridge=piece.dome.ridge if piece.dome is not None else 0.0)
    return _gathering_motion(gathering, plan, piece.surface, cache)


# -- a gathered top -----------------------------------------------------------

def _gathering_motion(gathering: HalfBayGathering, plan: Plan, surface: BentSurface,
                      cache: MutableMapping[str, bytes]) -> SurfaceMotion | None:
    ring, mesh = gathering.ring, gathering.mesh
    seats = [(seat, side) for seat in ring.seats for side in (1.0, -1.0)]
    space = np.array([np.column_stack([seat.frame * (side, 1.0, 1.0), ring.centre]) for seat, side in seats])
    flat_seats = np.array([np.column_stack([side * seat.along, seat.up, seat.flat]) for seat, side in seats])
    last = _final_cell(surface, mesh.flat, space[0], flat_seats[0])
    if last is None or len(surface.patch) != len(seats) * len(mesh.triangles):
        return None
    upright = np.column_stack([mesh.flat, np.ones(len(mesh.flat))]) @ ring.lean.T
    at, between = _intermediate_cells(gathering, upright, last, cache)
    folds = [*mesh.on("fold"), *(mesh.on("corner") if ring.split else ()),
             *(mesh.on("base") if ring.shoulder else ())]
    step = next(act.step for act in plan.acts if act.number == ring.act)
    return SurfaceMotion((step,), np.array([0.0, *at, 1.0]), np.array([upright, *between, last]), mesh.flat,
                         counter_clockwise(mesh.flat, mesh.triangles), surface.patch.reshape(len(seats), -1),
                         space, flat_seats,
                         tuple(map(tuple, folds)), tuple(map(tuple, mesh.on("rim"))))


def _final_cell(surface: BentSurface, flat: FloatArray, seat: FloatArray,
                flat_seat: FloatArray) -> FloatArray | None:
    """The cell as it ends, taken from the skin."""
    xy = flat @ flat_seat[:, :2].T + flat_seat[:, 2]
    far = np.linalg.norm(surface.flat[None] - xy[:, None], axis=2)
    found = far.argmin(axis=1)
    if far[np.arange(len(xy)), found].max() > MESH_POINT_TOLERANCE:
        return None
    result: FloatArray | None = (surface.points[found] - seat[:, 3]) @ seat[:, :3]
    return result


def _intermediate_cells(gathering: HalfBayGathering, upright: FloatArray, last: FloatArray,
                        cache: MutableMapping[str, bytes]) -> tuple[FloatArray, FloatArray]:
    """The cell on the way, and where on it, kept by all that it depends on.

    Gussets that will be tucked in stand outward with the walls. To get past,
    the petals lean out first, as far as where both ways of folding meet. Where
    the sheet would be stretched half-way between two cells, one more is found.
    """
    text = f"{cache_key(gathering.ring)} {GATHERING_PARTS} refined {np.round(last, 4).tolist()}"
    key = hashlib.sha256(text.encode()).hexdigest()
    data = cache.get(key)
    if data is not None:
        with np.load(io.BytesIO(data), allow_pickle=False) as known:
            return known["at"], known["points"]
    ring = gathering.ring
    # the peak is drawn in as a straight crown would draw it, whose angle grows evenly
    final = math.asin(min(1.0, (ring.apothem - float(last[gathering.peak, 1])) / gathering.high))
    angles = [final * part / GATHERING_PARTS for part in range(1, GATHERING_PARTS)]
    if ring.tucked:
        out = -math.asin(min(1.0, ring.width / 2 / gathering.high * math.tan(gathering.lean / 2)))
        angles = [out / 2, out, out / 2, 0.0, angles[0] / 4, angles[0] / 2, *angles]
    course = [(0.0, ring.tucked), *((angle, ring.tucked and not k) for k, angle in enumerate(angles)),
              (final, False)]
    cells = [upright, *(gathering.drawn_in(*each).points for each in course[1:-1]), last]
    for _ in range(MAX_REFINEMENTS):
        stretched = _stretched_parts(gathering, _places(course), np.array(cells))
        for k in reversed(stretched):
            course.insert(k + 1, ((course[k][0] + course[k + 1][0]) / 2, course[k][1]))
            cells.insert(k + 1, gathering.drawn_in(*course[k + 1]).points)
    at, result = _places(course)[1:-1], np.array(cells[1:-1])
    out_ = io.BytesIO()
    np.savez(out_, at=at, points=result)
    cache[key] = out_.getvalue()
    return at, result


def _places(course: Sequence[tuple[float, bool]]) -> FloatArray:
    """Where on the way, from 0 to 1, cells are that lean in by the angles of a course."""
    far = np.cumsum([0.0, *(np.abs(np.diff([angle for angle, _ in course])) + MIN_PART_ANGLE)])
    result: FloatArray = far / far[-1]
    return result


def _stretched_parts(gathering: HalfBayGathering, at: FloatArray, cells: FloatArray) -> list[int]:
    """The parts of a way half-way in which the sheet is stretched, root mean square, more than it may be."""
    mesh, none = gathering.mesh, np.empty(0)
    way = SurfaceMotion((), at, cells, mesh.flat, mesh.triangles, np.empty(0, int), none, none, (), ())
    corners = mesh.flat[mesh.triangles]
    area = np.abs(np.linalg.det(corners[:, 1:] - corners[:, :1]))
    found = []
    for k, place in enumerate((at[:-1] + at[1:]) / 2):
        each = np.linalg.eigvalsh(green_strains(mesh.flat, mesh.triangles, way.cell(float(place))))
        if np.sqrt(area @ (each ** 2).mean(axis=1) / area.sum()) > MAX_WAY_STRAIN:
            found.append(k)
    return found


# -- a pouch --------------------------------------------------------------------

def _pouch_motion(tube: PouchPlan, course: Sequence[PouchShape], surface: BentSurface) -> SurfaceMotion:
    """Each step turns the sides and swells the faces evenly; the first flaps follow from the flat tube on.

    Those of the other end, pushed in when the faces are bent already, snap over.
    """
    at, keys, bends = [0.0], [pouch_points(tube, surface.flat, 0.0, 0.0)], []
    for place, (one, other) in enumerate(pairwise((PouchShape(0, 0.0, 0.0, (False, False)), *course))):
        if one.pushed == other.pushed and one.ends != other.ends:
            shares = np.array((1.0,))
            bends.append((float(place), place + 1.0))
        else:
            count = FOLDING_PARTS if one.folded < other.folded else PUSHING_PARTS
            shares = np.arange(1, count + 1) / count
        start = one.pushed
        if start and one.ends != other.ends and len(shares) > 1:      # pressed flat again first
            at.append(place + float(shares[0]) / 2)
            keys.append(pouch_points(tube, surface.flat, one.folded, 0.0))
            start = 0.0
        at += [place + float(u) for u in shares]
        keys += [pouch_points(tube, surface.flat, one.folded + u * (other.folded - one.folded),
                              start + u * (other.pushed - start), other.ends) for u in shares]
    centres = surface.flat[surface.triangles].mean(axis=1)
    way = (centres @ tube.across - tube.first) * np.sign(tube.last - tube.first)
    tabs = np.unique(surface.patch[way > 2 * tube.width])
    own = np.eye(3, 4)[None]
    return SurfaceMotion(tuple(shape.step for shape in course), np.array(at), np.array(keys), surface.flat,
                         surface.triangles,
                         surface.patch[None], own,
                         np.eye(2, 3)[None], surface.folds, surface.edges,
                         tuple((int(k), tube.outer) for k in np.unique(surface.patch) if k not in tabs),
                         tuple(bends))

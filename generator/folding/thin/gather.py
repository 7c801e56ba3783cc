"""Gather a top: from the straight mechanism of its chords to the shape its curves give it.

The start is the closed form of the straight top (see
:mod:`generator.folding.gathered`): petals lean in about the shoulder, and each
half gusset swings about the line from corner to peak until its edge lies in
the mirror plane between two bays. Lengths in mm, angles in radians.
"""
from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import shapely

from generator.folding.thin.bays import ALIKE, Ring
from generator.folding.thin.energy import Border, Sheet, steps_of
from generator.folding.thin.meshing import Layout, Mesh, mesh_of
from generator.folding.thin.minimise import Freedom, bands, settled

POINTS = 110        # vertices that half a bay is given
BOUND = 0.005       # of length, root mean square: beyond it paper would have to stretch (card breaks at 2 to 4 %, from memory)
UPRIGHT = 0.35      # radians from which the slow way begins
STEPS = 8           # … and how many steps it takes
FLUSH = 1e-4        # mm; a curve that leaves its bay by less does not
ROUGH = 1e-3        # mm; how still the sheet must be on the way


@dataclass(frozen=True, slots=True, eq=False)
class Bent:
    """The half bay in space: ``points`` (n × 3: x, r, z), the strain of each triangle (m × 2 × 2), and whether it came to rest."""

    mesh: Mesh
    points: np.ndarray
    strains: np.ndarray
    area: np.ndarray
    opening: float
    rested: bool

    @property
    def strain(self) -> tuple[float, float]:
        """Root mean square over the area and directions, and the worst, as shares."""
        each = np.abs(np.linalg.eigvalsh(self.strains))
        return float(np.sqrt((self.area * (each ** 2).mean(axis=1)).sum() / self.area.sum())), float(each.max())

    @property
    def where(self) -> np.ndarray:
        """The middle of the triangle with the worst strain, in the flat half bay."""
        worst = int(np.abs(np.linalg.eigvalsh(self.strains)).max(axis=1).argmax())
        return self.mesh.flat[self.mesh.triangles[worst]].mean(axis=0)

    @property
    def height(self) -> float:
        """How high it rises over the shoulder."""
        return float(self.points[:, 2].max())


class Gathering:
    """One half bay ready to be gathered."""

    def __init__(self, ring: Ring, points: int = POINTS) -> None:
        self.ring = ring
        self.mesh = mesh_for(ring.plan, points)
        self.crease = creases(ring.plan)[0]
        self.high = float(self.crease[-1][1])       # of the peak, from the shoulder
        self.lean = math.pi / ring.sides
        self.peak = int(np.hypot(*(self.mesh.flat - self.crease[-1]).T).argmin())
        self.sheet = self._sheet()
        self.freedom = self._freedom()

    def closed(self) -> Bent:
        """Straight to the end: the peaks on the axis, or as near as the crown is long."""
        reach = min(1.0, self.ring.apothem / self.high)
        return self._settled(self.start(math.asin(reach)), max(0.0, self.ring.apothem - self.high))

    def on_the_way(self) -> Iterator[Bent]:
        """Slowly, from leaning a little: one shape after the other, each drawn closer."""
        x = self.start(UPRIGHT)
        begin = float(x[self.peak, 1])
        for opening in np.linspace(begin, max(0.0, self.ring.apothem - self.high), STEPS + 1)[1:]:
            bent = self._settled(x, float(opening), rough=True)
            x = bent.points
            yield bent

    def drawn_in(self, angle: float) -> Bent:
        """Gathered so far that the peaks are where those of a straight top are whose petals lean in by an angle."""
        start = self.start(angle)
        return self._settled(start, float(start[self.peak, 1]), rough=True)

    def start(self, angle: float) -> np.ndarray:
        """The straight mechanism of the chords with its petals leaning in by an angle from upright (n × 3)."""
        ring, flat, half = self.ring, self.mesh.flat, self.ring.width / 2
        corner, peak = np.array((half, ring.apothem, 0.0)), np.array((0.0, ring.apothem - self.high * math.sin(angle), self.high * math.cos(angle)))
        slant = peak - corner
        inward = np.array((-math.sin(self.lean), -math.cos(self.lean), 0.0))
        edge = math.cos(math.atan(half / self.high)) * float(np.linalg.norm(slant))
        swing = math.acos(min(1.0, edge / math.hypot(slant @ inward, slant[2])))
        rise = math.atan2(slant[2], slant @ inward) + (-swing if ring.tucked else swing)
        up = inward * math.cos(rise) + np.array((0.0, 0.0, math.sin(rise)))
        share = (half - flat[:, 0]) / half
        gusset = corner + share[:, None] * slant + (flat[:, 1] - share * self.high)[:, None] * up
        petal = np.column_stack([flat[:, 0], ring.apothem - flat[:, 1] * math.sin(angle), flat[:, 1] * math.cos(angle)])
        return np.where((flat[:, 1] > share * self.high)[:, None], gusset, petal)

    def _settled(self, start: np.ndarray, opening: float, rough: bool = False) -> Bent:
        x = start.copy()
        x[self.peak, :2] = 0.0, opening
        found, rested = settled(self.sheet, x.ravel(), self.freedom, *((25, ROUGH) if rough else ()))
        return Bent(self.mesh, found.reshape(-1, 3), self.sheet.strains(found)[1], self.sheet.area, opening, rested)

    def _sheet(self) -> Sheet:
        ring, mesh = self.ring, self.mesh
        side = np.array((math.cos(self.lean), -math.sin(self.lean), 0.0))       # unit normal of the plane through the corner
        across = np.diag((-1.0, 1.0))
        borders = [Border(mesh.vertices_on("middle"), across, np.zeros(2), np.array((1.0, 0.0, 0.0)), share=0.5)]
        if not ring.split:
            borders.append(Border(mesh.vertices_on("corner"), across, np.array((ring.width, 0.0)), side, share=0.5))
        if ring.shoulder != "fold":
            borders.append(Border(mesh.vertices_on("base"), np.diag((1.0, -1.0)), np.zeros(2), beyond=ring.lean,
                                  scored=bool(ring.shoulder)))
        return Sheet(mesh, steps_of(mesh.on("fold")), borders, np.array([(1.0, 0.0, 0.0), -side]), steps_of(mesh.on("score")))

    def _freedom(self) -> Freedom:
        mesh, count = self.mesh, len(self.mesh.flat)
        frames, free = np.tile(np.eye(3), (count, 1, 1)), np.ones((count, 3), bool)
        free[list(mesh.vertices_on("middle")), 0] = False
        corner = list(mesh.vertices_on("corner"))
        sine, cosine = math.sin(self.lean), math.cos(self.lean)
        frames[corner] = np.array(((cosine, -sine, 0.0), (sine, cosine, 0.0), (0.0, 0.0, 1.0)))
        free[corner, 0] = False
        free[list(mesh.vertices_on("base"))] = False
        free[self.peak] = (False, False, True)
        return Freedom(frames, free, bands(mesh.triangles, mesh.vertices_on("base"), count))


def mesh_for(plan: Layout, points: int = POINTS) -> Mesh:
    """A mesh of about so many points. Raises TooLarge."""
    return mesh_of(plan, math.sqrt(2 * sum(cell.area for cell in plan.cells) / math.sqrt(3) / points))


def creases(plan: Layout) -> list[np.ndarray]:
    """The folds that cross the half bay, as dense points from the corner's side to the middle."""
    lines = [c.points for c in plan.chains if "fold" in c.kinds and not c.kinds & {"middle", "corner", "base", "rim"}]
    if not lines:
        return []
    merged = shapely.line_merge(shapely.MultiLineString(lines))
    rows = [shapely.get_coordinates(part) for part in shapely.get_parts(merged)]
    return [xy if xy[0][0] > xy[-1][0] else xy[::-1] for xy in rows]


def foldable(ring: Ring) -> bool:
    """Whether one fold crosses the half bay, from its corner on the shoulder to a peak in its middle."""
    rows = creases(ring.plan)
    return len(rows) == 1 and bool(np.abs(rows[0][0] - (ring.width / 2, 0.0)).max() < ALIKE) \
        and abs(rows[0][-1][0]) < ALIKE and rows[0][-1][1] > ALIKE


def stays_within(ring: Ring) -> bool:
    """Whether its curve keeps to its half of the bay, so that it meets no neighbour."""
    across = np.concatenate([xy[:, 0] for xy, kind in ring.lines if _is_curve(xy, kind)])
    return bool(across.min() > -FLUSH and across.max() < ring.width / 2 + FLUSH)


def bulged(ring: Ring, share: float) -> Ring:
    """The same ring with its curves drawn to their chords: ``share`` of their bulge is left."""
    corner, peak = creases(ring.plan)[0][[0, -1]]
    step = (peak - corner) / np.hypot(*(peak - corner))

    def drawn(xy: np.ndarray) -> np.ndarray:
        foot = corner + ((xy - corner) @ step)[:, None] * step
        return foot + share * (xy - foot)

    lines = tuple((drawn(xy) if _is_curve(xy, kind) else xy, kind)
                  for xy, kind in ring.lines)
    return replace(ring, lines=lines)


def drawn_along(ring: Ring, points: np.ndarray) -> Ring:
    """The same ring with another curve from corner to peak, on the side of the old one: ``points`` (n × 2) run from (0, 0) to
    (chord, 0) and bulge upward."""
    curve = creases(ring.plan)[0]
    step = (curve[-1] - curve[0]) / np.hypot(*(curve[-1] - curve[0]))
    aside = np.array((step[1], -step[0])) * (1.0 if bulge_of(ring) >= 0 else -1.0)
    made = curve[0] + points[:, :1] * step + points[:, 1:] * aside
    made[0], made[-1] = curve[0], curve[-1]
    kept = tuple((xy, kind) for xy, kind in ring.lines if not _is_curve(xy, kind))
    return replace(ring, lines=(*kept, (made, "fold")))


def _is_curve(xy: np.ndarray, kind: str) -> bool:
    """Whether a line of a half bay is part of the curve from corner to peak."""
    return kind == "fold" and np.ptp(xy[:, 0]) > ALIKE and np.ptp(xy[:, 1]) > ALIKE


def bulge_of(ring: Ring) -> float:
    """How far the curve leaves its chord, in mm: above nothing where it swings towards the neighbouring bay."""
    xy = creases(ring.plan)[0]
    step = (xy[-1] - xy[0]) / np.hypot(*(xy[-1] - xy[0]))
    aside = (xy - xy[0]) @ np.array((step[1], -step[0]))
    return float(aside[np.abs(aside).argmax()])

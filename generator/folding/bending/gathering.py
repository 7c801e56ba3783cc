"""Gather a top: from the straight mechanism of its chords to the shape its curves give it.

The start is the closed form of the straight top (see :mod:`generator.folding.features.crown`): petals lean in
about the shoulder, and each half gusset swings about the line from corner to peak until its edge lies in the
mirror plane between two bays. The bent half bay, turned and mirrored onto every seat and joined, is the
surface of the whole top. Lengths in mm, angles in radians.

Where curves swing out, a petal is wider than the wedge between two mirror planes, and beside its folds it
bends outward (Fuchs and Tabachnikov 1999). So it comes to the axis only with its tip pinched: a free ridge
along its middle, found by letting the whole middle free first, then only where it folds sharply. A corner of
the shoulder is then the tip of a cone, and card is dented over a few millimetres, fewer the thinner it is:
whether the top closes is judged on a sheet made thinner step by step, how high it stands on card.
"""
from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

import numpy as np
import shapely

from generator.dataclass import dataclass
from generator.folding.bending.bays import BayRing, creases, swings_out
from generator.folding.bending.equilibrium import (
    THICKNESS,
    DegreesOfFreedom,
    ElasticSheet,
    MeshBorder,
    edge_triangles,
    row_edges,
    shape_at_rest,
    vertex_bands,
)
from generator.folding.bending.meshing import TriangleMesh, counter_clockwise, triangulated
from generator.folding.features.crown import Crown
from generator.folding.records import BentSurface, FlatMap
from generator.geometry.arrays import FloatArray, IntArray, ReadOnlyArrays
from generator.geometry.noding import DisjointSets, PointIndex
from generator.geometry.tolerances import LINE_TOLERANCE, SEAM_TOLERANCE

HALF_BAY_POINTS = 110        # vertices that half a bay is given
# of length, root mean square: beyond it paper would have to stretch (card breaks at 2 to 4 %, from memory)
MAX_STRAIN = 0.005
FIRST_LEAN = 0.35      # radians from which the slow way begins
GATHERING_STEPS = 8           # … and how many steps it takes
COARSE_REST_TOLERANCE = 1e-3        # mm; how still the sheet must be on the way
RIDGE_ANGLE = math.pi / 3       # a middle line that folds farther than this is a ridge, and seen as one
THINNER_SHEETS = THICKNESS / 2, THICKNESS / 4       # mm, on which it is judged


@dataclass(frozen=True, slots=True, eq=False)
class BentHalfBay(ReadOnlyArrays):
    """The half bay in space: ``points`` (n × 3: x, r, z), triangles' strains (m × 2 × 2), whether at rest."""

    mesh: TriangleMesh
    points: FloatArray
    strains: FloatArray
    area: FloatArray
    opening: float
    rested: bool

    @property
    def strain(self) -> tuple[float, float]:
        """Root mean square over the area and directions, and the worst, as shares."""
        each = np.abs(np.linalg.eigvalsh(self.strains))
        mean = (self.area * (each ** 2).mean(axis=1)).sum() / self.area.sum()
        return float(np.sqrt(mean)), float(each.max())

    @property
    def height(self) -> float:
        """How high it rises over the shoulder."""
        return float(self.points[:, 2].max())


class HalfBayGathering:
    """One half bay ready to be gathered.

    Over ``ridge`` mm below the peak the petal may fold along its middle as if it were scored.
    """

    def __init__(self, ring: BayRing, points: int = HALF_BAY_POINTS, ridge: float = 0.0,
                 thickness: float = THICKNESS) -> None:
        self.ring, self.ridge, self.thickness = ring, ridge, thickness
        self.mesh = mesh_for(ring, points)
        self.crease = creases(ring.plan)[0]
        self.high = float(self.crease[-1][1])       # of the peak, from the shoulder
        self.lean = math.pi / ring.sides
        self.peak = int(np.hypot(*(self.mesh.flat - self.crease[-1]).T).argmin())
        self.sheet = self._sheet()
        self.freedom = self._freedom()

    def closed(self) -> BentHalfBay:
        """Straight to the end: the peaks on the axis, or as near as the crown is long."""
        reach = min(1.0, self.ring.apothem / self.high)
        return self.settled(self.start(math.asin(reach)))

    def settled(self, start: FloatArray) -> BentHalfBay:
        """Closed as far as the crown is long, from points (n × 3) near that."""
        return self._settled(start, max(0.0, self.ring.apothem - self.high))

    def on_the_way(self) -> Iterator[BentHalfBay]:
        """Slowly, from leaning a little: one shape after the other, each drawn closer."""
        x = self.start(FIRST_LEAN)
        begin = float(x[self.peak, 1])
        for opening in np.linspace(begin, max(0.0, self.ring.apothem - self.high), GATHERING_STEPS + 1)[1:]:
            bent = self._settled(x, float(opening), rough=True)
            x = bent.points
            yield bent

    def drawn_in(self, angle: float, outward: bool = False) -> BentHalfBay:
        """As far as a straight top whose petals lean in by ``angle`` (radians).

        ``outward``: with gussets that stand outward, also where they will be tucked in.
        """
        start = self.start(angle, outward)
        return self._settled(start, float(start[self.peak, 1]), rough=True)

    def start(self, angle: float, outward: bool = False) -> FloatArray:
        """The straight mechanism of the chords (n × 3, mm), petals leaning in by an angle from upright."""
        ring, flat, half = self.ring, self.mesh.flat, self.ring.width / 2
        corner, peak = np.array((half, ring.apothem,
                                 0.0)), np.array((0.0, ring.apothem - self.high * math.sin(angle),
                                                  self.high * math.cos(angle)))
        slant = peak - corner
        inward = np.array((-math.sin(self.lean), -math.cos(self.lean), 0.0))
        edge = math.cos(math.atan(half / self.high)) * float(np.linalg.norm(slant))
        swing = math.acos(min(1.0, edge / math.hypot(slant @ inward, slant[2])))
        rise = math.atan2(slant[2], slant @ inward) + (-swing if ring.tucked and not outward else swing)
        up = inward * math.cos(rise) + np.array((0.0, 0.0, math.sin(rise)))
        share = (half - flat[:, 0]) / half
        gusset = corner + share[:, None] * slant + (flat[:, 1] - share * self.high)[:, None] * up
        petal = np.column_stack([flat[:, 0], ring.apothem - flat[:, 1] * math.sin(angle),
                                 flat[:, 1] * math.cos(angle)])
        return np.where((flat[:, 1] > share * self.high)[:, None], gusset, petal)

    def _settled(self, start: FloatArray, opening: float, rough: bool = False) -> BentHalfBay:
        x = start.copy()
        x[self.peak, :2] = 0.0, opening
        found, rested = shape_at_rest(self.sheet, x.ravel(), self.freedom,
                                      *((25, COARSE_REST_TOLERANCE) if rough else ()))
        return BentHalfBay(self.mesh, found.reshape(-1, 3), self.sheet.strains(found)[1], self.sheet.area,
                           opening, rested)

    def _sheet(self) -> ElasticSheet:
        ring, mesh = self.ring, self.mesh
        # unit normal of the plane through the corner
        side = np.array((math.cos(self.lean), -math.sin(self.lean), 0.0))
        across = np.diag((-1.0, 1.0))
        level = self.high - self.ridge + LINE_TOLERANCE
        whole = frozenset(v for v in mesh.vertices_on("middle") if mesh.flat[v][1] < level or not self.ridge)
        borders = [MeshBorder(whole, across, np.zeros(2), np.array((1.0, 0.0, 0.0)), share=0.5)]
        if not ring.split:
            borders.append(MeshBorder(mesh.vertices_on("corner"), across, np.array((ring.width, 0.0)), side,
                                      share=0.5))
        if ring.shoulder != "fold":
            borders.append(MeshBorder(mesh.vertices_on("base"), np.diag((1.0, -1.0)), np.zeros(2),
                                      beyond=ring.lean, scored=bool(ring.shoulder)))
        return ElasticSheet(mesh, row_edges(mesh.on("fold")), borders, np.array([(1.0, 0.0, 0.0), -side]),
                            row_edges(mesh.on("score")), self.thickness)

    def _freedom(self) -> DegreesOfFreedom:
        mesh, count = self.mesh, len(self.mesh.flat)
        frames, free = np.tile(np.eye(3), (count, 1, 1)), np.ones((count, 3), bool)
        free[list(mesh.vertices_on("middle")), 0] = False
        corner = list(mesh.vertices_on("corner"))
        sine, cosine = math.sin(self.lean), math.cos(self.lean)
        frames[corner] = np.array(((cosine, -sine, 0.0), (sine, cosine, 0.0), (0.0, 0.0, 1.0)))
        free[corner, 0] = False
        free[list(mesh.vertices_on("base"))] = False
        free[self.peak] = (False, False, True)
        return DegreesOfFreedom(frames, free, vertex_bands(mesh.triangles, mesh.vertices_on("base"), count))


def mesh_for(ring: BayRing, points: int = HALF_BAY_POINTS) -> TriangleMesh:
    """A mesh of about so many points, finer at the corner where curves swing out. Raises MeshTooLarge."""
    area = sum(cell.area for cell in ring.plan.cells)
    return triangulated(ring.plan, math.sqrt(2 * area / math.sqrt(3) / points),
                        np.array((ring.width / 2, 0.0)) if swings_out(ring) else None)


@dataclass(frozen=True, slots=True)
class ClosedHalfBay:
    """The half bay of card, the same of the sheet it is judged on, and how long its ridge is (0: none)."""

    card: BentHalfBay
    judged: BentHalfBay
    ridge: float = 0.0

    @property
    def unstretched(self) -> bool:
        """Whether card came to rest, and some shape near that does not stretch the paper."""
        return self.card.rested and self.judged.strain[0] <= MAX_STRAIN


def closed_half_bay(ring: BayRing, points: int = HALF_BAY_POINTS) -> ClosedHalfBay:
    """Close a top, smooth where its curves swing in, pinched where they swing out. Raises MeshTooLarge."""
    if not is_pinched(ring):
        bent = HalfBayGathering(ring, points).closed()
        return ClosedHalfBay(bent, bent)
    free = HalfBayGathering(ring, points, ridge=math.inf)
    bent = free.closed()
    ridge = ridge_length(free, bent)
    bent = judged = HalfBayGathering(ring, points, ridge).settled(bent.points)
    for thickness in THINNER_SHEETS:
        judged = HalfBayGathering(ring, points, ridge, thickness).settled(judged.points)
    return ClosedHalfBay(bent, judged, ridge)


def is_pinched(ring: BayRing) -> bool:
    """Whether its curves swing out, and a straight top would have room for gussets so high."""
    if not swings_out(ring):
        return False
    straight = Crown(ring.sides, ring.width, float(creases(ring.plan)[0][-1][1]))
    return straight.height < straight.apothem or straight.closes(ring.tucked)


def ridge_length(gathering: HalfBayGathering, bent: BentHalfBay) -> float:
    """How far down from the peak the middle line is folded more than :data:`RIDGE_ANGLE`."""
    ends, angles = middle_folds(gathering, bent)
    smooth = np.flatnonzero(np.abs(angles) < RIDGE_ANGLE)
    low = float(ends[smooth].max()) if len(smooth) else 0.0
    return max(0.0, gathering.high - low)


def middle_folds(gathering: HalfBayGathering, bent: BentHalfBay) -> tuple[FloatArray, FloatArray]:
    """Upper ends (n) of the middle line's edges over the shoulder, lowest first, and how far each folds (n).

    Positive where the petal is hollow as seen from outside.
    """
    mesh, sides = gathering.mesh, edge_triangles(gathering.mesh.triangles)
    edges = sorted((edge for edge in row_edges(mesh.on("middle"))
                    if mesh.flat[list(edge), 1].max() < gathering.high + 1e-9),
                   key=lambda edge: float(mesh.flat[list(edge), 1].max()))
    corners = bent.points[mesh.triangles[[sides[edge][0][0] for edge in edges]]]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    return (np.array([mesh.flat[list(edge), 1].max() for edge in edges]),
            2 * np.arcsin(normals[:, 0] / np.linalg.norm(normals, axis=1)))


Rows = list[tuple[int, ...]]
LINE_KINDS = ("fold", "corner", "rim", "base")


def surface_of_top(ring: BayRing, mesh: TriangleMesh, points: FloatArray, strain: tuple[float, float],
                   flat: FlatMap, ridge: float = 0.0) -> BentSurface:
    """The whole top from its half bay in space (n × 3), in the frames of flat plan and folded panels.

    A pinched tip is a fold over ``ridge`` mm below its peak.
    """
    vertices = PointIndex(SEAM_TOLERANCE)       # one for each point, however many bays meet there
    places: dict[int, FloatArray] = {}
    triangles: list[IntArray] = []
    low = mesh.flat[:, 1].max() - ridge - LINE_TOLERANCE
    middles = [[v for v in row if mesh.flat[v][1] > low] for row in mesh.on("middle")] if ridge else []
    rows: dict[str, Rows] = {kind: [] for kind in LINE_KINDS}
    for seat in ring.seats:
        for side in (1.0, -1.0):
            xy = seat.flat + side * mesh.flat[:, :1] * seat.along + mesh.flat[:, 1:] * seat.up
            space = ring.centre + (points * (side, 1.0, 1.0)) @ seat.frame.T
            number = np.array([vertices.number(point) for point in xy])
            for vertex, place in zip(number.tolist(), space, strict=True):
                places.setdefault(vertex, place)
            triangles.append(number[mesh.triangles])
            for kind in LINE_KINDS:
                rows[kind] += [tuple(number[list(row)].tolist()) for row in mesh.on(kind)]
            rows["fold"] += [tuple(number[row].tolist()) for row in middles if len(row) > 1]
    xy, space = np.array(vertices.points), np.array([places[k] for k in range(len(places))])
    result = counter_clockwise(xy, np.concatenate(triangles))
    folds, edges = _folds_and_edges(ring, result, rows)
    return BentSurface(xy, space, result, smooth_patches(result, folds), folds, edges,
                       _panels_at(xy[result].mean(axis=1), flat), strain)


def _folds_and_edges(ring: BayRing, triangles: IntArray,
                     lines: Mapping[str, Rows]) -> tuple[tuple[tuple[int, ...], ...],
                                                         tuple[tuple[int, ...], ...]]:
    """Which lines are folds and which are edges; a corner, which two bays have, is one or the other."""
    sides = edge_triangles(triangles)
    folds, edges, reported = list(lines["fold"]), list(lines["rim"]), set()
    for row in lines["corner"]:
        key = frozenset(row)
        if key in reported:
            continue
        reported.add(key)
        if len(sides[min(row[0], row[1]), max(row[0], row[1])]) == 1:
            edges.append(row)
        elif ring.split:
            folds.append(row)
    if ring.shoulder == "fold":
        folds += lines["base"]
    corners = {frozenset(row) for row in lines["corner"]}
    return tuple(dict.fromkeys((*(f for f in folds if frozenset(f) not in corners),
                                *(f for f in folds if frozenset(f) in corners)))), tuple(edges)


def smooth_patches(triangles: IntArray, folds: Sequence[Sequence[int]]) -> IntArray:
    """The number of the smooth surface that each triangle is part of."""
    sets, folded = DisjointSets(len(triangles)), row_edges(folds)
    for edge, sides in edge_triangles(triangles).items():
        if len(sides) == 2 and edge not in folded:
            sets.join(sides[0][0], sides[1][0])
    tops = sets.roots()
    number = {t: k for k, t in enumerate(dict.fromkeys(tops))}
    return np.array([number[t] for t in tops])


def _panels_at(middles: FloatArray, flat: FlatMap) -> IntArray:
    """The soft panel that each of these points of the flat plan lies in, or lies nearest to."""
    soft = [p for p in flat.panels if p.soft]
    found = np.full(len(middles), -1)
    spots = np.asarray(shapely.points(middles))
    for panel in soft:
        shapely.prepare(panel.polygon)
        found[shapely.contains(panel.polygon, spots)] = panel.id
    for k in np.flatnonzero(found < 0):
        found[k] = min(soft, key=lambda p: p.polygon.distance(spots[k])).id
    return found

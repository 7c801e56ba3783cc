"""Energy and equilibrium of a bent sheet: stretching in its plane, bending, and paper in its way.

Stretching: Green's strain E = (FᵀF − 1)/2 of every triangle, F the gradient of the map from flat to space; a
sheet of thickness t holds E : E · area against it. Bending: the discrete quadratic bending energy of sheets
that keep their lengths, 3 / (A₁ + A₂) · |Σ c·x|² over the edges between two triangles, with the cotangents of
their flat angles (Bergou, Wardetzky, Harmon, Zorin and Grinspun 2006), times t²/12, the ratio of plate
stiffness to that in the plane. Σ c·x is the edge's length times the angle it is bent by, so a score that is
not folded is a spring along the edge, however fine the mesh. In the way: planes that no vertex may cross.
Derivatives are exact. The shape of least energy is found by damped Newton steps (Levenberg and Marquardt),
each no worse than the last. mm.
"""
from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property

import numpy as np

from generator.dataclass import dataclass
from generator.folding.bending.meshing import TriangleMesh
from generator.geometry.arrays import BoolArray, FloatArray, IntArray

THICKNESS = 0.26        # mm; stiffness in bending hardly changes the shape, so one card serves for all
CONTACT_STIFFNESS = 20.0             # how much harder planes are than the paper
# mm; a scored line resists being bent as so much paper would beside it (common practice, no source)
SCORE_BENDING_WIDTH = 20.0


Edges = frozenset[tuple[int, int]]        # pairs of vertices, the smaller first
# four vertices, a 3 × 3 block for each, and what is given
_Stencil = tuple[tuple[int, int, int, int], FloatArray, FloatArray]


@dataclass(frozen=True, slots=True, eq=False)
class MeshBorder:
    """A row of vertices past which the sheet goes on.

    As its mirror image in the plane (unit ``normal`` through the origin), or flat, as ``beyond`` (3 × 3) puts
    (x, y, 1) of the flat plan. ``turn`` (2 × 2) and ``shift`` mirror the flat plan; ``share`` is the part of
    the bending there that is this sheet's, ``scored`` True along a score that is not folded.
    """

    vertices: frozenset[int]
    turn: FloatArray
    shift: FloatArray
    normal: FloatArray | None = None
    beyond: FloatArray | None = None
    share: float = 1.0
    scored: bool = False


class ElasticSheet:
    """The energy of one mesh.

    ``hinged`` are the edges (pairs of vertices, smaller first) that bend freely, ``scored`` those along a
    score that is not folded; ``planes`` are unit normals (k × 3) through the origin, paper lying on their
    side.
    """

    def __init__(self, mesh: TriangleMesh, hinged: Edges, borders: Sequence[MeshBorder], planes: FloatArray,
                 scored: Edges = frozenset(), thickness: float = THICKNESS) -> None:
        self.mesh, self.planes, self.count, self.stiffness = mesh, planes, len(mesh.flat), thickness ** 2 / 12
        corners = mesh.flat[mesh.triangles]
        steps = np.stack([corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]], axis=2)
        self.area = np.linalg.det(steps) / 2
        inverse = np.linalg.inv(steps)
        # m × 3 × 2
        self.slopes = np.stack([-inverse[:, 0] - inverse[:, 1], inverse[:, 0], inverse[:, 1]], axis=1)
        self.rows = _coordinate_rows(mesh.triangles)
        self.places = _matrix_places(self.rows, self.count)
        self._bend(hinged, borders, scored)

    # -- stretching -----------------------------------------------------------

    def strains(self, x: FloatArray) -> tuple[FloatArray, FloatArray]:
        """The gradients (m × 3 × 2) and strains (m × 2 × 2) of triangles, for points as one row (3n)."""
        grown = np.einsum("tia,tib->tab", x.reshape(-1, 3)[self.mesh.triangles], self.slopes)
        return grown, (np.einsum("tia,tib->tab", grown, grown) - np.eye(2)) / 2

    def energy(self, x: FloatArray) -> float:
        """In mm², so to speak: stiffness in the plane is 1."""
        _, strain = self.strains(x)
        depth = np.minimum(x.reshape(-1, 3) @ self.planes.T, 0)
        return float((self.area * (strain ** 2).sum(axis=(1, 2))).sum() + (self._bent(x) ** 2).sum()
                     + CONTACT_STIFFNESS * (depth ** 2).sum()) / 2

    def slope(self, x: FloatArray, full: bool = True) -> tuple[FloatArray, FloatArray]:
        """Gradient (3n) and second derivatives (3n × 3n); those of the stresses only if ``full``."""
        grown, strain = self.strains(x)
        s = self.slopes
        parts = np.stack([s[:, :, 0, None] * grown[:, None, :, 0], s[:, :, 1, None] * grown[:, None, :, 1],
                          (s[:, :, 0, None] * grown[:, None, :, 1]
                           + s[:, :, 1, None] * grown[:, None, :, 0]) / np.sqrt(2)], axis=1)
        parts = parts.reshape(-1, 3, 9)
        held = np.stack([strain[:, 0, 0], strain[:, 1, 1], np.sqrt(2) * strain[:, 0, 1]],
                        axis=1) * self.area[:, None]
        blocks = np.einsum("tci,tcj->tij", parts * self.area[:, None, None], parts)
        if full:
            stress = np.einsum("tia,tab,tjb->tij", s, strain * self.area[:, None, None], s)
            for k in range(3):      # each direction of space by itself
                blocks.reshape(-1, 3, 3, 3, 3)[:, :, k, :, k] += stress
        size = 3 * self.count
        second = np.asarray(np.bincount(self.places, blocks.ravel(), size * size), float)
        second = second.reshape(size, size) + self.stiff
        pulls = np.einsum("tc,tci->ti", held, parts).ravel()
        first = np.asarray(np.bincount(self.rows.ravel(), pulls, size), float)
        first += np.bincount(self.bent_rows.ravel(),
                             np.einsum("ei,ekij->ekj", self._bent(x), self.blocks).ravel(), size)
        self._add_planes(x, first, second)
        return first, second

    def _add_planes(self, x: FloatArray, first: FloatArray, second: FloatArray) -> None:
        depth = x.reshape(-1, 3) @ self.planes.T
        for v, k in zip(*np.nonzero(depth < 0), strict=False):
            normal, place = self.planes[k], slice(3 * v, 3 * v + 3)
            first[place] += CONTACT_STIFFNESS * depth[v, k] * normal
            second[place, place] += CONTACT_STIFFNESS * np.outer(normal, normal)

    # -- bending --------------------------------------------------------------

    def _bent(self, x: FloatArray) -> FloatArray:
        """How each inner edge is bent (edges × 3); a linear function of the points."""
        points = x[self.bent_rows].reshape(-1, 4, 3)
        result: FloatArray = np.einsum("ekij,ekj->ei", self.blocks, points) + self.given
        return result

    def _bend(self, hinged: Edges, borders: Sequence[MeshBorder], scored: Edges) -> None:
        """Stencils of all edges that resist bending: vertices, a 3 × 3 block for each, constants."""
        stiff = self.stiffness
        rows: list[_Stencil] = []
        for (i, j), sides in edge_triangles(self.mesh.triangles).items():
            if (i, j) in hinged:
                continue
            if len(sides) == 2:
                (one, p), (other, q) = sides
                k = self._stencil(i, j, p, self.mesh.flat[q], self.area[one] + self.area[other], stiff,
                                  (i, j) in scored)
                stencils: list[_Stencil] = [((i, j, p, q), k[:, None, None] * np.eye(3), np.zeros(3))]
            else:
                stencils = [self._past(border, i, j, *sides[0], stiff) for border in borders
                        if i in border.vertices and j in border.vertices]
            for each in stencils:
                rows.append(each)
        self.blocks = np.array([blocks for _, blocks, _ in rows]).reshape(-1, 4, 3, 3)
        self.given = np.array([given for _, _, given in rows]).reshape(-1, 3)
        self.bent_rows = _coordinate_rows(np.array([vertices for vertices, _, _ in rows], int).reshape(-1, 4))
        size, flat = 3 * self.count, np.moveaxis(self.blocks, 2, 1).reshape(-1, 3, 12)
        squares = np.einsum("eia,eib->eab", flat, flat)
        self.stiff = np.bincount(_matrix_places(self.bent_rows, self.count), squares.ravel(),
                                 size * size).reshape(size, size)

    def _past(self, border: MeshBorder, i: int, j: int, triangle: int, p: int, stiff: float) -> _Stencil:
        """The stencil along an edge of the mesh, past which the sheet goes on."""
        beyond = border.turn @ self.mesh.flat[p] + border.shift
        k = self._stencil(i, j, p, beyond, 2 * self.area[triangle], stiff * border.share, border.scored)
        blocks = k[:, None, None] * np.eye(3)
        blocks[3] = 0.0     # the corner beyond is no vertex: it is given, or the image of p
        if border.normal is None:
            return (i, j, p, p), blocks, k[3] * (border.beyond @ np.array((*beyond, 1.0)))
        blocks[2] += k[3] * (np.eye(3) - 2 * np.outer(border.normal, border.normal))
        return (i, j, p, p), blocks, np.zeros(3)

    def _stencil(self, i: int, j: int, p: int, q: FloatArray, area: float, stiff: float,
                 scored: bool) -> FloatArray:
        """What the places of an edge's ends and of the two corners opposite count for, in its bending."""
        a, b, c = (self.mesh.flat[v] for v in (i, j, p))
        pa, pb, qa, qb = _cotangent(a, b, c), _cotangent(b, a, c), _cotangent(a, b, q), _cotangent(b, a, q)
        weight = 1 / (SCORE_BENDING_WIDTH * float(np.hypot(*(b - a)))) if scored else 3 / area
        result: FloatArray = np.sqrt(stiff * weight) * np.array((pb + qb, pa + qa, -pa - pb, -qa - qb))
        return result


def green_strains(flat: FloatArray, triangles: IntArray, points: FloatArray) -> FloatArray:
    """Green's strain (m × 2 × 2) of triangles with corners at ``flat`` (n × 2) and ``points`` (n × 3)."""
    sides = np.linalg.inv(np.stack([flat[triangles[:, k]] - flat[triangles[:, 0]] for k in (1, 2)], axis=2))
    grown = np.stack([points[triangles[:, k]] - points[triangles[:, 0]] for k in (1, 2)], axis=2) @ sides
    result: FloatArray = (np.einsum("tia,tib->tab", grown, grown) - np.eye(2)) / 2
    return result


def _coordinate_rows(vertices: IntArray) -> IntArray:
    """The coordinates of groups of vertices, one group a row."""
    return (3 * vertices[:, :, None] + np.arange(3)).reshape(len(vertices), -1)


def _matrix_places(rows: IntArray, count: int) -> IntArray:
    """Where the entries of the groups' own matrices lie in that of all coordinates."""
    return (rows[:, :, None] * 3 * count + rows[:, None, :]).ravel()


def _cotangent(at: FloatArray, one: FloatArray, other: FloatArray) -> float:
    """The cotangent of the angle at a point between two others."""
    u, v = one - at, other - at
    return float(u @ v) / max(abs(float(u[0] * v[1] - u[1] * v[0])), 1e-12)


def edge_triangles(triangles: IntArray) -> dict[tuple[int, int], list[tuple[int, int]]]:
    """Edge (smaller vertex first) → the triangles it belongs to, each with the corner opposite."""
    result: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for t, (a, b, c) in enumerate(triangles.tolist()):
        for i, j, opposite in ((a, b, c), (b, c, a), (c, a, b)):
            result.setdefault((min(i, j), max(i, j)), []).append((t, opposite))
    return result


def row_edges(rows: Sequence[Sequence[int]]) -> Edges:
    """The edges along rows of vertices, smaller vertex first."""
    return frozenset((min(a, b), max(a, b)) for row in rows for a, b in zip(row, row[1:], strict=False))


REST_TOLERANCE = 1e-5        # mm; the shape is found when a step moves nothing farther
INITIAL_DAMPING = 1e-3        # share of the stiffness that is added at first, so that steps stay small
MIN_DAMPING, MAX_DAMPING = 1e-9, 1e6
DAMPING_INCREASE, DAMPING_DECREASE = 6.0, 5.0
STEPS_WITHOUT_STRESS = 2         # steps before the stresses are taken into account


@dataclass(frozen=True, eq=False)
class DegreesOfFreedom:
    """How vertices may move: rows of ``frames`` (n × 3 × 3) are directions, ``free`` (n × 3) says which.

    ``bands`` are the vertices in groups of which only neighbours in the row feel each other.
    """

    frames: FloatArray
    free: BoolArray
    bands: tuple[IntArray, ...]

    @cached_property
    def blocks(self) -> tuple[IntArray, ...]:
        """The bands as places among the free directions."""
        number = np.cumsum(self.free.ravel()).reshape(self.free.shape) - 1
        found = (number[band][self.free[band]] for band in self.bands)
        return tuple(block for block in found if len(block))

    def part(self, first: FloatArray, second: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Gradient and second derivatives by the free directions only."""
        keep = self.free.ravel()
        turned = self._turned(self._turned(second)[keep].T)[keep]
        return np.einsum("nij,nj->ni", self.frames, first.reshape(-1, 3)).ravel()[keep], turned

    def _turned(self, rows: FloatArray) -> FloatArray:
        """Rows of all coordinates (3n × …) in the directions of the frames, most of which are space's own."""
        result = np.array(rows, order="C")
        parts = result.reshape(len(self.frames), 3, -1)
        parts[self._slanted] = np.matmul(self.frames[self._slanted], parts[self._slanted])
        return result

    @cached_property
    def _slanted(self) -> IntArray:
        """The vertices whose directions are not those of space."""
        return np.flatnonzero((self.frames != np.eye(3)).any(axis=(1, 2)))

    def spread(self, step: FloatArray) -> FloatArray:
        """A step in the free directions as one of all coordinates."""
        full = np.zeros(self.free.size)
        full[self.free.ravel()] = step
        result: FloatArray = np.einsum("nji,nj->ni", self.frames, full.reshape(-1, 3)).ravel()
        return result


def shape_at_rest(sheet: ElasticSheet, x: FloatArray, freedom: DegreesOfFreedom, rounds: int = 60,
                  still: float = REST_TOLERANCE) -> tuple[FloatArray, bool]:
    """The nearest shape at rest from points ``x`` (3n), and whether it came to rest within so many rounds."""
    now, damping = sheet.energy(x), INITIAL_DAMPING
    for k in range(rounds):
        first, second = freedom.part(*sheet.slope(x, full=k >= STEPS_WITHOUT_STRESS))
        size = float(np.mean(np.diag(second)))
        far = np.inf
        while damping <= MAX_DAMPING:
            step = _damped_step(first, second, damping * size, freedom.blocks)
            if step is not None:
                moved = freedom.spread(step)
                then, far = sheet.energy(x + moved), float(np.abs(moved).max())
                if then < now:
                    x, now = x + moved, then
                    break
                if far < still:
                    break
            damping = max(damping * DAMPING_INCREASE, 1e-7)
        if far < still or damping > MAX_DAMPING:       # a small step says little where it was held back
            return x, far < still and damping <= INITIAL_DAMPING
        damping = max(damping / DAMPING_DECREASE, MIN_DAMPING)
    return x, False


def _damped_step(first: FloatArray, second: FloatArray, damping: float,
                 blocks: Sequence[IntArray]) -> FloatArray | None:
    """The damped step, band by band; None where the energy does not curve upwards on all sides.

    Small blocks, since for large ones the library starts threads, which on a
    busy machine wait for each other far longer than they work.
    """
    solved: list[FloatArray] = []       # of each band, how it follows the next one, and where it then rests
    link = np.zeros((0, 0))
    try:
        for k, block in enumerate(blocks):
            pivot, rest = second[np.ix_(block, block)] + damping * np.eye(len(block)), -first[block]
            if k:
                given = link.T @ solved[-1]
                pivot, rest = pivot - given[:, :-1], rest - given[:, -1]
            np.linalg.cholesky(pivot)
            link = second[np.ix_(block, blocks[k + 1] if k + 1 < len(blocks) else block[:0])]
            solved.append(np.asarray(np.linalg.solve(pivot, np.column_stack((link, rest))), float))
    except np.linalg.LinAlgError:
        return None
    step = np.zeros(len(first))
    later = np.zeros(0)
    for block, each in zip(reversed(blocks), reversed(solved), strict=True):
        later = step[block] = each[:, -1] - each[:, :-1] @ later
    return step


def vertex_bands(triangles: IntArray, first: Iterable[int], count: int) -> tuple[IntArray, ...]:
    """Vertices by distance from some of them; a band is two rings of triangles, as far as bending reaches."""
    near: list[set[int]] = [set() for _ in range(count)]
    for triangle in triangles.tolist():
        for v in triangle:
            near[v].update(triangle)
    ring, seen, rings = set(first), set(first), []
    while ring:
        rings.append(sorted(ring))
        ring = {w for v in ring for w in near[v]} - seen
        seen |= ring
    rings.append(sorted(set(range(count)) - seen))
    pairs = [rings[k] + (rings[k + 1] if k + 1 < len(rings) else []) for k in range(0, len(rings), 2)]
    return tuple(np.array(pair, int) for pair in pairs if pair)

"""Nets of solids for tests: unfolded from the corners of the solid, written in the language of tutorials.

Nothing here knows how the code under test folds: a solid is a list of corners
and faces, its net a tree of faces, its seams the edges that the tree leaves.
"""
from __future__ import annotations

import itertools
import math
from collections import deque
from dataclasses import dataclass

import numpy as np

from generator.folding import FoldedPlan, fold
from tests.paper.statement_evaluation import made

GOLDEN = (1 + math.sqrt(5)) / 2


@dataclass(frozen=True)
class Solid:
    """Corners (n × 3) and faces, each a row of corners counter-clockwise seen from outside."""

    corners: np.ndarray
    faces: tuple[tuple[int, ...], ...]

    @property
    def edge(self) -> float:
        a, b = self.faces[0][:2]
        return float(np.linalg.norm(self.corners[a] - self.corners[b]))


def solid(corners) -> Solid:
    """The convex solid with these corners.

    Its faces are found by trying every plane through three of them.
    """
    xyz = np.array(corners, float)
    xyz -= xyz.mean(axis=0)
    faces = set()
    for three in itertools.combinations(range(len(xyz)), 3):
        a, b, c = xyz[list(three)]
        normal = np.cross(b - a, c - a)
        if np.linalg.norm(normal) < 1e-9 or abs(normal @ a) < 1e-9:
            continue
        normal *= np.sign(normal @ a) / np.linalg.norm(normal)
        if (xyz @ normal).max() <= normal @ a + 1e-9:
            faces.add(_round(xyz, np.flatnonzero(xyz @ normal > normal @ a - 1e-9), normal))
    return Solid(xyz, tuple(sorted(faces)))


def _round(xyz: np.ndarray, on: np.ndarray, normal: np.ndarray) -> tuple[int, ...]:
    middle = xyz[on].mean(axis=0)
    u = xyz[on[0]] - middle
    v = np.cross(normal, u)
    order = on[np.argsort([math.atan2((p - middle) @ v, (p - middle) @ u) for p in xyz[on]])].tolist()
    first = order.index(min(order))
    return tuple(order[first:] + order[:first])


def _signs(*sizes):
    return [p for p in itertools.product(*((s, -s) if s else (0,) for s in sizes))]


def _even(point):
    x, y, z = point
    return [(x, y, z), (y, z, x), (z, x, y)]


TETRAHEDRON = solid([(1, 1, 1), (1, -1, -1), (-1, 1, -1), (-1, -1, 1)])
CUBE = solid(_signs(1, 1, 1))
OCTAHEDRON = solid([q for p in _signs(1, 0, 0) for q in _even(p)])
DODECAHEDRON = solid(_signs(1, 1, 1) + [q for p in _signs(0, 1 / GOLDEN, GOLDEN) for q in _even(p)])
ICOSAHEDRON = solid([q for p in _signs(0, 1, GOLDEN) for q in _even(p)])
CUBOCTAHEDRON = solid([q for p in _signs(1, 1, 0) for q in _even(p)])
TRUNCATED_OCTAHEDRON = solid(sorted({q for p in _signs(0, 1, 2) for q in itertools.permutations(p)}))


def net_text(body: Solid) -> str:
    """Statements that draw the net of a solid with regular faces, fold it and close it.

    They do not say how far it folds.
    """
    lines, place, seen = [], {0: list(body.faces[0])}, {0}
    lines.append(f"f0 = panel(ngon({'_'.join(['n', str(len(body.faces[0]))])}, side=edge), up=printed)")
    queue, joined = deque([0]), set()
    while queue:
        host = queue.popleft()
        for k, (a, b) in enumerate(_sides(place[host])):
            other = next(j for j, f in enumerate(body.faces) if (b, a) in set(_sides(list(f))))
            if other in seen:
                continue
            seen.add(other)
            queue.append(other)
            ring = list(body.faces[other])
            first = ring.index(b)
            place[other] = ring[first:] + ring[:first]      # its first edge runs from b to a
            joined.add(frozenset((a, b)))
            lines.append(f"f{other} = attach(f{host}.edges[{k + 1}], ngon(n_{len(ring)}, side=edge))")
    where = {(a, b): (f, k + 1) for f, ring in place.items() for k, (a, b) in enumerate(_sides(ring))}
    for (a, b), (f, k) in sorted(where.items()):
        if a < b and frozenset((a, b)) not in joined:
            g, j = where[b, a]
            lines.append(f"seam(f{f}.edges[{k}], f{g}.edges[{j}])")
    folds = [f"fold(f{f}.hinge, mountain)" for f in place if f]
    return "\n".join(line for line in [*lines, *folds] if line)


def _sides(ring: list[int]) -> list[tuple[int, int]]:
    return list(zip(ring, ring[1:] + ring[:1], strict=False))


def folded_solid(body: Solid, edge: int = 30) -> FoldedPlan:
    """A solid, unfolded on paper and folded again by closing its seams."""
    counts = {f"n_{k}": k for k in {len(f) for f in body.faces}}
    return fold(made(net_text(body), counts, edge=edge).plan)

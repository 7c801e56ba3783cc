"""A tray with splayed walls as the solver folds it, against trigonometry (check-values, row 29)."""
from __future__ import annotations

import math

import numpy as np
import pytest

from generator.folding import FoldedPiece, fold
from generator.tutorial import load
from tests.folding.sample_boxes import BENCHES, ROOT, TRAY, codes, folded

LONG, SHORT = 120, 80       # mm


def corners(piece: FoldedPiece) -> tuple[np.ndarray, list[np.ndarray]]:
    """The corners of the floor, and of the walls round it."""
    rings = [piece.corners(k) for k in range(len(piece.flat.panels))]
    floor = min(range(len(rings)), key=lambda k: sum(
        np.linalg.norm(rings[k].mean(axis=0) - ring.mean(axis=0)) for ring in rings))
    return rings[floor], [ring for k, ring in enumerate(rings) if k != floor]


def plane(ring: np.ndarray, inside: np.ndarray) -> np.ndarray:
    """The unit normal of a flat ring of corners, towards a point inside the box."""
    normal = np.cross(ring[1] - ring[0], ring[2] - ring[0])
    normal /= np.linalg.norm(normal)
    return normal * np.sign(normal @ (inside - ring[0]))


def inner_angle(one: np.ndarray, other: np.ndarray, inside: np.ndarray) -> float:
    """Between two walls as seen from inside, in degrees: half a turn less the angle between their normals."""
    return 180 - math.degrees(math.acos(plane(one, inside) @ plane(other, inside)))


# 9, 40, 41 and 20, 21, 29 are right-angled; the degrees were worked out by hand
@pytest.mark.parametrize(("splay", "rise", "slant", "floor_degrees", "wall_degrees"), [
    (9, 40, 41, 102.6804, 92.7619), (20, 21, 29, 133.6028, 118.4000), (0, 40, 40, 90, 90)])
def test_angles_and_rim_of_the_folded_tray(splay, rise, slant, floor_degrees, wall_degrees):
    """Floor to wall 90° + atan(s/h), wall to wall 180° − acos(s²/l²), the rim level, s out and h up.

    Nothing says how far the walls fold: the seams between them do.
    """
    done = folded(TRAY, long=LONG, short=SHORT, rise=rise, splay=splay)
    floor, walls = corners(done.pieces[0])
    up = np.cross(floor[1] - floor[0], floor[2] - floor[0])
    up /= np.linalg.norm(up) * np.sign(up @ (walls[0].mean(axis=0) - floor[0]))
    inside = floor.mean(axis=0) + rise / 2 * up
    assert codes(done) == [] and len(walls) == 4 and math.hypot(splay, rise) == slant
    leaning = [inner_angle(floor, wall, inside) for wall in walls]
    assert leaning == pytest.approx([floor_degrees] * 4, abs=1e-4)
    assert 90 + math.degrees(math.atan2(splay, rise)) == pytest.approx(floor_degrees, abs=1e-4)
    between = sorted(inner_angle(one, other, inside) for k, one in enumerate(walls) for other in walls[:k])
    assert between[2:] == pytest.approx([wall_degrees] * 4, abs=1e-4)
    assert 180 - math.degrees(math.acos(splay ** 2 / slant ** 2)) == pytest.approx(wall_degrees, abs=1e-4)
    rim = np.array([corner for wall in walls for corner in wall if (corner - floor[0]) @ up > rise / 2])
    assert (rim - floor[0]) @ up == pytest.approx(np.full(8, rise), abs=1e-4)
    far = np.linalg.norm(rim - inside - ((rim - inside) @ up)[:, None] * up, axis=1)
    assert far == pytest.approx(np.full(8, math.hypot(LONG / 2 + splay, SHORT / 2 + splay)), abs=1e-4)


@pytest.mark.parametrize("system", ["mm", "in"])
def test_the_walls_of_the_tutorial_meet_when_they_are_raised(system):
    """The tray of the small sources says how far it folds: corners of neighbouring walls are one point."""
    tutorial = load(ROOT / "tests" / "sources" / "tray.md", "tray.md", BENCHES).tutorial
    plan = next(edition for edition in (tutorial.drawn, tutorial.regauged) if edition.system == system)
    piece, = fold(plan).pieces
    assert {"seam", "glue"} <= {r.kind for r in piece.residuals}
    assert max(r.gap for r in piece.residuals) < 1e-6
    walls = [piece.corners(p.id) for p in piece.flat.panels if p.polygon.area > 1200]
    assert len(walls) == 5
    tips = np.concatenate(walls)
    shared = np.linalg.norm(tips[:, None] - tips[None], axis=2) < 1e-6
    assert sorted(np.unique(np.round(tips, 4), axis=0).shape) == [3, 8] and set(shared.sum(axis=0)) == {2, 3}

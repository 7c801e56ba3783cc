"""A pouch: two faces bent along the curves of their ends, each end flap the mirror image of its face.

A face that is bent about lines along the pouch is a cylinder, and a plane
across it cuts it in a curve. Mirrored in that plane the rest of the cylinder
is the end flap: lengths are kept and the curve is the fold (Fuchs and
Tabachnikov 1999: the osculating plane, here that plane, bisects the tangent
planes). With f(s) the depth by which the scored curve dips into the face, at s
mm from its side, and a plane that falls 1 mm for every c mm along the pouch, the
face rises to z(s) = f(s)/c, its half width has dx/ds = √(1 − z′²), and the flap
hangs along (0, (c² − 1)/(c² + 1), −2c/(c² + 1)). At c = 1 flaps of both faces
stand upright in one surface, so that is how they lie on each other. mm.
"""
from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence

import numpy as np
import shapely
from shapely import Polygon

from generator.dataclass import dataclass, replace
from generator.folding.bending.bays import is_curved
from generator.folding.bending.equilibrium import green_strains
from generator.folding.bending.gathering import smooth_patches
from generator.folding.bending.meshing import (
    MeshTooLarge,
    counter_clockwise,
    doubled_areas,
    mesh_layout,
    triangulated,
)
from generator.folding.bending.pouch_plan import (
    BEYOND_ANY_PIECE,
    CURVE_SAMPLES,
    SIDE_TOLERANCE,
    PouchPlan,
    half_widths,
)
from generator.folding.records import BentSurface, FlatMap
from generator.geometry.arrays import FloatArray
from generator.geometry.strokes import polyline, ring_points
from generator.geometry.tolerances import LINE_TOLERANCE, MESH_CHORD_TOLERANCE
from generator.paper.records import PieceState, Plan

POUCH_POINTS = 420        # of the mesh
FACE_STRIPS = 10        # strips of a face, each nearly flat
STRAIGHT_COSINE = 0.95      # cosine; a line that turns by more has a corner there
# by how much the flaps that are pushed in first lean inward, so that the others lie on them, and the tab, so
# that it lies under its face
FLAP_LEAN = 0.03
# common practice, no source: how far the sides rest folded before the seam holds them, and how far the faces
# swell when it does
SPRUNG_SIDES, SWOLLEN_SEAM = 0.8, 0.12


def pouch_surface(tube: PouchPlan, state: PieceState, flat: FlatMap) -> BentSurface | None:
    """The skin of a pouch; None where it would take too many triangles."""
    area = Polygon(ring_points((r.stroke for r in state.outline), MESH_CHORD_TOLERANCE))
    lines = [(polyline(r.stroke, MESH_CHORD_TOLERANCE), "rim") for r in state.outline]
    lines += [(polyline(run, MESH_CHORD_TOLERANCE), "fold") for f in state.folds for run in f.runs]
    # a triangle across one would be lit by chance
    lines += [(line, "ruling") for line in _ruling_lines(tube, area)]
    try:
        mesh = triangulated(mesh_layout(area, lines),
                            float(np.sqrt(2 * area.area / np.sqrt(3) / POUCH_POINTS)))
    except MeshTooLarge:
        return None
    points = pouch_points(tube, mesh.flat)
    triangles = counter_clockwise(mesh.flat, mesh.triangles)
    each = np.abs(np.linalg.eigvalsh(green_strains(mesh.flat, triangles, points)))
    area_of = np.abs(doubled_areas(mesh.flat, triangles))
    strain = float(np.sqrt((area_of * (each ** 2).mean(axis=1)).sum() / area_of.sum())), float(each.max())
    folds, rims = (_merged_rows(mesh.on(kind), mesh.flat) for kind in ("fold", "rim"))
    spots = shapely.points(mesh.flat[triangles].mean(axis=1))
    panel = shapely.STRtree([p.polygon for p in flat.panels]).nearest(spots)
    return BentSurface(mesh.flat, points, triangles, smooth_patches(triangles, folds), folds, rims,
                       np.asarray(panel), strain)


def _ruling_lines(tube: PouchPlan, area: Polygon) -> list[FloatArray]:
    """Lines along the faces, along which they do not bend."""
    way = np.array((tube.along, -tube.along)) * BEYOND_ANY_PIECE
    even = np.arange(1, FACE_STRIPS) / FACE_STRIPS
    # closer at the sides, where the faces bend most
    shares = (even + (1 - np.cos(np.pi * even)) / 2) / 2
    feet = [edge + (far - edge) * share for edge,
            far in ((tube.first, tube.fold), (tube.fold, tube.last)) for share in shares]
    within = [shapely.intersection(area, shapely.LineString(foot * tube.across + way)) for foot in feet]
    return [shapely.get_coordinates(line) for line in within if line.geom_type == "LineString"
            and not line.is_empty]


def _merged_rows(rows: Sequence[tuple[int, ...]], flat: FloatArray) -> tuple[tuple[int, ...], ...]:
    """Rows of vertices that go straight on where only a ruling met them, each as one row."""
    done: list[tuple[int, ...]] = []
    left = list(rows)
    ends = Counter(row[end] for row in rows for end in (0, -1))
    while left:
        row, grown = left.pop(), True
        while grown:
            row, grown = _extended_row(row, left, ends, flat)
            if not grown:
                row, grown = _extended_row(row[::-1], left, ends, flat)
        done.append(row)
    return tuple(done)


def _extended_row(row: tuple[int, ...], left: list[tuple[int, ...]], ends: Counter[int],
                  flat: FloatArray) -> tuple[tuple[int, ...], bool]:
    """A row with the one that goes on from its last vertex, which leaves ``left``; whether there was one."""
    for k, other in enumerate(left):
        way = other if other[0] == row[-1] else other[::-1]
        if way[0] == row[-1] and ends[way[0]] == 2 and _is_straight_on(*flat[[row[-2], row[-1], way[1]]]):
            left.pop(k)
            return row + way[1:], True
    return row, False


def _is_straight_on(before: FloatArray, at: FloatArray, after: FloatArray) -> bool:
    one, other = at - before, after - at
    return bool(one @ other > STRAIGHT_COSINE * np.hypot(*one) * np.hypot(*other))


@dataclass(frozen=True, slots=True)
class PouchShape:
    """A pouch after a step: how far its sides are ``folded`` and its faces swell, from 0 to 1.

    The flaps of those ``ends``, the low and the high one, are pushed in.
    """

    step: int
    folded: float
    pushed: float
    ends: tuple[bool, bool]


def pouch_course(tube: PouchPlan, plan: Plan, state: PieceState) -> tuple[PouchShape, ...]:
    """The pouch after each step that changes its shape, in order."""
    steps: dict[str, int] = {}
    middle = (tube.low + tube.high) / 2
    for fold in state.folds:
        end = "sides"
        if all(map(is_curved, fold.runs)):
            end = "high" if float((polyline(fold.runs[0]) @ tube.along).mean()) > middle else "low"
        steps[end] = max(fold.step, steps.get(end, 0))
    steps["seam"] = next(act.step for act in plan.acts if act.number == tube.seam)
    course = []
    for step in sorted(set(steps.values())):
        ends = steps["low"] <= step, steps["high"] <= step
        seamed = steps["seam"] <= step
        pushed = 1.0 if any(ends) else SWOLLEN_SEAM if seamed and steps["sides"] <= step else 0.0
        folded = 0.0 if steps["sides"] > step else 1.0 if seamed or any(ends) else SPRUNG_SIDES
        course.append(PouchShape(step, folded, pushed, ends))
    return tuple(course)


def pouch_after(tube: PouchPlan, surface: BentSurface, shape: PouchShape) -> BentSurface:
    """The skin of a pouch in one of its shapes; the curves of ends that are not pushed in are still flat."""
    points = pouch_points(tube, surface.flat, shape.folded, shape.pushed, shape.ends)
    rows = {row: surface.flat[list(row)] for row in surface.folds}
    middle = (tube.low + tube.high) / 2
    marks = tuple(row for row, xy in rows.items() if np.ptp(xy @ tube.across) > LINE_TOLERANCE
                  and not shape.ends[int((xy @ tube.along).mean() > middle)])
    return replace(surface, points=points, marks=marks,
                   folds=tuple(row for row in surface.folds if row not in marks))


def pouch_points(tube: PouchPlan, flat: FloatArray, folded: float = 1.0, pushed: float = 1.0,
                 ends: tuple[bool, bool] = (True, True)) -> FloatArray:
    """Points of the flat plan (n × 2) where a pouch is ``folded`` and ``pushed`` in so far, each from 0 to 1.

    In space x runs across, y along and z up from the middle of the pouch. Folded flat and pushed in by 1/c
    it is the cylinder above; at 1 and 1 it is finished. Where one of its ``ends`` is not pushed in, the low
    or the high one, the cylinder goes on.
    """
    u, v = flat @ tube.across, flat @ tube.along
    turn = 1.0 if tube.last > tube.first else -1.0      # the way from the first face to the second
    # 0 to w the first face, to 2w the second, then the tab under the first
    way = (u - tube.first) * turn
    face = np.floor(np.clip(way / tube.width, 0, 2.999))
    face = np.where(np.abs(way - 2 * tube.width) < SIDE_TOLERANCE, 1.0, face)
    s = np.clip(way - face * tube.width, 0.0, tube.width)
    places, x = np.linspace(0, tube.width, CURVE_SAMPLES), half_widths(tube, pushed)
    depth, reach = np.interp(s, places, tube.depth), np.interp(s, places, x)
    high = v > (tube.low + tube.high) / 2
    edge = np.where(high, tube.high - depth, tube.low + depth)
    beyond = np.maximum(np.where(high, v - edge, edge - v), 0.0)
    flap = pushed * np.where(high, *reversed(ends))
    rise = depth * pushed - beyond * 2 * flap / (1 + flap ** 2)
    on = beyond * (1 - flap ** 2) / (1 + flap ** 2)
    along = np.where(beyond > 0, edge + np.where(high, on, -on), v) - (tube.low + tube.high) / 2
    along += np.where((face == 1) & (beyond > 0), np.where(high, -FLAP_LEAN, FLAP_LEAN) * beyond * flap,
                      0.0)
    across, lifted = _around_pouch(face, reach, rise, x[-1], math.pi * folded)
    return np.column_stack([turn * across, along, lifted * tube.outer])


def _around_pouch(face: FloatArray, reach: FloatArray, rise: FloatArray, wide: float,
                  angle: float) -> tuple[FloatArray, FloatArray]:
    """Across and up: the first face still, the second about its far side, the tab about that one's."""
    flat = np.array((-wide / 2, 0.0)) + np.stack([reach, rise], axis=1)
    fold = np.array((wide / 2, 0.0))
    hem = fold + wide * np.array((math.cos(angle), -math.sin(angle)))
    tab_angle = (2 + FLAP_LEAN / math.pi) * angle

    def swung(pivot: FloatArray, turned: float) -> FloatArray:
        ahead, up = np.array((math.cos(turned),
                              -math.sin(turned))), np.array((math.sin(turned), math.cos(turned)))
        result: FloatArray = pivot + reach[:, None] * ahead + rise[:, None] * up
        return result
    bent = np.where((face == 0)[:, None], flat,
                    np.where((face == 1)[:, None], swung(fold, angle), swung(hem, tab_angle)))
    return bent[:, 0], bent[:, 1]

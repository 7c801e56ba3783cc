"""Measures of a folded piece: its size, its volume, and what goes into it. All in mm and mm³."""
from __future__ import annotations

import math
from collections.abc import Sequence, Set

import numpy as np
import shapely
from shapely import Polygon

from generator.dataclass import dataclass, replace
from generator.folding.contents_fit import largest_contents
from generator.folding.features.floors import floors
from generator.folding.features.tops import top_of
from generator.folding.kinematics import linkage
from generator.folding.piece_context import PieceContext, has_undetermined_path
from generator.folding.records import FoldedPiece, LeaningWall, PieceDimensions, Pouch, placed_points
from generator.folding.rigid_folding import overlap_share, parallel_ring
from generator.geometry.arrays import FloatArray
from generator.geometry.ties import first_largest
from generator.geometry.tolerances import (
    CLOSING_TOLERANCE,
    EQUAL_LENGTHS,
    FLAT_FOLD_ANGLE,
    POINT_TOLERANCE,
    RIM_TOLERANCE,
    SURFACE_TOLERANCE,
    UPRIGHT_COSINE,
)

MAX_SCRAP_SHARE = 0.05        # share of the paper; what swings freely and is less changes no size
MAX_OPEN_SHARE = 1e-3         # of the surface; a mesh that leaves more open encloses no room
MAX_PAIRWISE_POINTS = 400          # points that are compared each with each


@dataclass(frozen=True, slots=True, eq=False)
class _GroundPlane:
    """The floor a piece stands on: a polygon in its plane's frame (4 × 4), its flaps, its layers."""

    frame: FloatArray
    outline: Polygon
    flaps: tuple[int, ...]
    layers: int = 1


def dimensions_of(context: PieceContext) -> PieceDimensions | None:
    """The figures of a piece that closes; None for one that folding does not judge."""
    folded = context.folded
    rigid = [k for k in range(len(folded.flat.panels)) if context.is_rigid(k)]
    if not context.closes() or not rigid or not folded.flat.hinges:
        return None
    ground = _ground_plane(context)
    axes = _axes(context, ground, rigid)
    surface, free_panels = folded.surface, _free_panels(context, rigid)
    settled = _is_negligible(context, free_panels)
    measured = [k for k in rigid if k not in free_panels] if settled else rigid
    points = np.concatenate([*(folded.corners(k) for k in measured),
                             *(() if surface is None else (surface.points,))]) @ axes.T
    wide, deep, high = (float(x) for x in np.ptp(points, axis=0))
    size = wide, deep, high
    if ground is None:
        result = PieceDimensions(size, _closed_volume(_boundary_surface(context, rigid, None)))
    else:
        result = _standing_dimensions(context, rigid, ground, axes, size)
    # not so a ball of panels, which only happens to lie on one
    stands = result.fit is not None or bool(floors(context))
    widths, heights = _extents(points, [folded.normal(k) @ axes.T for k in measured], stands)
    return replace(result, axes=tuple((float(x), float(y), float(z)) for x, y, z in axes), settled=settled,
                   stands_on_floor=stands, widths=widths, heights=heights,
                   whole=surface is not None or len(rigid) == len(folded.flat.panels))


def _free_panels(context: PieceContext, rigid: Sequence[int]) -> set[int]:
    """Panels that nothing holds, but for rings, which are set up even and folded so."""
    rings = (parallel_ring(context.link, each) for each in context.glued)
    even = {int(k) for ring in rings if ring is not None for k in ring}
    free = [k for k in context.folded.undetermined if k not in even]
    return {k for k in rigid if context.link.paths[k, free].any()}


def _is_negligible(context: PieceContext, free_panels: Set[int]) -> bool:
    """Whether what swings freely changes no size: scraps, and the gussets of a top that are tucked in.

    A gathered petal's two edges come to lie on those of its neighbours, so that
    a gusset hangs folded between them and swings about one line, inside the box.
    """
    area = {k: context.folded.flat.panels[k].polygon.area for k in free_panels}
    top = top_of(context)
    if top is not None and top.closes and top.tucked:
        half = top.crown.width * top.crown.height / 4
        area = {k: size for k, size in area.items() if size > half * (1 + SURFACE_TOLERANCE)}
    return sum(area.values()) <= MAX_SCRAP_SHARE * sum(panel.polygon.area
                                                       for panel in context.folded.flat.panels)


def _extents(points: FloatArray, normals: Sequence[FloatArray],
             stands: bool) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """The extents by which a box is measured: along and across its plan, corner to corner, and upwards.

    What stands on no floor is measured across its panels and from corner to corner, as high as wide.
    """
    if not stands and np.ptp(points, axis=0).min() <= CLOSING_TOLERANCE:
        # folded flat: measured in its plane, and as wide as high
        plane = points[:, np.sort(np.argsort(np.ptp(points, axis=0))[1:])]
        return (_plane_extents(plane),) * 2
    if not stands:
        both = *np.ptp(points @ np.array(normals).T, axis=0), _diameter(points)
        return _distinct_extents(both), _distinct_extents(both)
    return _plane_extents(points[:, :2]), (float(np.ptp(points[:, 2])),)


def _plane_extents(points: FloatArray) -> tuple[float, ...]:
    """Along and across each side of the outline of points in a plane; of many sides also corner to corner."""
    hull = shapely.get_coordinates(shapely.convex_hull(shapely.multipoints(points)))
    steps = np.diff(hull, axis=0)
    along = steps / np.maximum(np.hypot(*steps.T), POINT_TOLERANCE)[:, None]
    across = np.stack([-along[:, 1], along[:, 0]], axis=1)
    widths = np.ptp(hull @ np.concatenate([along, across]).T, axis=0)
    # nobody measures a rectangle from corner to corner
    round_ = [_diameter(hull)] if len(steps) > 4 else []
    return _distinct_extents((*widths, *round_))


def _distinct_extents(extents: Sequence[float]) -> tuple[float, ...]:
    """Each different extent once, the least first."""
    return tuple(sorted({round(float(mm), 6) for mm in extents}))


def _diameter(points: FloatArray) -> float:
    """The greatest distance of two points; of very many only those that stick out are compared."""
    if len(points) > MAX_PAIRWISE_POINTS:
        directions = np.random.default_rng(0).standard_normal((MAX_PAIRWISE_POINTS, points.shape[1]))
        points = points[np.unique((points @ directions.T).argmax(axis=0))]
    return float(np.linalg.norm(points[:, None] - points[None], axis=2).max())


def _ground_plane(context: PieceContext) -> _GroundPlane | None:
    found = floors(context)
    if found:
        floor = found[-1]
        return _GroundPlane(context.folded.frames[floor.base], floor.outline, floor.flaps, max(floor.pile, 1))
    root = context.link.root
    around = [h for h in context.folded.flat.hinges_of(root)
              if 1e-3 < context.folded.angles[h.id] < FLAT_FOLD_ANGLE]
    if len(around) < 3 or any(s.panel == root for s in context.glued):
        return None
    lining = {s.panel for s in context.glued if s.paired and s.target_panel == root}
    return _GroundPlane(context.folded.frames[root], context.folded.flat.panels[root].polygon, (root,),
                        1 + len(lining))


def _axes(context: PieceContext, ground: _GroundPlane | None, rigid: Sequence[int]) -> FloatArray:
    """Rows across, deep, up: away from the floor; without one along hinges, or off the largest panel."""
    folded = context.folded
    if ground is None:
        root = linkage(folded.flat).root
        along = folded.frames[root][:3, :2] @ _longest_edge(folded.flat.panels[root].polygon)
        post = _post_direction(folded, rigid)
        if post is None:
            return _axis_triad(folded.normal(root), along)
        across = np.cross(post, folded.normal(root))
        return _axis_triad(post, across if np.linalg.norm(across) > UPRIGHT_COSINE else along)
    middle = np.concatenate([folded.corners(k) for k in rigid]).mean(axis=0)
    up = ground.frame[:3, 2]
    up = up if up @ (middle - ground.frame[:3, 3]) >= -EQUAL_LENGTHS else -up
    return _axis_triad(up, ground.frame[:3, :2] @ _longest_edge(ground.outline))


def _post_direction(folded: FoldedPiece, rigid: Sequence[int]) -> FloatArray | None:
    """The posts of a sleeve: the direction of most of the folded length, and of at least three folds."""
    rows = [(h, folded.frames[h.left][:3, :2] @ h.direction) for h in folded.flat.hinges
            if h.left in rigid]
    if not rows:
        return None
    best = rows[first_largest(sum(h.length for h, d in rows if abs(d @ way) > 1 - UPRIGHT_COSINE)
                              for _, way in rows)]
    same = [h.length for h, d in rows if abs(d @ best[1]) > 1 - UPRIGHT_COSINE]
    return best[1] if len(same) > 2 and 2 * sum(same) > sum(h.length for h, _ in rows) else None


def _axis_triad(up: FloatArray, across: FloatArray) -> FloatArray:
    across = across / np.linalg.norm(across)
    return np.array((across, np.cross(up, across), up))


def _longest_edge(polygon: Polygon) -> FloatArray:
    steps = np.diff(np.asarray(polygon.exterior.coords), axis=0)
    result: FloatArray = steps[first_largest(np.hypot(*steps.T))]
    return result


def _boundary_surface(context: PieceContext, rigid: Sequence[int],
                      ground: _GroundPlane | None) -> list[FloatArray]:
    """The corners of every part of the surface that bounds the inside: no glued tab, one floor."""
    folded = context.folded
    left_out = set(ground.flaps if ground else ())
    for each in context.glued:
        if (each.paired and each.panel != each.target_panel
            and overlap_share(folded.flat, folded.frames, each.panel, each.target_panel) > 0.5):
            left_out.add(each.panel)
    walls = [folded.corners(k) for k in rigid if k not in left_out]
    floor = []
    if ground:
        outline = np.asarray(shapely.orient_polygons(ground.outline).exterior.coords)[:-1]
        floor.append(placed_points(ground.frame, outline))
    closed = [*walls, *floor]
    # flaps that swing freely bound nothing
    if np.linalg.norm(_area_defect(closed)) > SURFACE_TOLERANCE * _surface_area(closed):
        paths = context.link.paths
        settled = [folded.corners(k) for k in rigid if k not in left_out
                   and not has_undetermined_path(folded, paths, k)]
        body = [*settled, *floor]
        if (len(settled) > 2
            and np.linalg.norm(_area_defect(body)) <= SURFACE_TOLERANCE * _surface_area(closed)):
            return body
    return closed


def _area_vectors(corners: FloatArray) -> FloatArray:
    """Area vectors of the triangles of a fan, n × 3; by the winding, so that hollows count negative.

    Of many fans (m × corners × 3), as all below take them beside single ones, m × n × 3.
    """
    first = corners[..., :1, :]
    return np.cross(corners[..., 1:-1, :] - first, corners[..., 2:, :] - first) / 2


def _area_defect(body: Sequence[FloatArray]) -> FloatArray:
    return sum((_area_vectors(c).reshape(-1, 3).sum(axis=0) for c in body), np.zeros(3))


def _surface_area(body: Sequence[FloatArray]) -> float:
    return sum(float(np.linalg.norm(_area_vectors(c).sum(axis=-2), axis=-1).sum()) for c in body)


def _cone_volume(body: Sequence[FloatArray], origin: FloatArray) -> float:
    """The volume between a surface and a point, by the divergence theorem."""
    total = 0.0
    for corners in body:
        middles = (corners[..., :1, :] + corners[..., 1:-1, :] + corners[..., 2:, :]) / 3
        total += float((_area_vectors(corners) * (middles - origin)).sum())
    return abs(total) / 3


def _closed_volume(body: Sequence[FloatArray]) -> float | None:
    if len(body) < 4 or np.linalg.norm(_area_defect(body)) > SURFACE_TOLERANCE * _surface_area(body):
        return None
    return _cone_volume(body, body[0][0])


def _standing_dimensions(context: PieceContext, rigid: Sequence[int], ground: _GroundPlane, axes: FloatArray,
                         size: tuple[float, float, float]) -> PieceDimensions:
    """Figures of a piece with a floor: closed, or open above with an even rim."""
    folded, up = context.folded, axes[2]
    base = ground.frame[:3, 3]
    beside = {h.other(k) for k in ground.flaps for h in folded.flat.hinges_of(k)} - set(ground.flaps)
    # not the corners folded into the floor
    walls = sorted(k for k in beside if abs(folded.normal(k) @ up) < 1 - UPRIGHT_COSINE)
    tops = np.array([((folded.corners(k) - base) @ up).max() for k in walls if context.is_rigid(k)])
    body = _boundary_surface(context, rigid, ground)
    volume, room = _closed_volume(body), None
    if len(tops) and np.ptp(tops) < RIM_TOLERANCE and tops.max() > RIM_TOLERANCE:
        room = float(tops.max())
        gap = _area_defect(body)
        # nothing stands above the rim, or soft paper only
        above = room > size[2] - RIM_TOLERANCE or len(rigid) < len(folded.flat.panels)
        if volume is None and np.linalg.norm(np.cross(gap, up)) <= 1e-6 * np.linalg.norm(gap) and above:
            volume = _cone_volume(body, base + room * up)
    domed = None if room is None else _volume_under_dome(context, body, base + room * up, up)
    volume = volume if domed is None else domed
    fits = room is not None and (all(abs(folded.normal(k) @ up) < UPRIGHT_COSINE for k in walls
                                     if context.is_rigid(k)) or room > size[2] - RIM_TOLERANCE)
    inside = ground.outline.buffer(-context.thickness, join_style="mitre")
    clear = (room or 0.0) - ground.layers * context.thickness
    if not fits or not isinstance(inside, Polygon) or inside.is_empty or clear <= 0:
        return PieceDimensions(size, volume)
    slopes = _leaning_walls(context, walls, ground, up)
    top = context.folded.dome or top_of(context)
    soft = None
    if top is not None and top.stands is not None and volume is not None:
        paper = (ground.layers + 1) * context.thickness
        soft = (clear + top.stands - context.thickness,
                volume * inside.area / ground.outline.area - paper * inside.area)
    return PieceDimensions(size, volume, largest_contents(inside, clear, slopes), inside,
                           (*_floor_extents(inside), clear), slopes=slopes, soft_room=soft)


def _volume_under_dome(context: PieceContext, body: Sequence[FloatArray], shoulder: FloatArray,
                       up: FloatArray) -> float | None:
    """What walls, floor and a held dome enclose; the opening in its middle is closed by a cone to its peaks.

    A gusset that is tucked in lies double and bounds nothing: its two halves cancel each other.
    """
    dome, surface = context.folded.dome, context.folded.surface
    if dome is None or surface is None or not dome.held:
        return None
    rigid = [k for k in range(len(context.folded.flat.panels)) if context.is_rigid(k)]
    bent = surface.points[surface.triangles[~np.isin(surface.panel, rigid)]]
    whole = [*body, bent]
    middle = body[-1].mean(axis=0)          # of the floor
    peaks = middle + ((shoulder - middle) @ up + dome.peak) * up
    hole = math.pi * (dome.opening / 2) ** 2
    gap = np.linalg.norm(_area_defect(whole)) - hole
    return _cone_volume(whole, peaks) if gap <= MAX_OPEN_SHARE * _surface_area(whole) else None


def _leaning_walls(context: PieceContext, walls: Sequence[int], ground: _GroundPlane,
                   up: FloatArray) -> tuple[LeaningWall, ...]:
    """The walls that lean in over the floor, as bounds in its plane and upwards from its uppermost layer."""
    base, middle = ground.frame[:3, 3], placed_points(ground.frame,
                                                      np.asarray(ground.outline.centroid.coords))[0]
    found = []
    for wall in (k for k in walls if context.is_rigid(k)):
        normal, corner = context.folded.normal(wall), context.folded.corners(wall)[0]
        outward = normal if normal @ (corner - middle) > 0 else -normal
        if outward @ up > UPRIGHT_COSINE:
            room = outward @ (
                corner - base) - context.thickness - outward @ up * ground.layers * context.thickness
            a, b = outward @ ground.frame[:3, :2]
            found.append((float(a), float(b), float(outward @ up), float(room)))
    return tuple(found)


def _floor_extents(floor: Polygon) -> tuple[float, float]:
    """Along the longest edge of a floor, and across it."""
    along = _longest_edge(floor) / np.hypot(*_longest_edge(floor))
    xy = shapely.get_coordinates(floor)
    return float(np.ptp(xy @ along)), float(np.ptp(xy @ np.array((-along[1], along[0]))))


def pouch_dimensions(pouch: Pouch) -> PieceDimensions | None:
    """The measures of a pouch that closes."""
    if not pouch.closes:
        return None
    extents = tuple(sorted(pouch.size))         # it has no floor, so it may lie on any side
    return PieceDimensions(pouch.size, pouch.volume, widths=extents, heights=extents, stands_on_floor=False,
                           axes=((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)))

"""What goes into a folded box.

The largest tin, box and ball over its floor, and whether a thing of a given size does. All in mm.

A wall that leans in over the floor is a bound ``(a, b, c, d)``: inside is
where ``a·x + b·y + c·z ≤ d``, x and y in the plane of the floor, z above it.
"""
from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

import numpy as np
import shapely
from shapely import Polygon, affinity

from generator.dataclass import dataclass
from generator.folding.records import ContentsLimits, LeaningWall, PieceDimensions
from generator.geometry.arrays import FloatArray
from generator.geometry.tolerances import POINT_TOLERANCE

MIN_ROOM_AREA = 1e-6    # mm²; a section smaller than this is none
MIN_UNEVEN_SHARE = 1e-6     # of a floor's area; one turned half round that leaves more is lopsided
DIRECTIONS = 91          # directions in which a box is tried in a floor
ASPECTS = np.tan(np.radians(np.linspace(3, 87, 85)))
HEIGHT_LEVELS = 24         # heights at which a tin and a box are tried under walls that lean in
BISECTIONS = 40
# of a floor that is lopsided, for a thing to be tried anywhere but about its middle
MAX_OFF_CENTRE_SIDES = 8


def largest_contents(floor: Polygon, height: float, slopes: Sequence[LeaningWall] = ()) -> ContentsLimits:
    """Largest upright cylinder, box and ball over a convex floor; of most volume under leaning walls."""
    if slopes:
        return _largest_under_walls(floor, height, slopes)
    radius = _inscribed_radius(floor)
    width, depth = largest_rectangle(floor)
    return ContentsLimits((2 * radius, height), (width, depth, height), min(2 * radius, height))


def _largest_under_walls(floor: Polygon, height: float, slopes: Sequence[LeaningWall]) -> ContentsLimits:
    """A thing that stands upright is as wide as the room is at its top."""
    levels = [(height * k / HEIGHT_LEVELS, room) for k in range(1, HEIGHT_LEVELS + 1)
              if (room := section(floor, slopes, height * k / HEIGHT_LEVELS)) is not None]
    tins = [(2 * _inscribed_radius(room), high) for high, room in levels]
    boxes = [(*largest_rectangle(room), high) for high, room in levels]
    return ContentsLimits(max(tins, key=lambda tin: tin[0] ** 2 * tin[1], default=(0.0, 0.0)),
                          max(boxes, key=np.prod, default=(0.0, 0.0, 0.0)),
                          _largest_ball(floor, height, slopes))


def _largest_ball(floor: Polygon, height: float, slopes: Sequence[LeaningWall]) -> float:
    """The largest ball that lies on the floor: its middle keeps its radius from every wall."""
    low, high = 0.0, height / 2
    for _ in range(BISECTIONS):
        radius = (low + high) / 2
        drawn_in = tuple((a, b, c, d - radius) for a, b, c, d in slopes)
        held = section(floor.buffer(-radius, join_style="mitre"), drawn_in, radius)
        low, high = (low, radius) if held is None else (radius, high)
    return 2 * low


def section(floor: Polygon, slopes: Sequence[LeaningWall], height: float) -> Polygon | None:
    """The room at this height above a convex floor; None where there is none left."""
    xy = shapely.get_coordinates(floor)[:-1]
    for a, b, c, d in slopes:
        over = xy @ (a, b) + c * height - d if len(xy) else np.zeros(0)
        clipped: list[FloatArray] = []
        for k, point in enumerate(xy):
            if (over[k] > 0) != (over[k - 1] > 0):
                clipped.append(xy[k - 1] + (point - xy[k - 1]) * over[k - 1] / (over[k - 1] - over[k]))
            if over[k] <= 0:
                clipped.append(point)
        xy = np.array(clipped).reshape(-1, 2)
    room = Polygon(xy) if len(xy) > 2 else Polygon()
    return None if room.is_empty or room.area < MIN_ROOM_AREA else room


def _inscribed_radius(room: Polygon) -> float:
    return float(shapely.maximum_inscribed_circle(room, tolerance=0.01).length)


@dataclass(frozen=True, slots=True, eq=False)
class _PolygonSides:
    """A convex polygon's sides: outward normals, distances from its middle, whether it is lopsided."""

    outward: FloatArray
    room: FloatArray
    lopsided: bool


def _polygon_sides(floor: Polygon) -> _PolygonSides:
    xy = np.asarray(shapely.orient_polygons(floor).exterior.coords)
    steps, middle = np.diff(xy, axis=0), np.asarray(floor.centroid.coords[0])
    outward = np.stack([steps[:, 1], -steps[:, 0]], axis=1) / np.hypot(*steps.T)[:, None]
    turned = affinity.rotate(floor, 180, origin="centroid")
    uneven = floor.symmetric_difference(turned).area > MIN_UNEVEN_SHARE * floor.area
    return _PolygonSides(outward, ((xy[:-1] - middle) * outward).sum(axis=1),
                         uneven and len(steps) <= MAX_OFF_CENTRE_SIDES)


def largest_rectangle(floor: Polygon) -> tuple[float, float]:
    """The largest rectangle in a convex polygon, the longer side first; tried in steps of 1°."""
    corners, sides = shapely.get_coordinates(floor), _polygon_sides(floor)
    best = (0.0, 0.0)
    for turn in np.radians(np.linspace(0, 90, DIRECTIONS)):
        xy = corners @ np.array(((np.cos(turn), -np.sin(turn)), (np.sin(turn), np.cos(turn))))
        wide, deep = np.ptp(xy, axis=0)
        aspects = np.append(ASPECTS, deep / wide)
        half = _largest_scales(sides, turn, np.ones_like(aspects), aspects)
        k = np.argmax(half * half * aspects)
        if 4 * half[k] ** 2 * aspects[k] > best[0] * best[1]:
            best = float(2 * half[k]), float(2 * half[k] * aspects[k])
    return max(best), min(best)


def _largest_scales(sides: _PolygonSides, turn: float, wide: FloatArray, deep: FloatArray) -> FloatArray:
    """How large rectangles of these half sides may grow in a convex polygon, wherever they lie in it.

    Nothing is larger than what lies about the middle of a polygon that is symmetric about it.
    """
    cosine, sine = np.cos(turn), np.sin(turn)
    across, along = np.abs(sides.outward @ (cosine, sine)), np.abs(sides.outward @ (-sine, cosine))
    reach = np.maximum(np.outer(wide, across) + np.outer(deep, along), 1e-12)
    central = np.min(sides.room / reach, axis=1)
    result: FloatArray = central
    if sides.lopsided:
        result = np.maximum(central, _scales_off_centre(sides.outward, sides.room, reach))
    return result


def _scales_off_centre(outward: FloatArray, room: FloatArray, reach: FloatArray) -> FloatArray:
    """The greatest scales within all sides, from every three that may be touched (linear programming)."""
    best = np.zeros(len(reach))
    for three in map(list, combinations(range(len(room)), 3)):
        sides = np.concatenate([np.broadcast_to(outward[three], (len(reach), 3, 2)), reach[:, three, None]],
                               axis=2)
        able = np.abs(np.linalg.det(sides)) > 1e-9
        found = np.linalg.solve(sides[able],
                                np.broadcast_to(room[three][:, None], (int(able.sum()), 3, 1)))[:, :, 0]
        feasible = (found[:, :2] @ outward.T + found[:, 2:] * reach[able] <= room + 1e-9).all(axis=1)
        best[able] = np.maximum(best[able], np.where(feasible, found[:, 2], 0.0))
    return best


def soft_goes_in(dimensions: PieceDimensions, width: float, depth: float | None,
                 height: float) -> bool | None:
    """Whether something that gives goes in: as a box, or a tin without a depth, up to the shoulder.

    Above it may be pressed into any shape: it is no higher than the middle of the top, and no larger than
    the room. Without a gathered top it stands as something stiff does.
    """
    high = height
    if dimensions.soft_room is not None and dimensions.inside is not None:
        area = width * depth if depth is not None else np.pi * width * width / 4
        tall, volume = dimensions.soft_room
        if height > tall + POINT_TOLERANCE or area * height > volume:
            return False
        high = min(height, dimensions.inside[2])
    return (round_goes_in(dimensions, width, high) if depth is None
            else box_goes_in(dimensions, width, depth, high))


def box_goes_in(dimensions: PieceDimensions, width: float, depth: float, height: float) -> bool | None:
    """Whether a box of this size goes in upright; None where what fits is not known."""
    if dimensions.fit is None or dimensions.floor is None or dimensions.inside is None:
        return None
    room = section(dimensions.floor, dimensions.slopes, height)
    if height > dimensions.inside[2] + POINT_TOLERANCE or room is None:
        return False
    sides, halves = _polygon_sides(room), (np.array([width / 2]), np.array([depth / 2]))
    return any(_largest_scales(sides, turn, *halves)[0] >= 1 - 1e-9
               for turn in np.radians(np.linspace(0, 180, 361)))


def round_goes_in(dimensions: PieceDimensions, diameter: float, height: float | None = None) -> bool | None:
    """Whether a tin, or a ball where there is no height, goes in upright; None where it is not known."""
    if dimensions.fit is None:
        return None
    if dimensions.slopes and height is None:
        return diameter <= dimensions.fit.ball + POINT_TOLERANCE
    if (dimensions.slopes and height is not None and dimensions.floor is not None
        and dimensions.inside is not None):
        room = section(dimensions.floor, dimensions.slopes, height)
        return (height <= dimensions.inside[2] + POINT_TOLERANCE and room is not None
                and diameter <= 2 * _inscribed_radius(room) + POINT_TOLERANCE)
    wide, tall = dimensions.fit.cylinder
    return diameter <= wide + POINT_TOLERANCE and (diameter
                                                   if height is None else height) <= tall + POINT_TOLERANCE

"""A ribbon as one line in space: in and out through its holes, or round a box; tied in a bow, or in a loop.

How large a bow is: common practice, no source.
"""
from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import shapely
from shapely import LineString, MultiPoint

from generator.geometry.arrays import FloatArray
from generator.geometry.tolerances import MIN_NORM

BOW_SHARE = 0.08            # of a ribbon: each loop of its bow
MIN_LOOP, MAX_LOOP = 6.0, 16.0      # mm
LOOP_WIDTH_SHARE = 0.4      # of its length, to either side
LOOP_RISE_SHARE = 0.25      # of its length, that a loop stands off the paper
KNOT_HEIGHT = 1.5           # mm off the paper
LOOP_POINTS = 11
MIN_COSINE = 0.3            # between the knot's way out of the box and that of a hole
END_LENGTH = 12.0           # mm of a ribbon that is not tied yet, beyond its last hole
PULL_SHARE = 0.35           # of a ribbon that is doubled through one hole and knotted inside
RIBBON_OFFSET = 0.5         # mm by which a ribbon lies off the paper
CORNER_ROUNDING = 0.3       # mm of a ribbon round a box that bend round an edge of it
SAME_CORNER = 0.6           # mm between corners of a ring of boxes that stand together
SIDE_BY_SIDE = 1.0          # mm; ends closer than this have no direction from one to the other

Exit = tuple[FloatArray, FloatArray]    # a hole in space, and the unit normal there that looks out of the box


def ribbon_line(exits: tuple[Exit, Exit], stretches: Sequence[FloatArray], length: float, down: FloatArray,
                tied: bool) -> FloatArray:
    """The line of a ribbon (n × 3) that starts and ends outside, ``stretches`` being its way between holes.

    ``length`` is that of the ribbon in mm, ``down`` the direction in which ends hang.
    """
    (first, normal), (last, other) = exits
    out = _unit(normal + other)
    if not stretches:
        across = _unit(np.cross(out, down))
        return _loop(first, PULL_SHARE * length, out, across)
    way = np.concatenate(stretches)
    reach = last - first
    reach = reach - (reach @ out) * out
    across = _unit(reach if np.linalg.norm(reach) > SIDE_BY_SIDE else np.cross(down, out))
    hang = np.cross(out, across)
    hang = hang if hang @ down >= 0 else -hang
    if not tied:
        return np.array((first + END_LENGTH * _unit(hang + 0.3 * out), *way,
                         last + END_LENGTH * _unit(hang + 0.3 * out)))
    size = float(np.clip(BOW_SHARE * length, MIN_LOOP, MAX_LOOP))
    middle = (first + last) / 2
    off = max((KNOT_HEIGHT - float((middle - hole) @ side)) / max(float(out @ side), MIN_COSINE)
              for hole, side in exits)
    knot = middle + off * out
    rise = LOOP_RISE_SHARE * out
    one, two = (_loop(knot, size, _unit(side * across + rise), hang) for side in (-1.0, 1.0))
    tails = (knot + size * (side * 0.5 * across + hang) for side in (-1.0, 1.0))
    return np.array((next(tails), *one, *way, *two, next(tails)))


def level_ribbon(points: FloatArray, length: float, towards: FloatArray) -> FloatArray:
    """A ribbon (n × 3) once round points (m × 3), half-way up, its bow at the corner nearest the reader.

    ``towards`` is the level direction in which the reader stands.
    """
    high = (points[:, 2].min() + points[:, 2].max()) / 2
    corners = _outline(points[:, :2])[:-1]
    first = int(np.argmax(np.round(corners @ towards[:2], 3)))
    ring = np.roll(corners, -first, axis=0)
    way = _along_edges(np.column_stack([ring, np.full(len(ring), high)]))
    out = _unit(np.append(ring[0] - ring.mean(axis=0), 0.0))
    return ribbon_line(((way[0], out), (way[0], out)), [way], length, np.array((0.0, 0.0, -1.0)), True)


def crosswise_ribbon(points: FloatArray, length: float, towards: FloatArray) -> FloatArray:
    """A ribbon (n × 3) both ways over the top of points (m × 3), where its two ways cross it is tied."""
    middle = (points.min(axis=0) + points.max(axis=0)) / 2
    ways = []
    for axis in (0, 1):
        corners = _outline(points[:, [axis, 2]])
        line = LineString(corners)
        top = np.array((middle[axis], corners[:, 1].max()))
        start = line.project(shapely.Point(top))
        far = np.array([line.project(shapely.Point(xy)) for xy in corners[:-1]])
        ring = np.array([top, *corners[:-1][np.argsort((far - start) % line.length)]])
        way = np.tile(middle, (len(ring), 1))
        way[:, [axis, 2]] = ring
        ways.append(_along_edges(way))
    up = np.array((0.0, 0.0, 1.0))
    return ribbon_line(((ways[0][0], up), (ways[0][0], up)), ways, length, towards, True)


def _outline(points: FloatArray) -> FloatArray:
    """The convex outline of points of a plane (n × 2), a ribbon's height off it, closed."""
    hull = MultiPoint(points).convex_hull.simplify(SAME_CORNER).buffer(RIBBON_OFFSET, join_style="mitre")
    return shapely.get_coordinates(shapely.orient_polygons(hull))


def _along_edges(ring: FloatArray) -> FloatArray:
    """A ring (n × 3) closed, with a point to either side of each corner, so that it is straight between."""
    made = [ring[:1]]
    for a, b in pairwise(np.append(ring, ring[:1], axis=0)):
        near = min(CORNER_ROUNDING / max(float(np.linalg.norm(b - a)), MIN_NORM), 1 / 3)
        made.append(np.array((a + near * (b - a), b - near * (b - a), b)))
    return np.concatenate(made)


def _loop(start: FloatArray, size: float, along: FloatArray, across: FloatArray) -> FloatArray:
    """A closed loop from a point and back to it, ``size`` mm long."""
    turn = np.linspace(0, np.pi, LOOP_POINTS)[:, None]
    result: FloatArray = start + size * (np.sin(turn) * along + LOOP_WIDTH_SHARE * np.sin(2 * turn) * across)
    return result


def _unit(vector: FloatArray) -> FloatArray:
    result: FloatArray = vector / max(float(np.linalg.norm(vector)), MIN_NORM)
    return result

"""A threaded ribbon as one line in space: in and out through its holes, tied in a bow, or hanging in a loop.

How large a bow is: common practice, no source.
"""
from __future__ import annotations

from collections.abc import Sequence

import numpy as np

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


def _loop(start: FloatArray, size: float, along: FloatArray, across: FloatArray) -> FloatArray:
    """A closed loop from a point and back to it, ``size`` mm long."""
    turn = np.linspace(0, np.pi, LOOP_POINTS)[:, None]
    result: FloatArray = start + size * (np.sin(turn) * along + LOOP_WIDTH_SHARE * np.sin(2 * turn) * across)
    return result


def _unit(vector: FloatArray) -> FloatArray:
    result: FloatArray = vector / max(float(np.linalg.norm(vector)), MIN_NORM)
    return result

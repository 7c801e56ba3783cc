"""Which circle or oval passes through two points with a given bulge, and how well.

A curve is told by its ``chord`` (mm between its two ends) and its ``bulge``
(mm by which its middle rises over the chord). It lies with its ends at (0, 0)
and (chord, 0) and bulges upward. An *oval* is an ellipse, told by its half
axes. How far an oval leaves the curve is measured along the curve's radius.
"""
from __future__ import annotations

import math

import numpy as np

from generator.dataclass import dataclass
from generator.geometry.arrays import FloatArray

QUARTER_TURN = math.pi / 2
# places along the arc at which the distance is taken: to choose, and to tell
COARSE_SAMPLES, FINE_SAMPLES = 33, 257
TILTS = np.linspace(0.0, QUARTER_TURN, 31)
HALVINGS = 40               # of the span of tilts in which the best one lies
GOLDEN = (math.sqrt(5) - 1) / 2


@dataclass(frozen=True, slots=True)
class OvalPlacement:
    """How an oval lies on a curve.

    ``tilt`` radians from the chord to its long axis (0 to π/2, the mirror image serves as well), and the
    largest ``deviation`` from the curve between its ends, in mm.
    """

    tilt: float
    deviation: float


def radius_through(chord: float, bulge: float) -> float:
    """The radius of the circle through both ends: (c²/4 + b²) / 2b, from the sagitta."""
    return (chord * chord / 4 + bulge * bulge) / (2 * bulge)


def circle_deviation(chord: float, bulge: float, radius: float) -> float:
    """How far a circle of another ``radius`` through both ends leaves the curve.

    It is inf where it does not reach them.

    Two arcs over one chord lie furthest apart in the middle, by the difference of their sagittas.
    """
    if radius < chord / 2:
        return math.inf
    depth = math.sqrt(radius * radius - chord * chord / 4)
    return abs((radius + depth if bulge > chord / 2 else radius - depth) - bulge)


def concentric(chord: float, bulge: float, by: float) -> tuple[float, float] | None:
    """Chord and bulge of the arc ``by`` mm further out (in, where negative) with the same middle.

    None where none is left.
    """
    radius = radius_through(chord, bulge)
    share = 1 + by / radius
    return (chord * share, bulge * share) if share > 0 else None


def best_placement(chord: float, bulge: float, half_axes: tuple[float, float]) -> OvalPlacement | None:
    """The best way to lay an oval through both ends; None where it is too small for them."""
    pairs = np.array([half_axes], dtype=float)
    found = _deviations(chord, bulge, pairs, TILTS, FINE_SAMPLES)[0]
    if not np.isfinite(found).any():
        return None
    at = int(np.argmin(found))
    low, high = TILTS[max(at - 1, 0)], TILTS[min(at + 1, len(TILTS) - 1)]
    best = min(((float(found[at]), float(TILTS[at])), _golden_section(chord, bulge, pairs, low, high)))
    return OvalPlacement(max(best[1], 0.0), best[0])


def oval_points(chord: float, half_axes: tuple[float, float], tilt: float,
                places: int = FINE_SAMPLES) -> FloatArray | None:
    """The shorter way round an oval from (0, 0) to (chord, 0), as points (places × 2) that bulge upward.

    None where it is too small.
    """
    a, b = half_axes
    cosine, sine = math.cos(-tilt), math.sin(-tilt)
    half = chord / 2 * math.hypot(cosine / a, sine / b)
    if half > 1:
        return None
    middle = math.atan2(sine / b, cosine / a) + QUARTER_TURN
    angle = middle + math.asin(half) * np.linspace(1, -1, places)
    x, y = a * np.cos(angle), b * np.sin(angle)
    x, y = x - x[0], y - y[0]
    return np.column_stack([x * cosine + y * sine, y * cosine - x * sine])


def coarse_deviations(chord: float, bulge: float, half_axes: FloatArray) -> FloatArray:
    """For many ovals at once (n × 2 half axes) their least deviation, never less than the true one.

    It is inf where too small.
    """
    least: FloatArray = _deviations(chord, bulge, half_axes, TILTS, COARSE_SAMPLES).min(axis=1)
    return least


def _golden_section(chord: float, bulge: float, pairs: FloatArray, low: float,
                    high: float) -> tuple[float, float]:
    """The least deviation between two tilts, and its tilt, by golden section."""
    def of(tilt: float) -> float:
        return float(_deviations(chord, bulge, pairs, np.array([tilt]), FINE_SAMPLES)[0, 0])

    a, b = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
    fa, fb = of(a), of(b)
    for _ in range(HALVINGS):
        if fa <= fb:
            high, b, fb = b, a, fa
            a = high - GOLDEN * (high - low)
            fa = of(a)
        else:
            low, a, fa = a, b, fb
            b = low + GOLDEN * (high - low)
            fb = of(b)
    return min((fa, float(a)), (fb, float(b)))


def _deviations(chord: float, bulge: float, pairs: FloatArray, tilts: FloatArray, places: int) -> FloatArray:
    """N ovals × m tilts: the largest distance from the curve; inf where the oval does not reach both ends.

    The oval is pressed into a circle of radius 1. There the chord subtends
    twice the angle asin k, k being half its pressed length, about the
    direction at right angles to it; the longer way round is taken where the
    curve is more than half a circle.
    """
    a, b = pairs[:, :1], pairs[:, 1:]
    cosine, sine = np.cos(-tilts), np.sin(-tilts)       # the chord as the oval sees it
    half = chord / 2 * np.hypot(cosine / a, sine / b)
    reach = np.arcsin(np.clip(half, 0, 1))
    reach = np.pi - reach if bulge > chord / 2 else reach
    middle = np.arctan2(sine / b, cosine / a) + QUARTER_TURN
    angle = middle[..., None] + reach[..., None] * np.linspace(1, -1, places)
    x, y = a[..., None] * np.cos(angle), b[..., None] * np.sin(angle)
    x, y = x - x[..., :1], y - y[..., :1]               # the first end at the origin, then the chord level
    along = x * cosine[:, None] + y * sine[:, None]
    up = y * cosine[:, None] - x * sine[:, None]
    radius = radius_through(chord, bulge)
    found = np.abs(np.hypot(along - chord / 2, up - (bulge - radius)) - radius).max(axis=-1)
    return np.where(half <= 1, found, np.inf)


def parallel_deviation(half_axes: tuple[float, float], by: float) -> float:
    """How far the line ``by`` mm outside an oval leaves the oval whose half axes are longer by as much.

    The parallel of an ellipse is none; it agrees at the ends of both axes. The
    distance is taken to first order, |F| / |grad F| of x²/p² + y²/q² − 1.
    """
    a, b = half_axes
    p, q = a + by, b + by
    t = np.linspace(0, QUARTER_TURN, FINE_SAMPLES)
    size = np.hypot(b * np.cos(t), a * np.sin(t))
    x, y = a * np.cos(t) + by * b * np.cos(t) / size, b * np.sin(t) + by * a * np.sin(t) / size
    form = x * x / (p * p) + y * y / (q * q) - 1
    return float(np.max(np.abs(form) / (2 * np.hypot(x / (p * p), y / (q * q)))))

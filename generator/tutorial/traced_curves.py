"""Which ovals and circles a reader may trace in place of the template.

Those that pass through both ends of each curve; and for the curves of a gathered top also others, with the
dome that each would give.
"""
from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

import numpy as np

from generator.dataclass import dataclass
from generator.drawing.templates.curves import GuideCurve, curves_of
from generator.drawing.templates.guides import exact_size
from generator.folding import CandidateCurve, bay_ring_of_plan, curves_over_chord, ranked_curves
from generator.geometry import Circle, EllipseArc
from generator.geometry.ovals import (
    OvalPlacement,
    best_placement,
    circle_deviation,
    coarse_deviations,
    concentric,
    parallel_deviation,
    radius_through,
)
from generator.geometry.tolerances import PLACE_TOLERANCE
from generator.language.front_matter import Guides
from generator.tutorial.folded_sizes import folded_length
from generator.tutorial.records import Tutorial
from generator.units import SYSTEMS, Bench, Quantity, length

# A graded set as ovals, dies and plates of the trade come (common practice, no source): widths in these
# steps, and an oval's height in these shares of its width, to the marks of the template's rule.
MIN_GRADED, MAX_GRADED = 30, 300     # mm
OVAL_RATIOS = (Fraction(4, 5), Fraction(3, 4), Fraction(2, 3))
MAX_OVALS, MAX_CIRCLES = 4, 2     # of the graded set in one table; the author's own are all shown
ALIGNED_ANGLE = 0.09     # radians, 5°: so little turned, an oval lies along its axis


@dataclass(frozen=True, slots=True)
class TracingTool:
    """One tool: ``sides`` are the width and height of an oval, or the diameter alone of a circle.

    ``off`` mm it leaves the curve at most; ``alignment`` is "side", "end" or
    "between" for an oval, whose long axis is ``turned`` degrees from the line
    through both ends, else "". ``own`` is True for one of the author's.
    """

    sides: tuple[Quantity, ...]
    off: float
    alignment: str = ""
    turned: int = 0
    own: bool = False


@dataclass(frozen=True, slots=True)
class CurveTracing:
    """One curve, the diameter of the circle that is exact (None for an oval's arc), and what else does."""

    curve: GuideCurve
    exactly: Quantity | None
    fits: tuple[TracingTool, ...]       # best first


def tracing_tools(tutorial: Tutorial) -> Mapping[str, tuple[CurveTracing, ...]]:
    """For each edition one entry a curve that is traced.

    Left out are holes of a punch and what a tool of the source is laid on for, such as a coin.
    """
    front = tutorial.front
    found = {system: tuple(_curve_tracing(curve, front.guides, system, tutorial.benches[system])
                           for curve in curves_of(plan) if not curve.punched)
             for system, plan in tutorial.plans.items()}
    own = {system: [float(front.lengths[system][name]) for name in front.tools] for system in found}
    return {system: tuple(each for each in curves if each.exactly is None or not any(
                abs(float(each.exactly) - size) <= PLACE_TOLERANCE for size in own[system]))
            for system, curves in found.items()}


def _curve_tracing(curve: GuideCurve, tools: Guides, system: str, bench: Bench) -> CurveTracing:
    by = curve.allowance(float(tools.stylus[system])) * (1 if tools.edge == "inside" else -1)
    within, own = float(tools.within[system]), (tools.ovals.get(system, ()), tools.circles.get(system, ()))
    if isinstance(curve.stroke, EllipseArc):
        return CurveTracing(curve, None, tuple(_own_oval(curve.stroke, by)))
    radius = (float(curve.stroke.radius) if isinstance(curve.stroke, Circle)
              else radius_through(curve.chord, curve.bulge))
    if radius + by <= 0:
        return CurveTracing(curve, None, ())
    if isinstance(curve.stroke, Circle):
        found = [*_circles(lambda size: abs(size / 2 - radius - by), own[1], system)]
    else:
        beside = concentric(curve.chord, curve.bulge, by)
        assert beside is not None       # its radius is above nothing
        chord, bulge = beside
        found = [*_ovals(chord, bulge, within, own[0], system, bench),
                 *_circles(lambda size: circle_deviation(chord, bulge, size / 2), own[1], system)]
    fits = sorted((fit for fit in found if fit.off <= within),
                  key=lambda fit: (round(fit.off, 2), -len(fit.sides), *map(float, fit.sides)))
    return CurveTracing(curve, length(exact_size(2 * (radius + by))), tuple(_best_tools(fits)))


def _best_tools(fits: Sequence[TracingTool]) -> Iterator[TracingTool]:
    """The author's own, and the best few of the graded set, in their order."""
    left = {2: MAX_OVALS, 1: MAX_CIRCLES}
    listed: set[tuple[float, ...]] = set()
    for fit in fits:
        kind, sides = len(fit.sides), tuple(map(float, fit.sides))
        if sides not in listed and (fit.own or left[kind]):
            listed.add(sides)
            left[kind] -= not fit.own
            yield fit


def _own_oval(stroke: EllipseArc, by: float) -> Iterator[TracingTool]:
    """The oval that the arc is part of, for the tip that runs beside it."""
    first, second = (float(axis) + by for axis in stroke.axes)
    if min(first, second) > 0:
        sides = tuple(length(exact_size(2 * axis)) for axis in sorted((first, second), reverse=True))
        yield TracingTool(sides, parallel_deviation((first, second), -by))


def _circles(off: Callable[[float], float], own: Sequence[Quantity], system: str) -> Iterator[TracingTool]:
    graded = (length(size) for size in _graded_sizes(system))
    for circles, mine in ((own, True), (graded, False)):
        yield from (TracingTool((size,), off(float(size)), own=mine) for size in circles)


def _graded_sizes(system: str) -> list[Fraction]:
    step = SYSTEMS[system].graded_step
    return [step * k for k in range(-(-MIN_GRADED // step), int(MAX_GRADED // step) + 1)]


def _ovals(chord: float, bulge: float, within: float, own: Sequence[tuple[Quantity, Quantity]], system: str,
           bench: Bench) -> Iterator[TracingTool]:
    grid = bench.grid("template")
    graded = [(length(wide), length(round(wide * share / grid) * grid)) for wide in _graded_sizes(system)
              for share in OVAL_RATIOS]
    for pairs, mine in ((own, True), (graded, False)):
        if not pairs:
            continue
        rough = coarse_deviations(chord, bulge, np.array([[float(a) / 2, float(b) / 2] for a, b in pairs]))
        for k in np.argsort(rough, kind="stable")[:None if mine else 2 * MAX_OVALS]:
            if rough[k] > 2 * within:
                break
            wide, high = pairs[k]
            found = best_placement(chord, bulge, (float(wide) / 2, float(high) / 2))
            if found is not None:
                yield _oval(pairs[k], found, mine)


def _oval(sides: tuple[Quantity, Quantity], found: OvalPlacement, own: bool) -> TracingTool:
    turned = round(float(np.degrees(found.tilt)))
    alignment = ("side" if found.tilt < ALIGNED_ANGLE else "end" if found.tilt > np.pi / 2 - ALIGNED_ANGLE
            else "between")
    return TracingTool(sides, found.deviation, alignment, turned, own)


EVERY = 2                   # of the graded sizes; the dome hardly differs between neighbours
OVAL_QUARTERS = 3                   # quarters of an oval's width that it is high


@dataclass(frozen=True, slots=True)
class DomeCurve:
    """``sides`` are the width and height of an oval, or the diameter of a circle.

    ``alignment`` is "along" or "across" for an oval, else "". ``height`` is that of its dome over the
    shoulder; None where it does not close. ``own`` is True for one of the author's.
    """

    sides: tuple[Quantity, ...]
    alignment: str
    bulge: Quantity
    height: Quantity | None
    own: bool = False


class _TriedTool(NamedTuple):
    """What a candidate's curve is traced with."""

    sides: tuple[Quantity, ...]
    alignment: str
    own: bool


def dome_curves(tutorial: Tutorial, system: str) -> tuple[DomeCurve, ...]:
    """The least stretched first; () for a tutorial without a gathered top whose curves repeat round it."""
    ring = bay_ring_of_plan(tutorial.plans[system])
    if ring is None:
        return ()
    candidates = [*_own_curves(tutorial, system, ring.chord), *_graded_curves(system, ring.chord)]
    return tuple(DomeCurve(tried.of.sides, tried.of.alignment, folded_length(tried.bulge, system),
                           folded_length(tried.height, system) if tried.closes else None, tried.of.own)
                 for tried in ranked_curves(ring, candidates) if isinstance(tried.of, _TriedTool))


def _own_curves(tutorial: Tutorial, system: str, chord: float) -> Iterator[CandidateCurve]:
    tools = tutorial.front.guides
    yield from _candidate_curves(chord, tools.ovals.get(system, ()), tools.circles.get(system, ()), own=True)


def _graded_curves(system: str, chord: float) -> Iterator[CandidateCurve]:
    step = EVERY * SYSTEMS[system].graded_step
    sizes = [length(step * k) for k in range(-(-MIN_GRADED // step), int(MAX_GRADED // step) + 1)]
    yield from _candidate_curves(chord, [(size, length(size.value * OVAL_QUARTERS / 4)) for size in sizes],
                                 sizes, own=False)


def _candidate_curves(chord: float, ovals: Sequence[tuple[Quantity, Quantity]], circles: Sequence[Quantity],
                      own: bool) -> Iterator[CandidateCurve]:
    for wide, high in ovals:
        for each in curves_over_chord(chord, [(float(wide), float(high))], ()):
            alignment = str(each.of[-1]) if isinstance(each.of, tuple) else ""
            yield CandidateCurve(_TriedTool((wide, high), alignment, own), each.points)
    for size in circles:
        for each in curves_over_chord(chord, (), [float(size)]):
            yield CandidateCurve(_TriedTool((size,), "", own), each.points)

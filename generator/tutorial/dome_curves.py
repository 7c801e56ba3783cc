"""Which oval? The circles and ovals that the curves of a gathered top may be traced with, and the dome that each would give."""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from generator.folding import CandidateCurve, bay_ring_of_plan, curves_over_chord, ranked_curves
from generator.tutorial.figures import measured
from generator.tutorial.fitting import LARGEST, SMALLEST, STEPS
from generator.tutorial.records import Tutorial
from generator.units import Quantity, length

EVERY = 2                   # of the graded sizes; the dome hardly differs between neighbours
SHARE = 3                   # quarters of an oval's width that it is high


@dataclass(frozen=True, slots=True)
class DomeCurve:
    """``sides`` are the width and height of an oval, or the diameter of a circle; ``lies`` is "along" or "across" for an oval, else "".

    ``height`` is that of its dome over the shoulder; None where it does not
    close. ``own`` is True for one of the author's.
    """

    sides: tuple[Quantity, ...]
    lies: str
    bulge: Quantity
    height: Quantity | None
    own: bool = False


def dome_curves(tutorial: Tutorial, system: str) -> tuple[DomeCurve, ...]:
    """The least stretched first; () for a tutorial without a gathered top whose curves repeat round it."""
    ring = bay_ring_of_plan(tutorial.plans[system])
    if ring is None:
        return ()
    candidates = [*_own(tutorial, system, ring.chord), *_graded(system, ring.chord)]
    return tuple(DomeCurve(sides, lies, measured(tried.bulge, system), measured(tried.height, system) if tried.closes else None, own)
                 for tried in ranked_curves(ring, candidates) for sides, lies, own in (tried.of,))


def _own(tutorial: Tutorial, system: str, chord: float) -> Iterator[CandidateCurve]:
    tools = tutorial.front.guides
    yield from _over(chord, tools.ovals.get(system, ()), tools.circles.get(system, ()), own=True)


def _graded(system: str, chord: float) -> Iterator[CandidateCurve]:
    step = EVERY * STEPS[system]
    sizes = [length(step * k) for k in range(-(-SMALLEST // step), int(LARGEST // step) + 1)]
    yield from _over(chord, [(size, length(size.value * SHARE / 4)) for size in sizes], sizes, own=False)


def _over(chord: float, ovals: Sequence[tuple[Quantity, Quantity]], circles: Sequence[Quantity], own: bool) -> Iterator[CandidateCurve]:
    for sides in ovals:
        for each in curves_over_chord(chord, [tuple(map(float, sides))], ()):
            yield CandidateCurve((tuple(sides), each.of[-1], own), each.points)
    for size in circles:
        for each in curves_over_chord(chord, (), [float(size)]):
            yield CandidateCurve(((size,), "", own), each.points)

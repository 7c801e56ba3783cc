"""Measures of the folded box as quantities of an edition: exact where they lie on what can be printed exactly, else *about*."""
from __future__ import annotations

import math
from fractions import Fraction

from generator.folding import ContentsLimits, PieceDimensions
from generator.language.evaluation.deferred_properties import BY_FOLDING
from generator.paper.values import LargestContents, SolidSize
from generator.units import MM_PER_INCH, Quantity

SAME = 1e-6         # mm; closer to a round figure than this, a folded measure is that figure
PART = {"mm": Fraction(1, 10), "in": MM_PER_INCH / 64}      # what can be printed exactly
INWARD = {"mm": Fraction(1), "in": MM_PER_INCH / 16}        # steps to which a limit is rounded
ROUND = 100         # mm³; a tenth of a cm³, which is the finest that is printed of a volume
SMALL = 10          # mm; a limit below it is rounded to a finer step
NAMES = frozenset({BY_FOLDING})


def measured(mm: float, system: str) -> Quantity:
    """A length that folding found."""
    step = PART[system]
    near = round(mm / step) * step
    return Quantity(near if abs(float(near) - mm) <= SAME else float(mm), 1, NAMES)


def limited(mm: float, system: str) -> Quantity:
    """A limit, rounded inward (ANSI/IEEE 268) to a whole millimetre or a sixteenth of an inch, so that it holds."""
    step = INWARD[system] if mm >= SMALL else PART[system]
    return Quantity(math.floor((mm + SAME) / step) * step, 1, NAMES)


def window(least: float, most: float, system: str) -> tuple[Quantity, Quantity]:
    """Two limits, each rounded inward as finely as can be printed; as they are where nothing would be left between."""
    step = PART[system] if system == "mm" else INWARD[system]
    low, high = math.ceil((least - SAME) / step) * step, math.floor((most + SAME) / step) * step
    if low > high:
        return measured(least, system), measured(most, system)
    return Quantity(low, 1, NAMES), Quantity(high, 1, NAMES)


def volume(mm3: float) -> Quantity:
    """A volume. It is worded in cm³ and cubic inches: boxes hold dry goods, and an ounce of volume is not the same everywhere."""
    near = round(mm3 / ROUND) * ROUND
    return Quantity(Fraction(near) if abs(near - mm3) <= SAME * ROUND else float(mm3), 3, NAMES)


def bulk(sides: tuple[float, float, float], system: str) -> SolidSize:
    """Across, deep and high."""
    return SolidSize(*(measured(mm, system) for mm in sides))


def holds(fit: ContentsLimits, system: str) -> LargestContents:
    """What goes in, each side rounded inward."""
    (wide, tall), box = fit.cylinder, fit.box
    return LargestContents(SolidSize(limited(wide, system), None, limited(tall, system)), SolidSize(*(limited(mm, system) for mm in box)),
                 SolidSize(limited(fit.ball, system)))


def inside(figures: PieceDimensions, system: str) -> SolidSize | None:
    """The size inside; None where it is not known."""
    return None if figures.inside is None else bulk(figures.inside, system)

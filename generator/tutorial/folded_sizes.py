"""Measures of the folded box as quantities of an edition, and what goes into it.

They are exact where they lie on what can be printed exactly, else *about*.
"""
from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from generator.folding import (
    ContentsLimits,
    FoldedPiece,
    FoldedPlan,
    PieceDimensions,
    box_goes_in,
    round_goes_in,
    soft_goes_in,
)
from generator.geometry.tolerances import PLACE_TOLERANCE
from generator.language.evaluation.deferred_properties import BY_FOLDING
from generator.paper.records import Plan
from generator.paper.values import LargestContents, SolidSize
from generator.units import SYSTEMS, Quantity, as_text, dimensions_text, display_measure

VOLUME_STEP = 100         # mm³; a tenth of a cm³, which is the finest that is printed of a volume
SMALL_LIMIT = 10          # mm; a limit below it is rounded to a finer step
FOLDING_NAMES = frozenset({BY_FOLDING})


def folded_length(mm: float, system: str) -> Quantity:
    """A length that folding found."""
    step = SYSTEMS[system].finest
    near = round(mm / step) * step
    return Quantity(near if abs(float(near) - mm) <= PLACE_TOLERANCE else float(mm), 1, FOLDING_NAMES)


def limit_length(mm: float, system: str) -> Quantity:
    """A limit, rounded inward (ANSI/IEEE 268) to a millimetre or a sixteenth of an inch, so that it holds."""
    step = SYSTEMS[system].rule_step if mm >= SMALL_LIMIT else SYSTEMS[system].finest
    return Quantity(math.floor((mm + PLACE_TOLERANCE) / step) * step, 1, FOLDING_NAMES)


def limit_window(least: float, most: float, system: str) -> tuple[Quantity, Quantity]:
    """Two limits, each rounded inward as finely as is printed; as they are where nothing is left between."""
    usual = SYSTEMS[system]
    step = usual.rule_step if usual.halves else usual.finest
    low = math.ceil((least - PLACE_TOLERANCE) / step) * step
    high = math.floor((most + PLACE_TOLERANCE) / step) * step
    if low > high:
        return folded_length(least, system), folded_length(most, system)
    return Quantity(low, 1, FOLDING_NAMES), Quantity(high, 1, FOLDING_NAMES)


def folded_volume(mm3: float) -> Quantity:
    """A volume.

    It is worded in cm³ and cubic inches: boxes hold dry goods, and an ounce of volume is not the same
    everywhere.
    """
    near = round(mm3 / VOLUME_STEP) * VOLUME_STEP
    return Quantity(Fraction(near) if abs(near - mm3) <= PLACE_TOLERANCE * VOLUME_STEP else float(mm3), 3,
                    FOLDING_NAMES)


def solid_size(sides: tuple[float, float, float], system: str) -> SolidSize:
    """Across, deep and high."""
    return SolidSize(*(folded_length(mm, system) for mm in sides))


def largest_contents(fit: ContentsLimits, system: str) -> LargestContents:
    """What goes in, each side rounded inward."""
    (wide, tall), box = fit.cylinder, fit.box
    return LargestContents(SolidSize(limit_length(wide, system), None, limit_length(tall, system)),
                           SolidSize(*(limit_length(mm, system) for mm in box)),
                           SolidSize(limit_length(fit.ball, system)))


def finished_measures(plan: Plan, folded: FoldedPlan | None) -> Mapping[str, Quantity]:
    """The sides that the design states, by name; of a box with a gathered dome as folding finds them.

    The sum in the source takes the folds of a dome for straight ones.
    """
    domed = [piece.dimensions for piece in (folded.pieces if folded is not None else ())
             if piece.dome is not None and piece.dome.held]
    known = domed[0] if len(domed) == 1 else None
    if known is None or not (known.whole and known.settled):
        return plan.finish

    def side(name: str, stated: Quantity) -> float:
        if name == "height":
            return known.size[2]
        return min(known.size[:2], key=lambda mm: abs(mm - float(stated.value)))

    return {name: folded_length(side(name, stated), plan.system) for name, stated in plan.finish.items()}


def inside_size(figures: PieceDimensions, system: str) -> SolidSize | None:
    """The size inside; None where it is not known."""
    return None if figures.inside is None else solid_size(figures.inside, system)


def receiving_piece(folded: FoldedPlan, name: str = "") -> FoldedPiece | None:
    """The piece that things are put into: the one of this name, else the roomiest that is no lid."""
    able = [(piece, figures.volume or 0.0) for piece in folded.pieces
            if (figures := piece.dimensions) is not None and figures.fit is not None]
    if name:
        return next((piece for piece, _ in able if piece.name == name), None)
    boxes = [each for each in able if "lid" not in each[0].name] or able
    return max(boxes, key=lambda each: each[1], default=(None, 0.0))[0]


def fits_inside(figures: PieceDimensions, size: SolidSize, soft: bool = False) -> bool | None:
    """Whether a thing goes in upright, whichever way round; None where what fits is not known.

    Something ``soft`` may use the room under a gathered top.
    """
    across, high = float(size.across.value), float(size.high.value) if size.high is not None else None
    if soft and high is not None:
        return soft_goes_in(figures, across, None if size.deep is None else float(size.deep.value), high)
    if size.deep is None:
        return round_goes_in(figures, across, high)
    assert high is not None     # what has two sides has three
    return box_goes_in(figures, across, float(size.deep.value), high)


def too_large_text(name: str, figures: PieceDimensions, size: SolidSize, system: str,
                   what: str = "", soft: bool = False) -> tuple[str, str]:
    """Message and hint for a thing, called ``what``, that does not go into the piece of this name."""
    thing = f"{what}, {size_text(size, system)}," if what else f"a thing {size_text(size, system)}"
    inside, top = inside_size(figures, system), figures.soft_room
    assert inside is not None     # a piece that receives has one
    hint = "make the box larger, or look at the size of what is to go in"
    if top is None:
        room = f"{size_text(inside, system)}{_missing_text(inside, size, system)}"
    elif soft:
        room = (f"{size_text(replace(inside, high=limit_length(top[0], system)), system)} under its top, and "
                f"there is room for {as_text(display_measure(folded_volume(top[1]), system))}")
    else:
        room = f"{size_text(inside, system)} under its shoulder{_missing_text(inside, size, system)}"
        hint += "; what gives may use the room under the top: say soft: true beside its size"
    return f"{thing} does not go into '{name}': inside it is {room}", hint


def _missing_text(inside: SolidSize, size: SolidSize, system: str) -> str:
    """By how much at most a thing is too large, "" where two sizes that read differently say it."""
    assert inside.deep is not None and inside.high is not None      # a room has three sides
    room = sorted((inside.across, inside.deep), key=float)
    level = sorted((size.across, size.deep or size.across), key=float)
    pairs = [*zip(level, room, strict=True), (size.high or size.across, inside.high)]
    larger = [(mine, own) for mine, own in pairs if own.below(mine)]
    if any(size_text(SolidSize(mine), system) != size_text(SolidSize(own), system) for mine, own in larger):
        return ""
    most = max((mine - own for mine, own in larger), key=float, default=None)
    return "" if most is None else f", too little by {as_text(display_measure(most, system, thickness=True))}"


def size_text(size: SolidSize, system: str) -> str:
    """A size in the words of an edition."""
    return dimensions_text((size.across, size.deep, size.high), system)

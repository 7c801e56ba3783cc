"""The sheets that paper is sold in.

How blanks lie on a sheet, and the cuts that part them: frozen records, filled by ``sheets`` and drawn by
``drawing``.

All figures are exact mm of the sheet as it is bought, x to the right and y
upward from its lower left corner.
"""
from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from fractions import Fraction

from generator.dataclass import dataclass
from generator.locale import ENGLISH, Locale, capital
from generator.units import INCH, ZERO, Quantity, length

MAX_PAGES = 60     # of one document at true size: nobody sticks more of them together
_DECIMAL_NUMBERS = re.compile(r"\d+\.\d+")
_INCHES, _SQUARE = re.compile(r"(?<=\d )in$"), re.compile(r"\bsquare$")


@dataclass(frozen=True, slots=True)
class StockSheet:
    """A size of paper as it is bought; all three are lengths without names.

    ``trim`` is the selvedge that goes before anything else is cut: so much of
    one long edge, of any edge where the sheet is square. What the blade takes
    when it is cut off is part of it.
    """

    name: str
    width: Quantity
    height: Quantity
    trim: Quantity = ZERO

    @property
    def title(self) -> str:
        """The name as it begins a line: "A4", "Letter", "12 × 12 in with selvedge"."""
        return self.called(ENGLISH)

    def called(self, locale: Locale) -> str:
        """The name in another language: "12 × 12 Zoll mit Randstreifen"."""
        name = capital(_DECIMAL_NUMBERS.sub(lambda found: locale.figures(found[0]), self.name))
        name = _INCHES.sub(locale.say("grammar.unit.in"), _SQUARE.sub(locale.say("paper.square"), name))
        return locale.say("paper.selvedge", sheet=name) if self.trim.value else name

    @property
    def trims_width(self) -> bool:
        """True where the selvedge runs up the right edge, False where it runs along the top."""
        return self.height.value >= self.width.value

    @property
    def usable(self) -> tuple[Fraction, Fraction]:
        """Width and height in mm of what is left without the selvedge, from the lower left corner."""
        width, height, trim = (Fraction(size.value) for size in (self.width, self.height, self.trim))
        return (width - trim, height) if self.trims_width else (width, height - trim)

    def lacking(self, width: Fraction, height: Fraction) -> tuple[Fraction, Fraction]:
        """What its shorter and its longer side lack (mm) of those of a blank, which may be turned.

        One that has to go with the grain lies on a sheet of the grain that it needs.
        """
        short, long = (max(wanted - side, Fraction(0)) for wanted, side in
                       zip(sorted((width, height)), sorted(self.usable), strict=True))
        return short, long


def _metric_sheet(name: str, width: int, height: int) -> StockSheet:
    return StockSheet(name, length(width), length(height))


def _inch_sheet(name: str, width: str, height: str) -> StockSheet:
    return StockSheet(name, length(INCH.mm * Fraction(width)), length(INCH.mm * Fraction(height)))


# As a source names them. A sizes: ISO 216. Letter and tabloid: ANSI/ASME Y14.1. Legal: from memory.
# The squares: common practice, no source.
STOCK_SHEETS: Mapping[str, StockSheet] = {
    "a3": _metric_sheet("a3", 297, 420),
    "a4": _metric_sheet("a4", 210, 297),
    "a5": _metric_sheet("a5", 148, 210),
    "letter": _inch_sheet("letter", "17/2", "11"),
    "legal": _inch_sheet("legal", "17/2", "14"),
    "tabloid": _inch_sheet("tabloid", "11", "17"),
    "12x12 in": _inch_sheet("12 × 12 in", "12", "12"),
    "8x8 in": _inch_sheet("8 × 8 in", "8", "8"),
    "6x6 in": _inch_sheet("6 × 6 in", "6", "6"),
    "30.5 cm square": _metric_sheet("30.5 cm square", 305, 305),
}


Segment = tuple[tuple[Fraction, Fraction], tuple[Fraction, Fraction]]


@dataclass(frozen=True, slots=True)
class Blank:
    """A rectangle from which one piece of a box is made, and of which a box needs ``count``.

    ``direction`` is the side of the blank ("x", its width, or "y", its height)
    that must run with the grain of the sheet, or up its pattern (``runs``);
    None where it may lie either way. ``bounding`` is True for a piece that is
    no rectangle: then this is the one around it.
    """

    name: str
    width: Quantity
    height: Quantity
    count: int = 1
    direction: str | None = None
    runs: str = "grain"             # or "pattern"
    bounding: bool = False


@dataclass(frozen=True, slots=True)
class Placement:
    """A blank on a sheet; ``width`` and ``height`` as it lies there, ``turned`` by a quarter or not."""

    piece: str
    x: Fraction
    y: Fraction
    width: Fraction
    height: Fraction
    turned: bool = False


@dataclass(frozen=True, slots=True)
class Offcut:
    """A rectangle that is left over; ``selvedge`` for the one that is trimmed off."""

    x: Fraction
    y: Fraction
    width: Fraction
    height: Fraction
    selvedge: bool = False


@dataclass(frozen=True, slots=True)
class CutSource:
    """``count`` parts that an earlier cut has made: strips it cut off, or what it left (``rest``).

    Where what is left is one more strip of the same width, it is one of the strips.
    """

    step: int
    count: int = 1
    rest: bool = False


@dataclass(frozen=True, slots=True)
class Cut:
    """One setting of the trimmer's fence.

    Each of ``parts`` alike parts, ``width`` × ``height`` as it lies on the
    sheet (the whole sheet where ``sources`` is empty), is cut ``times`` times
    with the fence ``fence`` mm from the blade. ``axis`` is the direction in
    which the fence measures: with "x" the side that is ``height`` long lies
    against it. Every cut gives a strip as wide as the setting. A cut
    ``shortens`` when it takes an offcut from the end of strips that are longer
    than the blanks; it ``trims`` when it takes the selvedge off. ``lines`` are
    all the lines it cuts along, on the sheet.
    """

    step: int                       # from 1, in the order of work
    sources: tuple[CutSource, ...]
    parts: int
    width: Fraction
    height: Fraction
    axis: str
    fence: Fraction
    times: int
    shortens: bool = False
    trims: bool = False
    lines: tuple[Segment, ...] = ()

    @property
    def side(self) -> str:
        """The side of the part that lies against the fence: "long", "short", or "any" of a square."""
        along, across = (self.height, self.width) if self.axis == "x" else (self.width, self.height)
        return "any" if along == across else "long" if along > across else "short"


@dataclass(frozen=True, slots=True)
class SheetLayout:
    """What is cut from one sheet. ``sets`` are the complete sets of blanks.

    Each cut of the blade takes ``kerf`` mm.

    ``most`` is True where it is proven that the sheet gives no more sets.
    ``direction`` is the side of the sheet ("x" or "y") along which its grain
    has to run, or up which its pattern (``runs``), where a blank asks for it. ``bounding``
    names the pieces of which the rectangle around them is cut, ``too_large``
    those that the sheet cannot hold at all.
    """

    sheet: StockSheet
    placements: tuple[Placement, ...] = ()
    cuts: tuple[Cut, ...] = ()
    offcuts: tuple[Offcut, ...] = ()
    sets: int = 0
    most: bool = True
    kerf: Fraction = Fraction(0)
    direction: str | None = None
    runs: str = "grain"
    bounding: tuple[str, ...] = ()
    too_large: tuple[str, ...] = ()

    @property
    def counts(self) -> Mapping[str, int]:
        """How many blanks of each piece the sheet gives."""
        return Counter(placement.piece for placement in self.placements)

    @property
    def shortens(self) -> bool:
        """True where blanks come from strips that are longer than they are."""
        return any(cut.shortens for cut in self.cuts)

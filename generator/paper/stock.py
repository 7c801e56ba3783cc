"""The sheets that paper is sold in."""
from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from generator.tongue import ENGLISH, Tongue, capital
from generator.units import MM_PER_INCH, ZERO, Quantity, length

_FIGURES, _INCHES, _SQUARE = re.compile(r"\d+\.\d+"), re.compile(r"(?<=\d )in$"), re.compile(r"\bsquare$")


@dataclass(frozen=True, slots=True)
class Sheet:
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

    def called(self, tongue: Tongue) -> str:
        """The name in another language: "12 × 12 Zoll mit Randstreifen"."""
        name = capital(_FIGURES.sub(lambda found: tongue.figures(found[0]), self.name))
        name = _INCHES.sub(tongue.say("grammar.unit.in"), _SQUARE.sub(tongue.say("paper.square"), name))
        return tongue.say("paper.selvedge", sheet=name) if self.trim.value else name

    @property
    def trims_width(self) -> bool:
        """True where the selvedge runs up the right edge, False where it runs along the top."""
        return self.height.value >= self.width.value

    @property
    def usable(self) -> tuple[Fraction, Fraction]:
        """Width and height in mm of what is left without the selvedge, from the lower left corner."""
        width, height, trim = (Fraction(size.value) for size in (self.width, self.height, self.trim))
        return (width - trim, height) if self.trims_width else (width, height - trim)


def _metric(name: str, width: int, height: int) -> Sheet:
    return Sheet(name, length(width), length(height))


def _inches(name: str, width: str, height: str) -> Sheet:
    return Sheet(name, length(MM_PER_INCH * Fraction(width)), length(MM_PER_INCH * Fraction(height)))


# As a source names them. A sizes: ISO 216. Letter and tabloid: ANSI/ASME Y14.1. Legal: from memory.
# The squares: common practice, no source.
STOCK: Mapping[str, Sheet] = {
    "a3": _metric("a3", 297, 420),
    "a4": _metric("a4", 210, 297),
    "a5": _metric("a5", 148, 210),
    "letter": _inches("letter", "17/2", "11"),
    "legal": _inches("legal", "17/2", "14"),
    "tabloid": _inches("tabloid", "11", "17"),
    "12x12 in": _inches("12 × 12 in", "12", "12"),
    "8x8 in": _inches("8 × 8 in", "8", "8"),
    "6x6 in": _inches("6 × 6 in", "6", "6"),
    "30.5 cm square": _metric("30.5 cm square", 305, 305),
}

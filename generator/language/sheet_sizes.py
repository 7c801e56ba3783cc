"""The sheets that a tutorial can ask for: stock sizes by name, others by their two sides."""
from __future__ import annotations

import difflib
import re
from dataclasses import dataclass
from fractions import Fraction

from generator.units import MM_PER_INCH, Quantity, QuantityError, length, parse_length

LARGEST = 3000  # mm; no sheet is longer

_IN = MM_PER_INCH
# Width and height in mm. A sizes: ISO 216. Letter and tabloid: ANSI/ASME Y14.1. Legal: from memory.
STOCK: dict[str, tuple[Fraction, Fraction]] = {
    "a3": (Fraction(297), Fraction(420)),
    "a4": (Fraction(210), Fraction(297)),
    "a5": (Fraction(148), Fraction(210)),
    "letter": (_IN * Fraction(17, 2), _IN * 11),
    "legal": (_IN * Fraction(17, 2), _IN * 14),
    "tabloid": (_IN * 11, _IN * 17),
}
_SIDES = re.compile(r"([^x×]{1,20})[x×]([^x×]{1,20})\Z")
_UNIT = re.compile(r"(?:mm|cm|m|in|\")\Z")


@dataclass(frozen=True, slots=True)
class Sheet:
    """A size of paper as it is bought; ``width`` and ``height`` are lengths without names."""

    name: str
    width: Quantity
    height: Quantity


def read_sheet(text: object) -> Sheet:
    """A sheet from ``a4``, ``12x12 in``, ``30.5 x 30.5 cm`` …

    Raises :class:`QuantityError` with code "front-value" or "length-wrong".
    """
    known = ", ".join(STOCK)
    if not isinstance(text, str):
        raise QuantityError("front-value", f"{text} is not a sheet", f"write one of {known}, or 12x12 in")
    name = " ".join(text.split())
    if name.lower() in STOCK:
        width, height = STOCK[name.lower()]
        return Sheet(name.lower(), length(width), length(height))
    sides = _SIDES.match(name.lower())
    if sides is None:
        near = difflib.get_close_matches(name.lower()[:40], STOCK, 1)
        raise QuantityError("front-value", f"“{name[:40]}” is not a sheet",
                            f"did you mean {near[0]}?" if near else f"write one of {known}, or 12x12 in")
    return _from_sides(sides[1].strip(), sides[2].strip())


def _from_sides(width: str, height: str) -> Sheet:
    unit = _UNIT.search(height)
    said = _UNIT.search(width)
    if unit and said and said.group() == unit.group():      # said twice, and once is enough
        width = width[:said.start()].strip()
    if not unit and not said and height[-1:].isdigit():
        raise QuantityError("length-wrong", f"the sheet {width}x{height} has no unit",
                            f"write {width}x{height} in or {width}x{height} mm")
    wide = parse_length(width if not unit or _UNIT.search(width) else f"{width} {unit.group()}")
    sheet = Sheet(f"{width} × {height}", wide, parse_length(height))
    if max(sheet.width.value, sheet.height.value) > LARGEST:
        raise QuantityError("front-value", f"no sheet is as large as {sheet.name}", "check its unit")
    return sheet

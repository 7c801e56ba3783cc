"""Read the sheets that a tutorial asks for: stock sizes by name, others by their two sides."""
from __future__ import annotations

import difflib
import re

from generator.paper.stock import STOCK, Sheet
from generator.units import Quantity, QuantityError, parse_length

LARGEST = 3000  # mm; no sheet is longer

_SIDES = re.compile(r"([^x×]{1,20})[x×]([^x×]{1,20})\Z")
_SQUARE = re.compile(r"([^x×]{1,20}) square\Z")
_UNIT = re.compile(r"(?:mm|cm|m|in|\")\Z")


def read_sheet(text: object) -> Sheet:
    """A sheet from ``a4``, ``12x12 in``, ``30.5 x 30.5 cm``, ``30.5 cm square`` …

    Raises :class:`QuantityError` with code "front-value" or "length-wrong".
    """
    known = ", ".join(STOCK)
    if not isinstance(text, str):
        said = ("a sheet is missing" if text is None else
                f"{'this' if isinstance(text, list | dict) else text} is not a sheet")
        raise QuantityError("front-value", said, f"write one of {known}, or two sides such as 9x12 in")
    name = " ".join(text.split())
    if name.lower() in STOCK:
        return STOCK[name.lower()]
    if square := _SQUARE.match(name.lower()):
        return _square(name, parse_length(square[1]))
    if sides := _SIDES.match(name.lower()):
        return _from_sides(sides[1].strip(), sides[2].strip())
    near = difflib.get_close_matches(name.lower()[:40], STOCK, 1)
    raise QuantityError("front-value", f"“{name[:40]}” is not a sheet",
                        f"did you mean {near[0]}?" if near else f"write one of {known}, or two sides such as 9x12 in")


def trimmed(sheet: Sheet, trim: Quantity) -> Sheet:
    """The same sheet with a selvedge. Raises :class:`QuantityError` where that leaves nothing of it."""
    if trim.value >= min(sheet.width.value, sheet.height.value):
        raise QuantityError("front-value", f"nothing is left of {sheet.name} when its selvedge is trimmed",
                            "write under trim: how much of one long edge goes")
    return Sheet(sheet.name, sheet.width, sheet.height, trim)


def _square(name: str, side: Quantity) -> Sheet:
    return _sound(Sheet(name, side, side))


def _from_sides(width: str, height: str) -> Sheet:
    unit = _UNIT.search(height)
    said = _UNIT.search(width)
    if unit and said and said.group() == unit.group():      # said twice, and once is enough
        width = width[:said.start()].strip()
    if not unit and not said and height[-1:].isdigit():
        raise QuantityError("length-wrong", f"the sheet {width}x{height} has no unit",
                            f"write {width}x{height} in or {width}x{height} mm")
    wide = parse_length(width if not unit or _UNIT.search(width) else f"{width} {unit.group()}")
    return _sound(Sheet(f"{width} × {height}", wide, parse_length(height)))


def _sound(sheet: Sheet) -> Sheet:
    if max(sheet.width.value, sheet.height.value) > LARGEST:
        raise QuantityError("front-value", f"no sheet is as large as {sheet.name}", "check its unit")
    return sheet

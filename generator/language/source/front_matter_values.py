"""What the front matter says of the finished box.

What is to go in, what a bow takes, when the author made it.

Read the ovals that an author has: width by height, each as the tool is sold.

Read the sheets that a tutorial asks for: stock sizes by name, others by their two sides; colours of paper.
"""
from __future__ import annotations

import difflib
import re
from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from generator.dataclass import dataclass
from generator.findings import Span
from generator.paper.sheet_layouts import STOCK_SHEETS, StockSheet
from generator.paper.values import SolidSize
from generator.units import SYSTEMS, Quantity, QuantityError, length, parse_length, unit_of

# of ribbon for a bow (common practice, no source)
BOW_RIBBON: Mapping[str, Quantity] = MappingProxyType({
    system: length(each.bow_ribbon) for system, each in SYSTEMS.items()})
_COLOUR = re.compile(r"#[0-9a-f]{6}\Z")
HOLDS_HINT = ("write for example holds: {what: tea bag, width: 60 mm, depth: 40 mm, height: 58 mm}, or a "
              "diameter and a height")


@dataclass(frozen=True, slots=True)
class Contents:
    """A thing that is to go into the box: ``what`` it is called, and its size, the same in both editions.

    ``piece`` is the name of the piece it goes into, "" where there is only one that holds anything.
    Something ``soft`` may use the room under a gathered top.
    """

    what: str
    size: SolidSize
    piece: str
    soft: bool
    span: Span


@dataclass(frozen=True, slots=True)
class ShownMeasure:
    """A length or size of a tool as a photo shows it, ``size`` in ``system``; a ``count`` where that is None.

    Each as it was when the photo was taken.
    """

    photo: str
    name: str
    size: Quantity | None
    system: str
    span: Span
    count: int = 0


MAX_OVAL = 1000  # mm; nobody has a larger oval

_OVAL_SIDES = re.compile(r"([^x×]{1,20})[x×]([^x×]{1,20})\Z")
_OVAL_UNIT = re.compile(r"(?:mm|cm|in|\")\Z")
_OVAL_EXAMPLE = "write two sides and their unit, such as 150 x 100 mm or 6 x 4 in"


class Oval(NamedTuple):
    """``width`` and ``height`` over all, the longer one first, and the ``system`` they were typed in."""

    width: Quantity
    height: Quantity
    system: str


def read_oval(text: object) -> Oval:
    """An oval from ``150 x 100 mm`` or ``6x4 in``. Raises :class:`QuantityError`."""
    normalised = " ".join(text.split()) if isinstance(text, str) else ""
    sides = _OVAL_SIDES.match(normalised.lower())
    if sides is None:
        typed = f"“{str(text)[:40]}”" if text is not None else "nothing"
        raise QuantityError("front-value", f"{typed} is not an oval", _OVAL_EXAMPLE)
    first, second = sides[1].strip(), sides[2].strip()
    unit = _OVAL_UNIT.search(second)
    if unit is None:
        raise QuantityError("length-wrong", f"the oval {normalised} has no unit", _OVAL_EXAMPLE)
    lengths = [parse_length(first if _OVAL_UNIT.search(first) else f"{first} {unit.group()}"),
               parse_length(second)]
    if max(lengths, key=float).value > MAX_OVAL:
        raise QuantityError("front-value", f"no oval is as large as {normalised}",
                            "check its digits and its unit")
    return Oval(max(lengths, key=float), min(lengths, key=float), unit_of(second))


MAX_SHEET = 3000  # mm; no sheet is longer

_SHEET_SIDES = re.compile(r"([^x×]{1,20})[x×]([^x×]{1,20})\Z")
_SQUARE_SHEET = re.compile(r"([^x×]{1,20}) square\Z")
_SHEET_UNIT = re.compile(r"(?:mm|cm|m|in|\")\Z")


def read_sheet(text: object) -> StockSheet:
    """A sheet from ``a4``, ``12x12 in``, ``30.5 x 30.5 cm``, ``30.5 cm square`` and the like.

    Raises :class:`QuantityError` with code "front-value" or "length-wrong".
    """
    known = ", ".join(STOCK_SHEETS)
    if not isinstance(text, str):
        normalised = ("a sheet is missing" if text is None else
                f"{'this' if isinstance(text, list | dict) else text} is not a sheet")
        raise QuantityError("front-value", normalised, f"write one of {known}, or two sides such as 9x12 in")
    name = " ".join(text.split())
    if name.lower() in STOCK_SHEETS:
        return STOCK_SHEETS[name.lower()]
    if square := _SQUARE_SHEET.match(name.lower()):
        return _square_sheet(name, parse_length(square[1]))
    if sides := _SHEET_SIDES.match(name.lower()):
        return _sheet_from_sides(sides[1].strip(), sides[2].strip())
    near = difflib.get_close_matches(name.lower()[:40], STOCK_SHEETS, 1)
    raise QuantityError("front-value", f"“{name[:40]}” is not a sheet", f"did you mean {near[0]}?"
                        if near else f"write one of {known}, or two sides such as 9x12 in")


def with_selvedge(sheet: StockSheet, trim: Quantity) -> StockSheet:
    """The same sheet with a selvedge. Raises :class:`QuantityError` where that leaves nothing of it."""
    if trim.value >= min(sheet.width.value, sheet.height.value):
        raise QuantityError("front-value", f"nothing is left of {sheet.name} when its selvedge is trimmed",
                            "write under trim: how much of one long edge goes")
    return StockSheet(sheet.name, sheet.width, sheet.height, trim)


def _square_sheet(name: str, side: Quantity) -> StockSheet:
    return _plausible_sheet(StockSheet(name, side, side))


def _sheet_from_sides(width: str, height: str) -> StockSheet:
    unit = _SHEET_UNIT.search(height)
    normalised = _SHEET_UNIT.search(width)
    if unit and normalised and normalised.group() == unit.group():      # said twice, and once is enough
        width = width[:normalised.start()].strip()
    if not unit and not normalised and height[-1:].isdigit():
        raise QuantityError("length-wrong", f"the sheet {width}x{height} has no unit",
                            f"write {width}x{height} in or {width}x{height} mm")
    wide = parse_length(width if not unit or _SHEET_UNIT.search(width) else f"{width} {unit.group()}")
    return _plausible_sheet(StockSheet(f"{width} × {height}", wide, parse_length(height)))


def _plausible_sheet(sheet: StockSheet) -> StockSheet:
    if max(sheet.width.value, sheet.height.value) > MAX_SHEET:
        raise QuantityError("front-value", f"no sheet is as large as {sheet.name}", "check its unit")
    return sheet


def read_colour(text: object) -> str:
    """A colour of paper from ``#b5c9a8``; raises QuantityError."""
    colour = text.strip().lower() if isinstance(text, str) else ""
    if not _COLOUR.match(colour):
        raise QuantityError("front-value", f"“{'' if text is None else str(text)[:40]}” is not a colour",
                            'write red, green and blue in quotes, such as "#b5c9a8"')
    return colour

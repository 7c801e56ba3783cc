"""Read the ovals that an author has: width by height, each as the tool is sold."""
from __future__ import annotations

import re
from typing import NamedTuple

from generator.units import Quantity, QuantityError, parse_length, unit_of

LARGEST = 1000  # mm; nobody has a larger oval

_SIDES = re.compile(r"([^x×]{1,20})[x×]([^x×]{1,20})\Z")
_UNIT = re.compile(r"(?:mm|cm|in|\")\Z")
_EXAMPLE = "write two sides and their unit, such as 150 x 100 mm or 6 x 4 in"


class Oval(NamedTuple):
    """``width`` and ``height`` over all, the longer one first, and the ``system`` in which they were typed."""

    width: Quantity
    height: Quantity
    system: str


def read_oval(text: object) -> Oval:
    """An oval from ``150 x 100 mm`` or ``6x4 in``. Raises :class:`QuantityError`."""
    said = " ".join(text.split()) if isinstance(text, str) else ""
    sides = _SIDES.match(said.lower())
    if sides is None:
        typed = f"“{str(text)[:40]}”" if text is not None else "nothing"
        raise QuantityError("front-value", f"{typed} is not an oval", _EXAMPLE)
    first, second = sides[1].strip(), sides[2].strip()
    unit = _UNIT.search(second)
    if unit is None:
        raise QuantityError("length-wrong", f"the oval {said} has no unit", _EXAMPLE)
    lengths = [parse_length(first if _UNIT.search(first) else f"{first} {unit.group()}"), parse_length(second)]
    if max(lengths, key=float).value > LARGEST:
        raise QuantityError("front-value", f"no oval is as large as {said}", "check its digits and its unit")
    return Oval(max(lengths, key=float), min(lengths, key=float), unit_of(second))

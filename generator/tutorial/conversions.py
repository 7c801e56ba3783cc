"""The author's table: what was drawn, what that is in the other system to the letter, and what is published there."""
from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from generator.paper.records import Plan
from generator.tutorial.measures import SYSTEMS, exact_text
from generator.tutorial.records import Tutorial
from generator.units import MM_PER_INCH, Quantity, as_text, consistent, decimal_text, word

PER_UNIT = {"mm": Fraction(1), "in": MM_PER_INCH}
PLACES = 4          # decimals of an original that has no end
SHOWN = {"mm": 1, "in": 2}      # … and of one that is about


@dataclass(frozen=True, slots=True)
class Conversion:
    """One measure: ``name`` says which, "" for a further one of the same row of marks."""

    name: str
    drawn: str
    exact: str
    published: str


def conversions(tutorial: Tutorial) -> list[Conversion]:
    """Named lengths, then every blank with its marks, each in the order of the source."""
    drawn, other = tutorial.drawn_in, tutorial.other
    rows = [_row(name, info.values[drawn], info.values[other], drawn, other) for name, info in tutorial.names.items()
            if all(isinstance(info.values[s], Quantity) and info.values[s].power == 1 for s in SYSTEMS)]
    for info in tutorial.drawn.pieces:
        for name, first, second in _of_piece(tutorial.drawn, tutorial.regauged, info.id):
            rows.append(_row(name, first, second, drawn, other))
    return rows


def _of_piece(drawn: Plan, other: Plan, piece: int) -> Iterator[tuple[str, Quantity, Quantity]]:
    name = drawn.pieces[piece].name
    first, second = (plan.states[piece][0][1] for plan in (drawn, other))
    yield f"{name} width", first.width, second.width
    yield f"{name} height", first.height, second.height
    theirs = {mark.id: mark for mark in other.states[piece][-1][1].marks}
    last = None
    for mark in drawn.states[piece][-1][1].marks:
        label = f"{name}: {mark.name or f'{mark.verb} (line {mark.span.line})'}"
        if mark.position is not None and mark.id in theirs and theirs[mark.id].position is not None:
            yield "" if label == last else label, mark.position, theirs[mark.id].position
            last = label


def _row(name: str, drawn: Quantity, other: Quantity, system: str, target: str) -> Conversion:
    return Conversion(name, as_text(word(drawn, system)), converted(drawn, system, target), as_text(word(other, target)))


def converted(quantity: Quantity, system: str, target: str) -> str:
    """A length of one system in the other, rounded as NIST SP 811 says: "1.18 in" for 30 mm, "44.4 mm" for 1 3/4 in."""
    value = Fraction(quantity.value)
    original = abs(value) / PER_UNIT[system]
    figures = _figures(original) if quantity.exact else decimal_text(original, SHOWN[system])
    text = consistent(abs(value) / PER_UNIT[target], figures)
    return f"{'' if quantity.exact else 'about '}{'−' if value < 0 else ''}{text} {target}"


def _figures(value: Fraction) -> str:
    """The decimal figures of a value in its own unit."""
    text = exact_text(value)
    return text if "/" not in text and len(text) <= PLACES + 4 else decimal_text(value, PLACES)


def as_rows(tutorial: Tutorial) -> list[dict[str, str]]:
    """The table as plain data; every row has its name."""
    rows, name = [], ""
    for each in conversions(tutorial):
        name = each.name or name
        rows.append({"name": name, "drawn": each.drawn, "exact_conversion": each.exact, "published": each.published})
    return rows


def conversion_table(tutorial: Tutorial) -> str:
    """The table as text, four columns."""
    rows = [("", f"drawn ({tutorial.drawn_in})", "exact conversion", f"published ({tutorial.other})")]
    rows += [(each.name, each.drawn, each.exact, each.published) for each in conversions(tutorial)]
    widths = [max(len(row[k]) for row in rows) for k in range(3)]
    lines = ["  ".join((*(cell.ljust(width) for cell, width in zip(row, widths, strict=False)), row[3])).rstrip() for row in rows]
    return "\n".join([lines[0], "-" * max(map(len, lines)), *lines[1:]])

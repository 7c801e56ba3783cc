"""All measures of a tutorial, for machines and as a table: what ``foldgauge measures`` prints.

The author's table: what was drawn, what that is in the other system to the letter, and what is published
there.
"""
from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from itertools import zip_longest
from typing import Any, SupportsFloat

from generator.dataclass import dataclass
from generator.findings import findings_data
from generator.geometry import Circle, Point
from generator.paper.records import Mark, PieceState, Plan
from generator.tutorial.prose_evaluation import plain_text
from generator.tutorial.records import LoadedSource, Prose, Tutorial
from generator.units import (
    SYSTEMS,
    Bench,
    Quantity,
    as_text,
    converted_figures,
    decimal_text,
    display_measure,
)
from generator.units.wording import exact_text

JsonObject = dict[str, Any]      # read by whoever reads the JSON
COORDINATE_PLACES = 6     # decimals of a coordinate in mm


def measure(quantity: Quantity, system: str, bench: Bench, tool: str) -> dict[str, str]:
    """One length as ``{"mm", "text", "grid"}``."""
    return {"mm": exact_text(quantity.value), "text": as_text(display_measure(quantity, system)),
            "grid": bench.on_grid(quantity, tool)}


def measures_data(loaded: LoadedSource) -> JsonObject:
    """A loaded source as plain data, ready for JSON. Without a tutorial only the findings are there."""
    findings = findings_data(loaded.findings)
    tutorial = loaded.tutorial
    if tutorial is None:
        return {"title": None, "drawn_in": None, "editions": {}, "findings": findings}
    return {"title": tutorial.front.title, "drawn_in": tutorial.drawn_in,
            "editions": {system: edition_data(tutorial, system) for system in SYSTEMS}, "findings": findings}


def edition_data(tutorial: Tutorial, system: str) -> JsonObject:
    """One edition as plain data: named lengths, pieces with their groups of marks, steps."""
    plan, bench = tutorial.plans[system], tutorial.benches[system]
    lengths = {name: measure(value, system, bench, "rule") for name, info in tutorial.names.items()
               if isinstance(value := info.values[system], Quantity) and value.power == 1}
    return {"lengths": lengths,
            "pieces": {info.name: _piece(plan, info.id, bench) for info in plan.pieces},
            "steps": [{"title": plain_text(step.heading, system) or step.title, "line": step.line,
                       "text": plain_step(step.prose, system)} for step in tutorial.steps]}


def plain_step(prose: Prose, system: str) -> str:
    """A step's prose in plain words, white space folded."""
    return " ".join(plain_text(prose, system).split())


def _piece(plan: Plan, piece: int, bench: Bench) -> JsonObject:
    state = plan.final_state(piece)
    return {"width": measure(state.width, plan.system, bench, "trimmer"),
            "height": measure(state.height, plan.system, bench, "trimmer"),
            "groups": _groups(plan, state, bench)}


def _groups(plan: Plan, state: PieceState, bench: Bench) -> JsonObject:
    named: dict[str, list[Mark]] = {}
    for mark in state.marks:
        named.setdefault(mark.name or f"{mark.verb} (line {mark.span.line})", []).append(mark)
    groups = {}
    for name, marks in named.items():
        first = marks[0]
        groups[name] = {
            "verb": first.verb, "count": len(marks),
            "marks": [measure(p, plan.system, bench, m.tool) for m in marks for p in _positions(m)],
            "points": [[_rounded(p.x), _rounded(p.y)] for m in marks for p in _points(m)]}
    return groups


def _positions(mark: Mark) -> list[Quantity]:
    return [mark.position] if mark.position is not None else [p for p, _ in mark.positions]


def _points(mark: Mark) -> list[Point]:
    points: list[Point] = []
    for stroke in mark.whole:
        points.extend([stroke.center] if isinstance(stroke, Circle) else [stroke.start, stroke.end])
    return points


def _rounded(value: SupportsFloat) -> float:
    return round(float(value), COORDINATE_PLACES) + 0.0


def measures_table(tutorial: Tutorial) -> str:
    """All measures as a readable table: name or group, then one column for each system."""
    rows: list[tuple[str, str, str]] = [(tutorial.front.title, "millimetres", "inches")]
    data = {system: edition_data(tutorial, system) for system in SYSTEMS}
    rows.append(("named lengths", "", ""))
    for name, drawn in data["mm"]["lengths"].items():
        rows.append((f"  {name}", _shown(drawn), _shown(data["in"]["lengths"][name])))
    for piece, mm in data["mm"]["pieces"].items():
        inch = data["in"]["pieces"][piece]
        rows.append((piece, f"{_shown(mm['width'])} by {_shown(mm['height'])}",
                     f"{_shown(inch['width'])} by {_shown(inch['height'])}"))
        for group, mm_marks in mm["groups"].items():
            rows.extend(_group_rows(group, mm_marks, inch["groups"][group]))
    return _aligned(rows)


def _group_rows(name: str, mm: JsonObject, inch: JsonObject) -> list[tuple[str, str, str]]:
    head = f"  {name}: {mm['count']} × {mm['verb']}"
    if not mm["marks"]:
        return [(head, "along its shape", "along its shape")]
    # a corner that comes to lie on the edge in one edition alone needs no mark there
    pairs = zip_longest(mm["marks"], inch["marks"])
    return [(head if k == 0 else "", _shown(a), _shown(b)) for k, (a, b) in enumerate(pairs)]


def _shown(m: Mapping[str, str] | None) -> str:
    return "no mark" if m is None else m["text"] + (" (between marks)" if m["grid"] == "off" else "")


def _aligned(rows: list[tuple[str, str, str]]) -> str:
    widths = [max(len(row[k]) for row in rows) for k in range(2)]
    lines = [f"{a.ljust(widths[0])}  {b.ljust(widths[1])}  {c}".rstrip() for a, b, c in rows]
    lines.insert(1, "-" * max(map(len, lines)))
    return "\n".join(lines)


MAX_PLACES = 4          # decimals of an original that has no end


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
    rows = [_conversion(name, first, second, drawn, other) for name, info in tutorial.names.items()
            if isinstance(first := info.values[drawn], Quantity) and first.power == 1
            and isinstance(second := info.values[other], Quantity) and second.power == 1]
    for info in tutorial.drawn.pieces:
        for name, first, second in _piece_lengths(tutorial.drawn, tutorial.regauged, info.id):
            rows.append(_conversion(name, first, second, drawn, other))
    return rows


def _piece_lengths(drawn: Plan, other: Plan, piece: int) -> Iterator[tuple[str, Quantity, Quantity]]:
    name = drawn.pieces[piece].name
    first, second = (plan.states[piece][0][1] for plan in (drawn, other))
    yield f"{name} width", first.width, second.width
    yield f"{name} height", first.height, second.height
    theirs = {mark.id: mark.position for mark in other.final_state(piece).marks}
    last = None
    for mark in drawn.final_state(piece).marks:
        label = f"{name}: {mark.name or f'{mark.verb} (line {mark.span.line})'}"
        position = theirs.get(mark.id)
        if mark.position is not None and position is not None:
            yield "" if label == last else label, mark.position, position
            last = label


def _conversion(name: str, drawn: Quantity, other: Quantity, system: str, target: str) -> Conversion:
    return Conversion(name, as_text(display_measure(drawn, system)), conversion_text(drawn, system, target),
                      as_text(display_measure(other, target)))


def conversion_text(quantity: Quantity, system: str, target: str) -> str:
    """A length in the other system, rounded as in NIST SP 811: "1.18 in" for 30 mm, "44.4 mm" for 1 3/4."""
    value = Fraction(quantity.value)
    original = abs(value) / SYSTEMS[system].mm
    figures = _decimal_digits(original) if quantity.exact else decimal_text(original,
                                                                            SYSTEMS[system].about_decimals)
    text = converted_figures(abs(value) / SYSTEMS[target].mm, figures)
    return f"{'' if quantity.exact else 'about '}{'−' if value < 0 else ''}{text} {target}"


def _decimal_digits(value: Fraction) -> str:
    """The decimal figures of a value in its own unit."""
    text = exact_text(value)
    return text if "/" not in text and len(text) <= MAX_PLACES + 4 else decimal_text(value, MAX_PLACES)


def conversion_rows(tutorial: Tutorial) -> list[dict[str, str]]:
    """The table as plain data; every row has its name."""
    rows, name = [], ""
    for each in conversions(tutorial):
        name = each.name or name
        rows.append({"name": name, "drawn": each.drawn, "exact_conversion": each.exact,
                     "published": each.published})
    return rows


def conversion_table(tutorial: Tutorial) -> str:
    """The table as text, four columns."""
    rows = [("", f"drawn ({tutorial.drawn_in})", "exact conversion", f"published ({tutorial.other})")]
    rows += [(each.name, each.drawn, each.exact, each.published) for each in conversions(tutorial)]
    widths = [max(len(row[k]) for row in rows) for k in range(3)]
    lines = ["  ".join((*(cell.ljust(width) for cell, width in zip(row, widths, strict=False)),
                        row[3])).rstrip() for row in rows]
    return "\n".join([lines[0], "-" * max(map(len, lines)), *lines[1:]])

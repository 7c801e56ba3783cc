"""What is asked of both plans of a tutorial before they are folded.

Whether marks lie on the grids of the tools, both editions are worked alike, and the other one still fits the
drawn one; whether later work spoils what was kept clear; and whether every piece comes out of the sheets
that are listed: blanks, and small pieces out of offcuts.
"""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from math import ceil

from shapely import LineString, Polygon

from generator.findings import Finding, Severity, finding
from generator.geometry import Region, Stroke
from generator.geometry.strokes import polyline
from generator.geometry.tolerances import AREA_MARGIN, PLACE_TOLERANCE
from generator.language.evaluation.editions import Editions, compare_editions, merge_findings
from generator.language.front_matter import FrontMatter
from generator.language.part_use import expand_parts
from generator.language.source.front_matter_models import MAX_WINDOW_PERCENT
from generator.paper.records import Act, Decoration, Face, Glue, Mark, PieceInfo, Plan
from generator.paper.sheet_layouts import STOCK_SHEETS, StockSheet
from generator.regauge.formulas import LengthStatements, StepStatements
from generator.regauge.problem import (
    AT_LEAST,
    DEFAULT_WINDOW,
    Clearance,
    Window,
    clearances_of,
    drawn_lengths,
    mark_congruences,
    outdated_lengths,
    rounded_inward,
    unclear_clearances,
    windows_of,
)
from generator.regauge.tool_grids import off_grid
from generator.sheets import SheetError, blank_of, blanks_of, most_sets_layout, pieces_from_sheets
from generator.units import SYSTEMS, Bench, Quantity, as_text, display_measure, distinct_texts, length

# g/cm³; the lightest and the heaviest paper and film (common practice, no source)
DENSITIES = 0.1, 1.6
MAX_TOOL_RATIO = 1.6    # between the sizes of one tool in both editions (common practice, no source)

def plan_findings(front: FrontMatter, steps: StepStatements, editions: Editions,
                  benches: Mapping[str, Bench]) -> list[Finding]:
    """All that is wrong with the plans of both editions."""
    drawn, other = editions.evaluations[front.drawn_in], editions.evaluations[front.other]
    found = [*off_grid(drawn.plan, benches[front.drawn_in], drawn=True),
             *off_grid(other.plan, benches[front.other], drawn=False)]
    # a plan with holes of its own would only be blamed for the holes
    if drawn.failed_statements == other.failed_statements:
        found += compare_editions(drawn.plan, other.plan)
    return [*found, *unlikely_papers(front), *stale_lengths(front, drawn.plan, benches),
            *rounded_clearances(front, steps, benches),
            *spoiled_areas(drawn.plan), *merge_findings(*(
                (system, tuple(sheet_findings(front, plan))) for system, plan in editions.plans.items()))]


def unlikely_papers(front: FrontMatter) -> Iterator[Finding]:
    """A warning for each paper that is too thick or too thin for its weight."""
    for name, paper in front.papers.items():
        if paper.weight is None or paper.thickness is None:
            continue
        density = paper.weight / float(paper.thickness.value) / 1000      # g/cm³
        if not DENSITIES[0] <= density <= DENSITIES[1]:
            yield finding("front-value", front.spans[name],
                          f"paper of {paper.weight} gsm is not {float(paper.thickness.value):g} mm thick: a "
                          f"cubic centimetre of it would weigh {density:.2g} g",
                          "look at both figures: 200 gsm is about 0.26 mm", Severity.WARNING)


def stale_lengths(front: FrontMatter, drawn: Plan, benches: Mapping[str, Bench]) -> list[Finding]:
    """A finding for each named length of the other edition outside the window about its drawn value."""
    bench, lengths = benches[front.other], drawn_lengths(front)
    within = front.within or DEFAULT_WINDOW
    windows = windows_of(lengths, mark_congruences(front, drawn, bench, front.other), bench, within)
    outdated = outdated_lengths(front)
    tools = [name for name in sorted(front.tools)
             if not 1 / MAX_TOOL_RATIO <= front.lengths["in"][name].value / front.lengths["mm"][name].value
             <= MAX_TOOL_RATIO]
    return [*(_unlike_tool_finding(front, name) for name in tools),
            *(_outdated_finding(front, name) if name in outdated else
            _stale_finding(front, name, windows[name], within) for name in lengths
            if name in outdated or (name not in front.missing_lengths
                                    and not windows[name].holds(
                                        Fraction(front.lengths[front.other][name].value))))]


def _unlike_tool_finding(front: FrontMatter, name: str) -> Finding:
    sizes = [as_text(display_measure(front.lengths[system][name], system)) for system in ("mm", "in")]
    return finding("edition-stale", front.spans[name],
                   f"'{name}' is {sizes[0]} in the metric edition and {sizes[1]} in the inch edition",
                   "name tools of about one size for both editions")


def _outdated_finding(front: FrontMatter, name: str) -> Finding:
    chosen, now = distinct_texts((front.chosen_for[name], front.lengths[front.drawn_in][name]),
                                 front.drawn_in)
    value = as_text(display_measure(front.lengths[front.other][name], front.other))
    return finding("edition-stale", front.edition_spans[front.other][name],
                   f"in the {SYSTEMS[front.other].edition} edition '{name}' was chosen for {chosen}, and it "
                   f"is drawn {now} now",
                   f"choose '{name}' anew for {now}; or, if it is meant to stay, write {value} for {now}",
                   edition=front.other)


def _stale_finding(front: FrontMatter, name: str, window: Window, within: Fraction) -> Finding:
    other, drawn = front.lengths[front.other][name], front.lengths[front.drawn_in][name]
    apart = abs(Fraction(other.value) - Fraction(drawn.value)) / Fraction(drawn.value) * 100
    most = (f"{float(within * 100):g} %" if window.high - drawn.value <= within * drawn.value
            else "one mark of the tool")
    message = (
        f"in the {SYSTEMS[front.other].edition} edition '{name}' is "
        f"{as_text(display_measure(other, front.other))}, and it is drawn "
               f"{as_text(display_measure(drawn, front.drawn_in))}: {float(apart):.1f} % apart, and {most} "
               "is the most")
    hint = f"choose '{name}' anew in that edition"
    if apart <= MAX_WINDOW_PERCENT:
        hint += f"; or, if it is meant so, allow it under editions: with within: {ceil(apart)} %"
    return finding("edition-stale", front.edition_spans[front.other][name], message, hint,
                   edition=front.other)


def rounded_clearances(front: FrontMatter, steps: StepStatements,
                       benches: Mapping[str, Bench]) -> list[Finding]:
    """A warning for each: limits are rounded inward (ANSI/IEEE 268); and what is no clearance at all."""
    bench = benches[front.other]
    expanded = expand_parts(steps, front.parts)
    pure = LengthStatements(front, expanded, front.other)
    return [*(finding("clearance-unclear", span, "this bounds no named length by what stays as it is",
                      "write the clearance alone on one side, as in expect(ease >= 4*card.thickness, "
                      "clearance); another requirement goes without the word")
              for span in unclear_clearances(pure, steps)),     # a part may be given whatever fits it
            *(_clearance_finding(front, each, bench) for each in clearances_of(pure, expanded)
              if each.name not in front.missing_lengths
              and not each.holds(*_drawn_and_regauged(front, each)))]


def _drawn_and_regauged(front: FrontMatter, each: Clearance) -> tuple[Fraction, Fraction]:
    return Fraction(front.lengths[front.drawn_in][each.name].value), Fraction(
        front.lengths[front.other][each.name].value)


def _clearance_finding(front: FrontMatter, each: Clearance, bench: Bench) -> Finding:
    drawn, now = _drawn_and_regauged(front, each)
    way, must = ("down", "may only grow") if each.side == AT_LEAST else ("up", "may only shrink")
    better = rounded_inward(drawn, bench.grid("rule"), each.side)
    message = (
        f"in the {SYSTEMS[front.other].edition} edition the clearance '{each.name}' is rounded {way}, from "
               f"{as_text(display_measure(length(drawn), front.drawn_in))} to "
               f"{as_text(display_measure(length(now), front.other))}; a limit is rounded inward")
    hint = (f"it {must}: {as_text(display_measure(length(better), front.other))} is the next mark" if better
            else f"it {must}")
    return finding("clearance-rounded", front.edition_spans[front.other][each.name], message, hint,
                   edition=front.other)


def spoiled_areas(plan: Plan) -> Iterator[Finding]:
    """A warning for each mark, and each face glued over, that lies in such an area and is made later."""
    for act in plan.acts:
        if isinstance(act.detail, Decoration):
            for face in act.detail.faces:
                yield from _spoiled(plan, act, face)


def _spoiled(plan: Plan, act: Act, face: Face) -> Iterator[Finding]:
    area = Region(face.outline).polygon().buffer(-AREA_MARGIN)
    state = plan.state(face.piece)
    reported: set[int] = set()
    for mark in state.marks if state is not None else ():
        if mark.act > act.number and mark.kind.spoils and mark.act not in reported and _crosses(mark, area):
            reported.add(mark.act)
            yield _spoiled_finding(plan, mark.act, act, f"this {mark.verb} lies in")
    for later in plan.acts[act.number + 1:]:
        if isinstance(later.detail, Glue) and later.detail.over and any(
                each.piece == face.piece and Region(each.outline).polygon().intersects(area)
                for each in later.detail.target):
            yield _spoiled_finding(plan, later.number, act, "this glues paper over")


def _crosses(mark: Mark, area: Polygon) -> bool:
    return any(area.intersects(_stroke_line(run)) for run in mark.extent)


def _stroke_line(run: Stroke) -> LineString:
    return LineString(polyline(run))


def _spoiled_finding(plan: Plan, number: int, act: Act, what: str) -> Finding:
    return finding("clear-spoiled", plan.acts[number].span,
                   f"{what} the area that line {act.span.line} {act.kind.words}",
                   "move one of the two, or do this first, so that the clear area keeps off it")


OFFCUT = "offcut"


def sheet_findings(front: FrontMatter, plan: Plan) -> Iterator[Finding]:
    """A warning for each blank that no listed sheet holds, and for each piece that no offcut of them does."""
    if front.sheets:
        yield from blank_findings(front.sheets, plan)
        yield from _offcut_findings(front.sheets, plan)


def blank_findings(sheets: Sequence[StockSheet], plan: Plan, which: str = "listed") -> Iterator[Finding]:
    """A warning for each blank that none of the sheets holds, with how much the nearest of them misses."""
    for info in pieces_from_sheets(plan):
        blank = blank_of(plan, info)
        need = Fraction(blank.width.value), Fraction(blank.height.value)
        near = min(sheets, key=lambda each: (max(each.lacking(*need)), -each.usable[0] * each.usable[1]))
        if any(missing := near.lacking(*need)):
            text = " and ".join(f"{_length_text(plan, mm)} too {how}"
                                for mm, how in zip(missing, ("narrow", "short"), strict=True) if mm)
            large = next((name for name, sheet in sorted(STOCK_SHEETS.items(), key=_area)
                          if not any(sheet.lacking(*need))), None)
            yield finding("sheet-small", info.span,
                          f"'{info.name}', {_size_text(plan, blank.width, blank.height)}, comes out of none "
                          f"of the sheets that are {which}: the nearest, {near.title}, is {text}",
                          "make it smaller, or of several pieces that are joined"
                          + (f"; or list a larger sheet, such as {large}" if large else ""))


def _area(named: tuple[str, StockSheet]) -> Fraction:
    width, height = named[1].usable
    return width * height


def _length_text(plan: Plan, mm: Fraction) -> str:
    return as_text(display_measure(length(mm), plan.system))


def _size_text(plan: Plan, *sides: Quantity) -> str:
    return " by ".join(as_text(display_measure(side, plan.system)) for side in sides)


def _offcut_findings(sheets: Sequence[StockSheet], plan: Plan) -> Iterator[Finding]:
    for info in plan.pieces:
        size = plan.states[info.id][0][1]
        if info.out_of == OFFCUT and not any(_fits_offcut(sheet, plan, info, (size.width, size.height))
                                             for sheet in sheets):
            yield finding("offcut-small", info.span,
                          f"'{info.name}', {_size_text(plan, size.width, size.height)}, comes out of no "
                          "offcut of "
                          "the sheets that are listed",
                          "make it smaller, list a larger sheet, or cut it as a blank of its own, "
                          "without out_of")


def _fits_offcut(sheet: StockSheet, plan: Plan, info: PieceInfo, size: tuple[Quantity, Quantity]) -> bool:
    """Whether one of the pieces that a sheet leaves, once cut, holds this one, upright or turned."""
    paper = info.paper.name if info.paper is not None else ""
    blanks = blanks_of(plan).get(paper, ())
    try:
        layout = most_sets_layout(sheet, blanks) if blanks else None
    except SheetError:
        return False
    if layout is None or not layout.sets:
        return False
    short, long = sorted(float(side.value) for side in size)
    return any(short <= min(float(o.width), float(o.height)) + PLACE_TOLERANCE
               and long <= max(float(o.width), float(o.height)) + PLACE_TOLERANCE
               for o in layout.offcuts if not o.selvedge)

"""What is asked of both plans of a tutorial before they are folded.

Whether marks lie on the grids of the tools, both editions are worked alike, and the other one still fits the
drawn one; whether later work spoils what was kept clear; and whether everything comes out of the sheets.
"""
from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from math import ceil

from shapely import LineString, Polygon

from generator.findings import Finding, Severity, finding
from generator.geometry import Region, Stroke
from generator.geometry.strokes import polyline
from generator.geometry.tolerances import AREA_MARGIN
from generator.language.evaluation.editions import Editions, compare_editions, merge_findings
from generator.language.front_matter import FrontMatter
from generator.language.part_use import expand_parts
from generator.language.source.front_matter_models import MAX_WINDOW_PERCENT
from generator.paper.records import Act, Decoration, Face, Glue, Mark, Plan
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
    windows_of,
)
from generator.regauge.tool_grids import off_grid
from generator.tutorial.sheet_checks import sheet_findings
from generator.units import SYSTEMS, Bench, as_text, display_measure, distinct_texts, length

# g/cm³; the lightest and the heaviest paper and film (common practice, no source)
DENSITIES = 0.2, 1.6
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
    """A warning for each: limits are rounded inward (ANSI/IEEE 268)."""
    bench = benches[front.other]
    steps = expand_parts(steps, front.parts)
    pure = LengthStatements(front, steps, front.other)
    return [_clearance_finding(front, each, bench) for each in clearances_of(pure, steps)
            if each.name not in front.missing_lengths and not each.holds(*_drawn_and_regauged(front, each))]


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

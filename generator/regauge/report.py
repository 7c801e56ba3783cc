"""The answer in words: what to use comes first, what it rests on last."""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from generator.paper.sheet_layouts import StockSheet
from generator.regauge.comparison import (
    CLOSE,
    FRIENDLY,
    SIZE_CHANGE_WORDS,
    SizeChange,
    binding_reasons,
    blanks_changed,
    box_changed,
    difference_text,
    length_text,
    lengths_changed,
    name_text,
    outgrown_sheets,
    percent_text,
    signed_text,
    unused_lengths,
)
from generator.regauge.problem import RegaugeProblem
from generator.regauge.solution import EvaluatedChoice, RegaugeResult, SeparateRounding
from generator.units import SYSTEMS, join, length, list_text, number_words, plural

SAME_SIZE = 0.05     # mm; sizes closer than this are the same
NARROWING_HINT = "keep some lengths with --keep NAME=VALUE, or look less far with --within PERCENT"


def report_text(result: RegaugeResult) -> str:
    """The whole answer as lines of text, without what it is proven by."""
    best = result.best
    if best is None:
        return "\n".join(_no_choice_lines(result))
    parts = [[headline(result.problem, best)], _side_by_side(result),
             list(_binding_lines(result.problem, best)), list(_other_preference(result, best)),
             list(separate_rounding_lines(result.problem, result.separate_rounding)), list(_notes(result))]
    return "\n\n".join("\n".join(part) for part in parts if part)


def headline(problem: RegaugeProblem, choice: EvaluatedChoice) -> str:
    """What to use and what becomes of the box, as in "use panels of 1 3/4 in: the box keeps its size"."""
    name, times = _leading_length(problem)
    value = length_text(choice.values[name], problem.target)
    what = f"use {name_text(name)}s of {value}" if times > 1 else f"use {value} for the {name_text(name)}"
    return f"{what}: {box_change_text(problem, choice)}"


def _leading_length(problem: RegaugeProblem) -> tuple[str, Fraction]:
    """The length that a blank holds most often, and how often."""
    forms = [size.form or {} for history in problem.drawn_plan.states.values()
             for size in (history[0][1].width, history[0][1].height)]
    times = {name: max((abs(form.get(name, Fraction(0))) for form in forms), default=Fraction(0))
             for name in problem.names}
    name = max(problem.names, key=lambda n: times[n])
    return name, times[name]


def box_change_text(problem: RegaugeProblem, choice: EvaluatedChoice) -> str:
    """How the box differs from the drawn one, in the words of the drawn system."""
    box = box_changed(problem.drawn_plan, choice.plan)
    ways = [f"{difference_text(each.mm, problem.front.drawn_in)} {SIZE_CHANGE_WORDS[each.name][each.mm < 0]}"
            for each in box if abs(float(each.mm)) >= SAME_SIZE]
    if ways:
        return f"the box comes out {join(ways)}"
    if box:
        return "the box keeps its size"
    return "; ".join(f"{name_text(name)} measures {length_text(width.now, problem.target)} by "
                     f"{length_text(height.now, problem.target)}"
                     for name, width, height in blanks_changed(problem.drawn_plan, choice.plan))


# -- side by side -------------------------------------------------------------

def _side_by_side(result: RegaugeResult) -> list[str]:
    problem, best = result.problem, result.leading.best
    rows = [["", "drawn", *(str(k) for k in range(1, len(best) + 1))]]
    columns = [lengths_changed(problem, choice.values) for choice in best]
    for k, name in enumerate(problem.names):
        rows += _two_rows(name_text(name), problem, [column[k] for column in columns])
    boxes = [box_changed(problem.drawn_plan, choice.plan) for choice in best]
    for k, each in enumerate(boxes[0]):
        rows += _two_rows(f"box {each.name}", problem, [box[k] for box in boxes])
    for blanks in zip(*(blanks_changed(problem.drawn_plan, choice.plan) for choice in best), strict=True):
        for k in (1, 2):
            rows += _two_rows(f"{name_text(blanks[0][0])} {blanks[0][k].name}", problem,
                              [each[k] for each in blanks])
    return aligned_columns(rows)


def _two_rows(name: str, problem: RegaugeProblem, changes: Sequence[SizeChange]) -> list[list[str]]:
    """The sizes, and below them how they differ from the drawn one."""
    return [[name, length_text(changes[0].drawn, problem.front.drawn_in),
             *(length_text(c.now, problem.target) for c in changes)],
            ["", "", *(f"{signed_text(c.mm)}, {percent_text(c.share)}" for c in changes)]]


def aligned_columns(rows: Sequence[Sequence[str]]) -> list[str]:
    """Columns of equal width, two spaces apart."""
    widths = [max(len(row[k]) for row in rows) for k in range(len(rows[0]))]
    return ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
            for row in rows]


# -- why, and what else --------------------------------------------------------

def _binding_lines(problem: RegaugeProblem, best: EvaluatedChoice) -> Iterator[str]:
    binds = list(binding_reasons(problem, best.values))
    if binds:
        yield "what keeps choice 1 from lying closer to the drawing"
    for each in binds:
        value = length_text(best.values[each.name], problem.target)
        if each.name in problem.pinned:
            yield f"  {name_text(each.name)} {value}: {each.reasons[0]}"
            continue
        yield f"  {name_text(each.name)} {value}, not {length_text(each.nearer, problem.target)}:"
        yield from (f"    {reason}" for reason in each.reasons)


def _other_preference(result: RegaugeResult, best: EvaluatedChoice) -> Iterator[str]:
    choice, problem = result.other, result.problem
    if choice is None:
        return
    prefer = FRIENDLY if result.options.prefer == CLOSE else CLOSE
    if choice.values == best.values:
        yield f"with --prefer {prefer} the same choice wins"
        return
    yield f"with --prefer {prefer}: {_lengths_text(problem, choice.values)}"
    yield f"  {box_change_text(problem, choice)}"


def _lengths_text(problem: RegaugeProblem, values: dict[str, Fraction]) -> str:
    return ", ".join(f"{name_text(name)} {length_text(values[name], problem.target)}"
                     for name in problem.names)


def separate_rounding_lines(problem: RegaugeProblem, found: SeparateRounding) -> Iterator[str]:
    """What rounding every number by itself would have done."""
    yield ("rounding number by number to the marks of the rule would have given "
           f"{_lengths_text(problem, found.values)}")
    for row in found.rows:
        if row.spread:
            widths = list_text([length(w) for w in row.widths], problem.target)
            yield (f"  unequal panels at '{row.name}': {widths}; "
                   f"{length_text(row.spread, problem.target)} from the narrowest to the widest")
        if row.gap:
            way = "short of" if row.gap < 0 else "beyond"
            each = length_text((sum(row.widths) - row.gap) / len(row.widths), problem.target)
            yield (f"  the last of '{row.name}' lies {length_text(abs(row.gap), problem.target)} {way} "
                   f"{number_words(len(row.widths))} panels of {each}: by so much the seam misses")
    for odd in found.between:
        yield (f"  {len(odd.positions)} of {odd.count} measures for {odd.what} (line {odd.line}) "
               f"{plural(len(odd.positions), 'falls', 'fall')} between the marks of the {odd.tool}")
    for wrong in found.wrong:
        yield f"  line {wrong.line}: {wrong.message}"


def _notes(result: RegaugeResult) -> Iterator[str]:
    outgrown: dict[tuple[str, StockSheet], list[str]] = {}
    for k, choice in enumerate(result.leading.best, 1):
        for each in outgrown_sheets(result.problem, choice.plan):
            outgrown.setdefault(each, []).append(str(k))
    for (piece, sheet), choices in outgrown.items():
        yield (f"with {plural(len(choices), 'choice', 'choices')} {join(choices)} '{piece}' is too large for "
               f"{sheet.title}, which holds it as it is drawn; --yield '{sheet.name}=1' leaves such "
               "choices out")
    unused = unused_lengths(result.problem)
    if unused:
        yield (f"nothing that is set on a tool uses {join([name_text(n) for n in unused])}: any mark of the "
               "rule will do")
    if not result.leading.certain:
        yield ("there are more choices than can be weighed one by one, so a better one may be left out; "
               f"{NARROWING_HINT}")
    yield "the same command with --write puts choice 1 into the source"


# -- nothing fits ----------------------------------------------------------------

def _no_choice_lines(result: RegaugeResult) -> Iterator[str]:
    problem, found = result.problem, result.leading
    edition = SYSTEMS[problem.target].plural
    if found.failed:
        yield (f"nothing fits: {number_words(len(found.failed))} "
               f"{plural(len(found.failed), 'choice', 'choices')} in {edition} "
               "put every mark on its tool, and each fails when the box is worked out")
        yield from dict.fromkeys(f"  line {f.line}: {f.message}" for choice in found.failed
                                 for f in choice.wrong)
        return
    if not found.found.whole and not result.conflicts:
        yield ("there are more choices than can be weighed one by one, and none was found that fits; "
               f"{NARROWING_HINT}")
        return
    if not result.conflicts:
        yield (f"nothing fits in {edition}; there are too many lengths to tell which demands contradict each "
               f"other; {NARROWING_HINT}")
        return
    yield f"nothing fits in {edition}: these demands cannot all be met"
    for k, conflict in enumerate(result.conflicts):
        if k:
            yield "nor can these"
        yield from (f"  {demand.text}" for demand in conflict.demands)
    yield ("what would help, each by itself" if result.relaxations
           else "no single demand can give way so that the others fit")
    for each in result.relaxations:
        yield f"  {each.text}: {_lengths_text(problem, each.values)}"


# -- what it rests on ---------------------------------------------------------------

def explanation_text(result: RegaugeResult) -> str:
    """Constraints, lattice, windows, bound and counts."""
    problem, found, target = result.problem, result.leading, result.problem.target
    counts = found.counts
    covered = "more choices than were counted" if counts.covered is None else f"{counts.covered} choices"
    pruned = ("the search was ended early" if not found.found.whole else
              f"{'all others' if found.found.pruned is None else found.found.pruned} cut off by proof")
    grid = found.found.lattice
    lines = [f"{covered} lie in the windows on every mark: {pruned}, {counts.ranked} ranked, "
             f"{found.evaluated} worked out in full", "windows"]
    lines += [f"  {name_text(n)} from {length_text(w.low, target)} to {length_text(w.high, target)}"
              for n, w in problem.windows.items()]
    lines.append("each of these is a multiple of the step")
    forms: dict[tuple[str, Fraction], list[str]] = {}
    for each in problem.congruences:
        forms.setdefault((each.text, each.step), []).append(_form_text(each.form))
    lines += [f"  {text}: {join(texts)}; step {length_text(step, target)}"
              for (text, step), texts in forms.items()]
    lines.append("together they leave, the last length chosen first")
    lines += [f"  {name_text(name)} every {length_text(grid.step(k), target)}"
              + ("" if grid.alone(k) else ", shifted by what is chosen before")
              for k, name in enumerate(grid.names) if name in problem.windows]
    lines.append("what must hold besides")
    lines += [f"  {need.text}" for need in problem.needs] or ["  nothing"]
    lines.append("a choice is cut off when the changes that are certain already make it worse than the "
                 "fifth best so far")
    return "\n".join(lines)


def _form_text(form: Mapping[str, Fraction]) -> str:
    return " + ".join(f"{c} × {name_text(n)}" if c != 1 else name_text(n)
                      for n, c in form.items()).replace("+ -", "− ")

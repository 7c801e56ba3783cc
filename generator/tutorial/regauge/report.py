"""The answer in words: what to use comes first, what it rests on last."""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from generator.tutorial.facts import LONGER
from generator.tutorial.regauge.changes import (
    Change,
    binds_of,
    blanks_changed,
    box_changed,
    lengths_changed,
    unused_of,
)
from generator.tutorial.regauge.leaders import EvaluatedChoice
from generator.tutorial.regauge.number_by_number import OneByOne
from generator.tutorial.regauge.problem import RegaugeProblem
from generator.tutorial.regauge.ranking import CLOSE, FRIENDLY
from generator.tutorial.regauge.solution import Answer
from generator.tutorial.regauge.wording import difference, percent, plain, said, signed
from generator.units import join, length, list_text, number_words, plural

DUST = 0.05     # mm; sizes closer than this are the same
SYSTEM_WORDS = {"mm": "millimetres", "in": "inches"}
FEW = "keep some lengths with --keep NAME=VALUE, or look less far with --within PERCENT"


def told(answer: Answer) -> str:
    """The whole answer as lines of text, without what it is proven by."""
    if answer.best is None:
        return "\n".join(_nothing(answer))
    parts = [[headline(answer.problem, answer.best)], _side_by_side(answer), list(_binds(answer)), list(_other(answer)),
             list(number_by_number(answer.problem, answer.number_by_number)), list(_notes(answer))]
    return "\n\n".join("\n".join(part) for part in parts if part)


def headline(problem: RegaugeProblem, tried: EvaluatedChoice) -> str:
    """ "use panels of 1 3/4 in: the box comes out 3 mm narrower"."""
    name, times = _lead(problem)
    value = said(tried.values[name], problem.target)
    what = f"use {plain(name)}s of {value}" if times > 1 else f"use {value} for the {plain(name)}"
    return f"{what}: {comes_out(problem, tried)}"


def _lead(problem: RegaugeProblem) -> tuple[str, Fraction]:
    """The length that a blank holds most often, and how often."""
    forms = [size.form or {} for history in problem.drawn_plan.states.values()
             for size in (history[0][1].width, history[0][1].height)]
    times = {name: max((abs(form.get(name, 0)) for form in forms), default=0) for name in problem.names}
    name = max(problem.names, key=lambda n: times[n])
    return name, times[name]


def comes_out(problem: RegaugeProblem, tried: EvaluatedChoice) -> str:
    """How the box differs from the drawn one, in the words of the drawn system."""
    box = box_changed(problem.drawn_plan, tried.plan)
    ways = [f"{difference(each.mm, problem.front.drawn_in)} {LONGER[each.name][each.mm < 0]}"
            for each in box if abs(float(each.mm)) >= DUST]
    if ways:
        return f"the box comes out {join(ways)}"
    if box:
        return "the box keeps its size"
    return "; ".join(f"{plain(name)} measures {said(width.now, problem.target)} by {said(height.now, problem.target)}"
                     for name, width, height in blanks_changed(problem.drawn_plan, tried.plan))


# -- side by side -------------------------------------------------------------

def _side_by_side(answer: Answer) -> list[str]:
    problem, best = answer.problem, answer.leaders.best
    rows = [["", "drawn", *(str(k) for k in range(1, len(best) + 1))]]
    columns = [lengths_changed(problem, tried.values) for tried in best]
    for k, name in enumerate(problem.names):
        rows += _two_rows(plain(name), problem, [column[k] for column in columns])
    boxes = [box_changed(problem.drawn_plan, tried.plan) for tried in best]
    for k, each in enumerate(boxes[0]):
        rows += _two_rows(f"box {each.name}", problem, [box[k] for box in boxes])
    for blanks in zip(*(blanks_changed(problem.drawn_plan, tried.plan) for tried in best), strict=True):
        for k in (1, 2):
            rows += _two_rows(f"{plain(blanks[0][0])} {blanks[0][k].name}", problem, [each[k] for each in blanks])
    return aligned(rows)


def _two_rows(name: str, problem: RegaugeProblem, changes: Sequence[Change]) -> list[list[str]]:
    """The sizes, and below them how they differ from the drawn one."""
    return [[name, said(changes[0].drawn, problem.front.drawn_in), *(said(c.now, problem.target) for c in changes)],
            ["", "", *(f"{signed(c.mm)}, {percent(c.share)}" for c in changes)]]


def aligned(rows: Sequence[Sequence[str]]) -> list[str]:
    """Columns of equal width, two spaces apart."""
    widths = [max(len(row[k]) for row in rows) for k in range(len(rows[0]))]
    return ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in rows]


# -- why, and what else --------------------------------------------------------

def _binds(answer: Answer) -> Iterator[str]:
    problem = answer.problem
    binds = list(binds_of(problem, answer.best.values))
    if binds:
        yield "what keeps choice 1 from lying closer to the drawing"
    for each in binds:
        value = said(answer.best.values[each.name], problem.target)
        if each.name in problem.kept:
            yield f"  {plain(each.name)} {value}: {each.reasons[0]}"
            continue
        yield f"  {plain(each.name)} {value}, not {said(each.nearer, problem.target)}:"
        yield from (f"    {reason}" for reason in each.reasons)


def _other(answer: Answer) -> Iterator[str]:
    tried, problem = answer.other, answer.problem
    if tried is None:
        return
    prefer = FRIENDLY if answer.wish.prefer == CLOSE else CLOSE
    if tried.values == answer.best.values:
        yield f"with --prefer {prefer} the same choice wins"
        return
    yield f"with --prefer {prefer}: {_listed(problem, tried.values)}"
    yield f"  {comes_out(problem, tried)}"


def _listed(problem: RegaugeProblem, values: dict[str, Fraction]) -> str:
    return ", ".join(f"{plain(name)} {said(values[name], problem.target)}" for name in problem.names)


def number_by_number(problem: RegaugeProblem, found: OneByOne) -> Iterator[str]:
    """What rounding every number by itself would have done."""
    yield f"rounding number by number to the marks of the rule would have given {_listed(problem, found.values)}"
    for row in found.rows:
        if row.spread:
            widths = list_text([length(w) for w in row.widths], problem.target)
            yield (f"  unequal panels at '{row.name}': {widths}; "
                   f"{said(row.spread, problem.target)} from the narrowest to the widest")
        if row.gap:
            way = "short of" if row.gap < 0 else "beyond"
            each = said((sum(row.widths) - row.gap) / len(row.widths), problem.target)
            yield (f"  the last of '{row.name}' lies {said(abs(row.gap), problem.target)} {way} "
                   f"{number_words(len(row.widths))} panels of {each}: by so much the seam misses")
    for each in found.between:
        yield (f"  {len(each.positions)} of {each.count} measures for {each.what} (line {each.line}) "
               f"{plural(len(each.positions), 'falls', 'fall')} between the marks of the {each.tool}")
    for wrong in found.wrong:
        yield f"  line {wrong.line}: {wrong.message}"


def _notes(answer: Answer) -> Iterator[str]:
    unused = unused_of(answer.problem)
    if unused:
        yield f"nothing that is set on a tool uses {join([plain(n) for n in unused])}: any mark of the rule will do"
    if not answer.leaders.certain:
        yield f"there are more choices than can be weighed one by one, so a better one may be left out; {FEW}"
    yield "the same command with --write puts choice 1 into the source"


# -- nothing fits ----------------------------------------------------------------

def _nothing(answer: Answer) -> Iterator[str]:
    problem, found = answer.problem, answer.leaders
    edition = SYSTEM_WORDS[problem.target]
    if found.failed:
        yield (f"nothing fits: {number_words(len(found.failed))} {plural(len(found.failed), 'choice', 'choices')} in {edition} "
               "put every mark on its tool, and each fails when the box is worked out")
        yield from dict.fromkeys(f"  line {f.line}: {f.message}" for tried in found.failed for f in tried.wrong)
        return
    if not found.found.whole and not answer.conflicts:
        yield f"there are more choices than can be weighed one by one, and none was found that fits; {FEW}"
        return
    if not answer.conflicts:
        yield f"nothing fits in {edition}; there are too many lengths to tell which demands contradict each other; {FEW}"
        return
    yield f"nothing fits in {edition}: these demands cannot all be met"
    for k, conflict in enumerate(answer.conflicts):
        if k:
            yield "nor can these"
        yield from (f"  {demand.says}" for demand in conflict.demands)
    yield "what would help, each by itself" if answer.relaxations else "no single demand can give way so that the others fit"
    for each in answer.relaxations:
        yield f"  {each.says}: {_listed(problem, each.values)}"


# -- what it rests on ---------------------------------------------------------------

def explained(answer: Answer) -> str:
    """Constraints, lattice, windows, bound and counts."""
    problem, found, target = answer.problem, answer.leaders, answer.problem.target
    counts = found.counts
    covered = "more choices than were counted" if counts.covered is None else f"{counts.covered} choices"
    pruned = ("the search was ended early" if not found.found.whole else
              f"{'all others' if found.found.pruned is None else found.found.pruned} cut off by proof")
    grid = found.found.lattice
    lines = [f"{covered} lie in the windows on every mark: {pruned}, {counts.ranked} ranked, "
             f"{found.evaluated} worked out in full", "windows"]
    lines += [f"  {plain(n)} from {said(w.low, target)} to {said(w.high, target)}" for n, w in problem.windows.items()]
    lines.append("each of these is a multiple of the step")
    says = {}
    for each in problem.congruences:
        says.setdefault((each.says, each.step), []).append(_form(each.form))
    lines += [f"  {says_}: {join(forms)}; step {said(step, target)}" for (says_, step), forms in says.items()]
    lines.append("together they leave, the last length chosen first")
    lines += [f"  {plain(name)} every {said(grid.step(k), target)}"
              + ("" if grid.alone(k) else ", shifted by what is chosen before") for k, name in enumerate(grid.names)
              if name in problem.windows]
    lines.append("what must hold besides")
    lines += [f"  {need.says}" for need in problem.needs] or ["  nothing"]
    lines.append("a choice is cut off when the changes that are certain already make it worse than the fifth best so far")
    return "\n".join(lines)


def _form(form: Mapping[str, Fraction]) -> str:
    return " + ".join(f"{c} × {plain(n)}" if c != 1 else plain(n) for n, c in form.items()).replace("+ -", "− ")

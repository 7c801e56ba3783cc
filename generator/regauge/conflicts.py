"""Nothing fits.

A smallest set of demands that contradict each other, found by leaving out one after the other.

What is looked at is what the search knows: positions on their tools' marks,
windows, kept values, requirements, clearances and yields. A set is smallest
when leaving out any one of its demands leaves something that fits.

Nothing fits: which demand would have to give way least for something to fit.
"""
from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from generator.dataclass import dataclass, replace
from generator.regauge.comparison import length_text, name_text
from generator.regauge.problem import Constraint, RegaugeProblem, Window, is_on_rule, windows_of
from generator.regauge.search import best_choices, choice_lattice, feasible_choice
from generator.units import Congruence, UnboundNameError

MARKS, RULE, WINDOW, KEEP, NEED = "marks", "rule", "window", "keep", "need"
# what is left out first when more than one demand could be: the least telling; the other order for when that
# leaves many
OMISSION_ORDER = (RULE, WINDOW, MARKS, NEED, KEEP)
OTHER_OMISSION_ORDER = (WINDOW, MARKS, RULE, NEED, KEEP)
SMALL_CONFLICT = 2
QUESTION_WORK = 600          # of one question whether anything fits
MAX_QUESTIONS = 80
FREE_RANGE = Fraction(1, 2)    # of a length: how far it may go where its window is left out
FREE_GRID_PARTS = 4                # parts of the rule's grid on which a length lies that nothing else binds


@dataclass(frozen=True, slots=True)
class Demand:
    """One thing that is asked of a choice. ``name`` is the length of a window or a kept value."""

    kind: str
    text: str
    name: str = ""
    congruences: tuple[Congruence, ...] = ()
    need: Constraint | None = None

    @property
    def ties(self) -> list[set[str]]:
        """The lengths that it ties together, in groups."""
        if self.need is not None:
            return [set(self.need.names)]
        return [set(c.form) for c in self.congruences] or [{self.name}]


@dataclass(frozen=True, slots=True)
class Conflict:
    """Demands that cannot all be met; without any one of them, the others can."""

    demands: tuple[Demand, ...]


def conflicts(problem: RegaugeProblem, most: int = 3) -> tuple[Conflict, ...]:
    """Smallest conflicting sets, one after the other.

    What is in one and can give way is left out of the next.

    Empty where the search alone finds a choice.
    """
    asked = _ConflictSearch(problem)
    demands = tuple(asked.narrowed(demands_of(problem)))
    found: list[Conflict] = []
    while len(found) < most and not asked.fits(demands):
        smallest = asked.smallest(demands)
        found.append(Conflict(smallest))
        giving = [d for d in smallest
                  if d.kind not in (KEEP, WINDOW, RULE)] or [d for d in smallest if d.kind != KEEP]
        if not giving:
            break
        demands = tuple(d for d in demands if d not in giving)
    return tuple(found)


def demands_of(problem: RegaugeProblem) -> Iterator[Demand]:
    """Everything that is asked, each once; marks of one tool that one call makes are one demand."""
    target = problem.target
    for name, window in problem.windows.items():
        if name in problem.pinned:
            yield Demand(KEEP, f"{name_text(name)} kept at {length_text(problem.pinned[name], target)}", name)
        else:
            yield Demand(
                WINDOW, f"{name_text(name)} from {length_text(window.low, target)} to "
                        f"{length_text(window.high, target)}", name)
    together: dict[str, list[Congruence]] = {}
    for each in problem.congruences:
        together.setdefault(each.text, []).append(each)
    for text, group in together.items():
        kind = RULE if is_on_rule(group[0]) else MARKS
        yield Demand(kind, text, next(iter(group[0].form)), tuple(group))
    for need in problem.needs:
        yield Demand(NEED, need.text, need=need)


@dataclass(slots=True)
class _ConflictSearch:
    """Answers whether some of the demands leave anything that fits."""

    problem: RegaugeProblem
    questions: int = 0

    def narrowed(self, demands: Iterable[Demand]) -> Iterator[Demand]:
        """Only what has to do with the lengths that have no choice; that is quicker to ask about."""
        demands = tuple(demands)
        ties = [names for d in demands for names in d.ties]
        lacking = set(best_choices(self.problem, "close", 1).lacking) or set(self.problem.names)
        before: set[str] = set()
        while lacking != before:
            before = set(lacking)
            lacking |= {name for names in ties if names & lacking for name in names}
        yield from (d for d in demands if not any(d.ties) or any(names & lacking for names in d.ties))

    def fits(self, demands: Sequence[Demand]) -> bool:
        """True when something meets these demands, or the work that one question may cost is spent."""
        self.questions += 1
        relaxed = restricted_to(self.problem, demands)
        found = best_choices(relaxed, "close", 1, QUESTION_WORK)
        return bool(found.choices) or not found.whole

    def smallest(self, demands: Sequence[Demand]) -> tuple[Demand, ...]:
        """Leave out whatever is not needed for the conflict, the least telling first."""
        kept = self._thinned(demands, OMISSION_ORDER)
        if len(kept) > SMALL_CONFLICT:
            kept = min(kept, self._thinned(demands, OTHER_OMISSION_ORDER), key=len)
        return tuple(sorted(kept, key=lambda d: -OMISSION_ORDER.index(d.kind)))

    def _thinned(self, demands: Sequence[Demand], order: Sequence[str]) -> list[Demand]:
        kept = list(demands)
        for kind in order:
            kept = self._without(kept, [d for d in kept if d.kind == kind])
        return kept

    def _without(self, kept: list[Demand], some: list[Demand]) -> list[Demand]:
        """Leave out as many of ``some`` as can be.

        All at once if that will do, else one half after the other.
        """
        if not some or self.questions >= MAX_QUESTIONS:
            return kept
        fewer = [d for d in kept if all(d is not each for each in some)]
        if not self.fits(fewer):
            return fewer
        if len(some) == 1:
            return kept
        middle = len(some) // 2
        return self._without(self._without(kept, some[:middle]), some[middle:])


def restricted_to(problem: RegaugeProblem, demands: Sequence[Demand]) -> RegaugeProblem:
    """The problem with these demands only.

    Lengths that they leave free lie on a fine grid, within half their size.
    """
    bound = {d.name for d in demands if d.kind in (WINDOW, KEEP)}
    fine = problem.bench.grid("rule") / FREE_GRID_PARTS
    drawn = {name: value for name, value in problem.drawn.items() if name in _lengths_of(demands) | bound}
    windows = {name: problem.windows[name] if name in bound
               else _free_window(value, problem.windows[name].step, fine)
               for name, value in drawn.items()}
    congruences = [c for d in demands for c in d.congruences]
    fixed = {name: value for name, value in problem.fixed.items() if any(name in c.form for c in congruences)}
    congruences += [Congruence({name: Fraction(1)}, value) for name, value in fixed.items()]
    needs = tuple(d.need for d in demands if d.need is not None)
    relaxed = replace(problem, drawn=drawn, fixed=fixed, windows=windows, congruences=tuple(congruences),
                      finish={}, needs=needs)
    kept = {d.name: problem.pinned[d.name] for d in demands if d.kind == KEEP}
    return _with_bound_lengths(replace(relaxed, pinned=kept), fine)


def _with_bound_lengths(problem: RegaugeProblem, fine: Fraction) -> RegaugeProblem:
    """Put every length that no congruence binds on the fine grid, or on its own value where it is kept."""
    while True:
        try:
            choice_lattice(problem)
            return problem
        except UnboundNameError as free:
            step = problem.pinned.get(free.name, fine)
            problem = replace(problem,
                              congruences=(*problem.congruences, Congruence({free.name: Fraction(1)}, step)))


def _lengths_of(demands: Sequence[Demand]) -> set[str]:
    return {name for d in demands for names in d.ties for name in names}


def _free_window(value: Fraction, step: Fraction, fine: Fraction) -> Window:
    return Window(max(value * (1 - FREE_RANGE), fine), value * (1 + FREE_RANGE) + step, step)


RELAXATION_WORK = 600          # of one question whether anything fits
MAX_WINDOW_PERCENT_TRIED = 50         # per cent


@dataclass(frozen=True, slots=True)
class Relaxation:
    """What gives way, and the choice that then fits (mm, by name)."""

    text: str
    values: dict[str, Fraction]


def relaxations(problem: RegaugeProblem, found: Sequence[Conflict]) -> tuple[Relaxation, ...]:
    """What would help, each alone.

    What was asked for on the spot first, then finer tools, then a wider window.
    """
    demands = list({id(d): d for conflict in found for d in conflict.demands}.values())
    tries = (*_without_keep(problem, demands), *_finer(problem, demands), *_without_yields(problem, demands),
             *_wider(problem))
    return tuple(tries)


def _without_keep(problem: RegaugeProblem, demands: Sequence[Demand]) -> Iterator[Relaxation]:
    for each in demands:
        if each.kind == KEEP:
            value = problem.pinned[each.name]
            yield from _relaxation(_without_pinned(problem, each.name),
                              f"without keeping {name_text(each.name)} at "
                              f"{length_text(value, problem.target)}")


def _without_pinned(problem: RegaugeProblem, name: str) -> RegaugeProblem:
    windows = _windows_within(problem, problem.within)
    return replace(problem, windows={**problem.windows, name: windows[name]},
                   pinned={n: v for n, v in problem.pinned.items() if n != name})


def _finer(problem: RegaugeProblem, demands: Sequence[Demand]) -> Iterator[Relaxation]:
    """The marks of one call with the rule instead of a coarser tool, or a tool marked twice as finely."""
    rule = problem.bench.grid("rule")
    for each in demands:
        if each.kind != MARKS:
            continue
        step = each.congruences[0].step
        if step > rule:
            yield from _relaxation(_with_step(problem, each, rule),
                                   f"with {each.text} made with the hand rule instead (tool=rule)")
        else:
            finer = length_text(step / 2, problem.target)
            yield from _relaxation(_with_step(problem, each, step / 2),
                                   f"with a tool marked every {finer} for {each.text}")


def _with_step(problem: RegaugeProblem, demand: Demand, step: Fraction) -> RegaugeProblem:
    own = set(map(id, demand.congruences))
    return replace(problem, congruences=tuple(
        Congruence(c.form, step, c.text) if id(c) in own else c for c in problem.congruences))


def _without_yields(problem: RegaugeProblem, demands: Sequence[Demand]) -> Iterator[Relaxation]:
    for each in demands:
        if each.need is not None and each.need.supply is not None:
            without = replace(problem, needs=tuple(n for n in problem.needs if n is not each.need))
            yield from _relaxation(without, f"without {each.text}")


def _wider(problem: RegaugeProblem) -> Iterator[Relaxation]:
    """The smallest window, in whole per cent, within which something fits."""
    low, high = int(problem.within * 100), MAX_WINDOW_PERCENT_TRIED
    if high <= low or not (values := feasible_choice(_with_window(problem, high), RELAXATION_WORK)):
        return
    while high - low > 1:
        middle = (low + high) // 2
        narrower = feasible_choice(_with_window(problem, middle), RELAXATION_WORK)
        low, high, values = (low, middle, narrower) if narrower else (middle, high, values)
    yield Relaxation(f"within {high} % of the drawn lengths (--within {high})", values)


def _with_window(problem: RegaugeProblem, percent: int) -> RegaugeProblem:
    wider = _windows_within(problem, Fraction(percent, 100))
    return replace(problem, windows={n: problem.windows[n] if n in problem.pinned else wider[n]
                                     for n in problem.windows})


def _windows_within(problem: RegaugeProblem, within: Fraction) -> dict[str, Window]:
    marks = [c for c in problem.congruences if not is_on_rule(c)]
    return windows_of(problem.drawn, marks, problem.bench, within)


def _relaxation(relaxed: RegaugeProblem, text: str) -> Iterator[Relaxation]:
    values = feasible_choice(relaxed, RELAXATION_WORK)
    if values:
        yield Relaxation(text, values)

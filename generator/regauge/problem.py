"""Clearances: named lengths that a requirement says to be one, ``expect(ease >= 1 mm, clearance)``.

A clearance is a limit, and limits are rounded inward (ANSI/IEEE 268): what
must be at least four layers of card may only grow when it is put on another
grid, what must be at most the gap of a tool may only shrink. What bounds it
may not change with the choice. Other requirements only have to hold.

What regauging has to solve: named lengths, the congruences of all marks, windows, and needs.
"""
from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from fractions import Fraction
from math import ceil, floor
from typing import Protocol

from generator.dataclass import dataclass
from generator.findings import Span
from generator.language.evaluation.editions import evaluate_edition
from generator.language.front_matter import FrontMatter
from generator.language.part_use import expand_parts
from generator.language.syntax import nodes
from generator.paper.plan_builder import LARGEST_PIECE
from generator.paper.records import Plan
from generator.regauge.formulas import (
    ExpressionTree,
    Formula,
    LengthStatements,
    StepStatements,
    comparison_tree,
    expected_condition,
    finished_size_formulas,
    is_clearance,
    is_constant,
    requirement_formulas,
)
from generator.regauge.tool_grids import tool_settings
from generator.units import TOOL_KINDS, Bench, Congruence, Quantity

AT_LEAST, AT_MOST = "at least", "at most"
_SIDES = {">=": AT_LEAST, ">": AT_LEAST, "<=": AT_MOST, "<": AT_MOST}
_TURNED = {AT_LEAST: AT_MOST, AT_MOST: AT_LEAST}


@dataclass(frozen=True, slots=True)
class Clearance:
    """``name`` stays :data:`AT_LEAST` or :data:`AT_MOST` (``side``) a limit equal in both editions."""

    name: str
    side: str
    span: Span

    def holds(self, drawn: Fraction, now: Fraction) -> bool:
        """True when ``now`` was not rounded towards the limit."""
        return now >= drawn if self.side == AT_LEAST else now <= drawn


def rounded_inward(value: Fraction, step: Fraction, side: str) -> Fraction:
    """A limit on the marks of a rule.

    One that must be at least ``value`` goes up, one that must be at most goes down.
    """
    return (ceil if side == AT_LEAST else floor)(value / step) * step


def clearances_of(pure: LengthStatements, steps: StepStatements) -> tuple[Clearance, ...]:
    """The declared clearances, one for each name and side; a name bound on both sides is none."""
    found: dict[str, dict[str, Clearance]] = {}
    for _, bounds in _declared(pure, steps):
        for each in bounds:
            found.setdefault(each.name, {}).setdefault(each.side, each)
    return tuple(next(iter(sides.values())) for sides in found.values() if len(sides) == 1)


def unclear_clearances(pure: LengthStatements, steps: StepStatements) -> tuple[Span, ...]:
    """Where a clearance is declared of something that is no named length beside a fixed limit."""
    return tuple(condition.span for call, bounds in _declared(pure, steps)
                 if not bounds and (condition := expected_condition(call)))


def _declared(pure: LengthStatements,
              steps: StepStatements) -> Iterator[tuple[nodes.Call, tuple[Clearance, ...]]]:
    for _, statements in steps:
        for statement in statements:
            call = statement.value
            if isinstance(call, nodes.Call) and call.name == "expect" and is_clearance(call) and (
                    condition := expected_condition(call)):
                yield call, tuple(_bounds(pure, condition))


def _bounds(pure: LengthStatements, expr: nodes.Expr) -> Iterator[Clearance]:
    if isinstance(expr, nodes.Logic) and expr.op == "and":
        yield from _bounds(pure, expr.left)
        yield from _bounds(pure, expr.right)
    elif isinstance(expr, nodes.Comparison):
        left = expr.first
        for op, right in expr.rest:
            if op in _SIDES:
                yield from _bound(pure, left, _SIDES[op], right)
                yield from _bound(pure, right, _TURNED[_SIDES[op]], left)
            left = right


def _bound(pure: LengthStatements, one: nodes.Expr, side: str, limit: nodes.Expr) -> Iterator[Clearance]:
    if isinstance(one, nodes.Name) and one.name in pure.free and is_constant(pure, limit):
        yield Clearance(one.name, side, one.span)


DEFAULT_WINDOW = Fraction(8, 100)
REQUIREMENT, CLEARANCE, YIELD = "requirement", "clearance", "yield"
LengthValues = Mapping[str, Fraction]


@dataclass(frozen=True, slots=True)
class Window:
    """From ``low`` to ``high`` (mm) about the drawn value.

    ``step`` is the finest grid of the tools that make it.
    """

    low: Fraction
    high: Fraction
    step: Fraction

    def holds(self, value: Fraction) -> bool:
        """True for a value within."""
        return self.low <= value <= self.high


class Supply(Protocol):
    """What a yield comes from: sheets, and the blanks that are cut from them."""

    def possible(self, chosen: LengthValues, ends: Mapping[str, tuple[Fraction, Fraction]]) -> bool:
        """False when no completion of a part of a choice can give enough."""

    def as_tree(self) -> ExpressionTree:
        """The condition as plain data, as far as it was found out."""


@dataclass(frozen=True, slots=True)
class Constraint:
    """Something that must hold and can be told from the named lengths in ``names`` alone.

    ``tree`` is the same as plain data where it can be written so; ``breaks`` says
    what happens where it does not hold. ``supply`` is what can give a yield.
    """

    text: str
    names: frozenset[str]
    holds: Callable[[LengthValues], bool]
    span: Span = Span("")
    kind: str = REQUIREMENT
    tree: ExpressionTree | None = None
    breaks: str = ""
    supply: Supply | None = None


@dataclass(frozen=True, slots=True)
class RegaugeProblem:
    """Everything that the search, the report and the certificate need. Values are mm, by name.

    ``drawn`` are the named lengths to be chosen; ``fixed`` is what marks rest
    on besides (sizes of tools, thickness of papers), in the target system.
    """

    front: FrontMatter
    steps: StepStatements
    benches: Mapping[str, Bench]
    target: str
    drawn_plan: Plan
    drawn: LengthValues
    fixed: LengthValues
    within: Fraction
    windows: Mapping[str, Window]
    pinned: LengthValues
    congruences: tuple[Congruence, ...]
    needs: tuple[Constraint, ...]
    finish: Mapping[str, Formula]           # what the finished size depends on
    clearances: tuple[Clearance, ...] = ()
    ribbons: frozenset[str] = frozenset()   # lengths of ribbon alone: they do not tell two boxes apart

    def box(self, values: LengthValues) -> tuple[Fraction, ...]:
        """What tells the box of a choice, or of a part of one, from another: its lengths without ribbons."""
        return tuple(value for name, value in values.items() if name not in self.ribbons)

    @property
    def names(self) -> tuple[str, ...]:
        """The named lengths, in the order of the source."""
        return tuple(self.drawn)

    @property
    def bench(self) -> Bench:
        """The tools of the target edition."""
        return self.benches[self.target]


def pose_problem(front: FrontMatter, steps: StepStatements, benches: Mapping[str, Bench], target: str,
                 pinned: LengthValues, within: Fraction | None = None, more: Sequence[Constraint] = (),
                 plan: Plan | None = None) -> RegaugeProblem:
    """Set the problem up from a source whose drawn edition is sound.

    ``within`` is the window's share of the drawn values: the source's own or
    the usual one unless given. ``plan`` is the drawn edition's, if it is there.
    """
    plan = plan or evaluate_edition(front, steps, front.drawn_in).plan
    within = within or front.within or DEFAULT_WINDOW
    drawn, bench = drawn_lengths(front), benches[target]
    marks, fixed = _mark_congruences(plan, bench, front, target)
    congruences = (*marks, *_rule_congruences(drawn, bench),
                   *(Congruence({n: Fraction(1)}, v, f"'{n}' as it is") for n, v in fixed.items()))
    windows = windows_of(drawn, marks, bench, within)
    for name, value in pinned.items():
        windows[name] = Window(value, value, windows[name].step)
    written = expand_parts(steps, front.parts)
    pure = LengthStatements(front, written, target)
    clearances = clearances_of(pure, written)
    needs = (*(Constraint(s.text, s.names, s.holds, s.span, REQUIREMENT, s.tree, f"{s.text} would fail")
               for s in requirement_formulas(pure, written)),
             *(_clearance_constraint(c, drawn[c.name]) for c in clearances if c.name not in pinned), *more)
    return RegaugeProblem(front, tuple(steps), benches, target, plan, drawn, fixed, within, windows,
                          dict(pinned),
                          congruences, needs, finished_size_formulas(pure, written, plan), clearances,
                          _ribbon_lengths(plan, frozenset(drawn)))


def _ribbon_lengths(plan: Plan, names: frozenset[str]) -> frozenset[str]:
    """The named lengths that only ribbons are made of."""
    ribbons, others = set[str](), {name for size in plan.finish.values() for name in size.form or ()}
    for piece in plan.pieces:
        state = plan.final_state(piece.id)
        (ribbons if piece.is_ribbon else others).update(*(size.form or () for size in (state.width,
                                                                                       state.height)))
    own = {piece.span for piece in plan.pieces if piece.is_ribbon}
    for each in tool_settings(plan):
        if each.span not in own:
            others.update(*(measure.form or () for measure in each.measures))
    return frozenset((ribbons - others) & names)


def drawn_lengths(front: FrontMatter) -> dict[str, Fraction]:
    """The named lengths of the drawn edition in mm; sizes of tools are not among them."""
    return {n: Fraction(q.value) for n, q in front.lengths[front.drawn_in].items() if n not in front.tools}


def outdated_lengths(front: FrontMatter) -> frozenset[str]:
    """The lengths of the other edition that were chosen for a drawn length that has changed since."""
    drawn = drawn_lengths(front)
    return frozenset(name for name, each in front.chosen_for.items()
                     if drawn.get(name) != Fraction(each.value))


def mark_congruences(front: FrontMatter, plan: Plan, bench: Bench, target: str) -> tuple[Congruence, ...]:
    """One congruence for each different position, with the tool's grid as its step."""
    return _mark_congruences(plan, bench, front, target)[0]


def _mark_congruences(plan: Plan, bench: Bench, front: FrontMatter,
                      target: str) -> tuple[tuple[Congruence, ...], dict[str, Fraction]]:
    """The congruences of all marks, and the fixed measures that they rest on."""
    found: dict[tuple[tuple[tuple[str, Fraction], ...], Fraction], Congruence] = {}
    fixed: dict[str, Fraction] = {}
    for each in tool_settings(plan):
        step = bench.grid(each.tool)
        for measure in each.measures:
            if not measure.exact or not measure.form:
                continue
            names = measure.form.keys()
            for name in names - front.lengths[front.drawn_in].keys() | names & front.tools:
                fixed[name] = _fixed_size(front, target, name)
            key = (tuple(sorted(measure.form.items())), step)
            tool = TOOL_KINDS[each.tool].grid
            found.setdefault(key, Congruence(measure.form, step,
                                             f"{each.what} on the {tool} (line {each.span.line})"))
    return tuple(found.values()), fixed


def _fixed_size(front: FrontMatter, target: str, name: str) -> Fraction:
    """The size of a tool, or the thickness of a paper ("card.thickness")."""
    if name in front.tools:
        return Fraction(front.lengths[target][name].value)
    paper, _, measure = name.partition(".")
    value = getattr(front.papers[paper], measure)
    return Fraction(value.value if isinstance(value, Quantity) else value)


def _rule_congruences(lengths: LengthValues, bench: Bench) -> list[Congruence]:
    """Each named length is quoted somewhere, so it lies on the hand rule."""
    return [Congruence({name: Fraction(1)}, bench.grid("rule"), _on_rule_text(name)) for name in lengths]


def _on_rule_text(name: str) -> str:
    return f"'{name}' on the rule"


def is_on_rule(congruence: Congruence) -> bool:
    """True for the demand that a length by itself can be read off the rule."""
    return congruence.text in map(_on_rule_text, congruence.form)


def windows_of(drawn: LengthValues, marks: Sequence[Congruence], bench: Bench,
               within: Fraction) -> dict[str, Window]:
    """For each named length ``within`` of its drawn value, or a step of its finest tool if that is wider."""
    steps: dict[str, list[Fraction]] = {name: [] for name in drawn}
    for each in marks:
        for name in each.form:
            if name in steps:
                steps[name].append(each.step)
    return {name: _window(value, min(steps[name] or [bench.grid("rule")]), within, bench.grid("rule"))
            for name, value in drawn.items()}


def _window(value: Fraction, step: Fraction, within: Fraction, least: Fraction) -> Window:
    """No length is less than the ``least`` mark of the rule: nothing is no length.

    A slip of the pen may name a length of miles; its window is kept to what a sheet can be.
    """
    reach = min(max(value * within, step), Fraction(LARGEST_PIECE))
    return Window(max(value - reach, least), value + reach, step)


def _clearance_constraint(clearance: Clearance, drawn: Fraction) -> Constraint:
    name, side = clearance.name, clearance.side
    way = "down" if side == AT_LEAST else "up"
    text = f"'{name}' is a clearance, so it is not rounded {way} (line {clearance.span.line})"
    tree = comparison_tree(">=" if side == AT_LEAST else "<=", ["of", name], str(drawn))
    return Constraint(text, frozenset({name}), lambda values: clearance.holds(drawn, values[name]),
                      clearance.span, CLEARANCE, tree, text)

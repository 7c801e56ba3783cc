"""Expressions as plain data.

They can be worked out again by something that knows nothing of this program.

A tree is a number as text ("7/2"), ``["of", name]`` for a named length, or a
sign or function and its parts: ``["<=", a, b]``, ``["sqrt", a]``. The signs
are ``+ - * / == < <= and or not``, the functions ``sqrt sin cos tan atan abs
min max``. Lengths are in mm, angles in degrees.

Requirements and the finished size as plain sums of named lengths, worked out without any paper.
"""
from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from fractions import Fraction
from functools import reduce
from typing import TypeAlias

from generator.dataclass import dataclass
from generator.findings import FindingError, Span
from generator.language.evaluation.editions import edition_values
from generator.language.evaluation.evaluate import EditionValues
from generator.language.evaluation.expressions import ExpressionEvaluator
from generator.language.evaluation.registry import REGISTRY, Binding, DependentFailure
from generator.language.front_matter import FrontMatter
from generator.language.syntax import nodes
from generator.language.syntax.nodes import calls_in, names_in
from generator.paper.plan_builder import PlanBuilder
from generator.paper.records import Plan
from generator.paper.values import ComparisonResult, Group
from generator.units import Quantity, length

ExpressionTree: TypeAlias = "str | list[ExpressionTree]"
NameMeaning: TypeAlias = "Callable[[nodes.Name | nodes.Attribute], ExpressionTree | nodes.Expr | None]"
MAX_NODES = 5000       # of one tree; names that are used again and again could make it grow without end


class _NotArithmetic(Exception):
    """The expression is no plain sum."""


def expression_tree(expr: nodes.Expr, meaning: NameMeaning) -> ExpressionTree | None:
    """The tree of an expression, or None.

    ``meaning`` says what a name or property stands for: a tree, or more words.
    """
    try:
        return _TreeWriter(meaning).tree(expr)
    except _NotArithmetic:
        return None


def form_tree(form: Mapping[str, Fraction]) -> ExpressionTree:
    """The tree of an affine form."""
    tree: ExpressionTree = "0"
    for name, c in form.items():
        tree = ["+", tree, ["*", str(c), ["of", name]]]
    return tree


class _TreeWriter:
    def __init__(self, meaning: NameMeaning):
        self.meaning, self.nodes = meaning, 0

    def tree(self, expr: nodes.Expr) -> ExpressionTree:
        self.nodes += 1
        if self.nodes > MAX_NODES:
            raise _NotArithmetic
        match expr:
            case nodes.NumberLiteral():
                return str(expr.value)
            case nodes.AngleLiteral():
                return str(expr.degrees)
            case nodes.Name() | nodes.Attribute():
                return self._named(expr)
            case nodes.Negative():
                return ["-", "0", self.tree(expr.of)]
            case nodes.Not():
                return ["not", self.tree(expr.of)]
            case nodes.Binary() | nodes.Logic():
                return [expr.op, self.tree(expr.left), self.tree(expr.right)]
            case nodes.Comparison():
                return self._comparison(expr)
            case nodes.Call():
                given = (*expr.args, *(k.value for k in expr.keywords))
                return _call_tree(expr.name, [self.tree(each) for each in given])
        raise _NotArithmetic

    def _named(self, expr: nodes.Name | nodes.Attribute) -> ExpressionTree:
        meant = self.meaning(expr)
        if meant is None:
            raise _NotArithmetic
        return meant if isinstance(meant, str | list) else self.tree(meant)

    def _comparison(self, expr: nodes.Comparison) -> ExpressionTree:
        left, links = self.tree(expr.first), []
        for op, operand in expr.rest:
            right = self.tree(operand)
            links.append(comparison_tree(op, left, right))
            left = right
        return reduce(lambda whole, link: ["and", whole, link], links)


def comparison_tree(op: str, left: ExpressionTree, right: ExpressionTree) -> ExpressionTree:
    """A comparison with three signs: whatever is more is less when it is turned round."""
    if op in (">", ">="):
        op, left, right = op.replace(">", "<"), right, left
    return ["not", ["==", left, right]] if op == "!=" else [op, left, right]


def _call_tree(name: str, parts: list[ExpressionTree]) -> ExpressionTree:
    if name == "hypot":
        return ["sqrt", ["+", *(["*", part, part] for part in parts)]]
    return [name, *parts]


LengthValues = Mapping[str, Fraction]
StepStatements = Sequence[tuple[int, Sequence[nodes.Statement]]]
_PAPER_MEASURES = ("thickness", "weight")


@dataclass(frozen=True, slots=True)
class Formula:
    """A condition or a measure. ``work`` gives its value for named lengths (mm).

    ``form`` is its affine form where it has one, ``tree`` the same as plain
    data for whoever checks it elsewhere (None where it cannot be written so).
    """

    text: str
    names: frozenset[str]
    span: Span
    work: Callable[[LengthValues], object]
    form: Mapping[str, Fraction] | None = None
    tree: ExpressionTree | None = None

    def holds(self, values: LengthValues) -> bool:
        """A condition's truth; False where it cannot be worked out."""
        return all(isinstance(t, ComparisonResult) and t.holds for t in _leaves(self.work(values)))

    def size(self, values: LengthValues) -> float | None:
        """A measure in mm; None where it cannot be worked out."""
        value = self.work(values)
        return float(value.value) if isinstance(value, Quantity) else None


def requirement_formulas(pure: LengthStatements, steps: StepStatements) -> Iterator[Formula]:
    """Every requirement that rests on named lengths alone; what needs paper is left out."""
    for call in _calls(steps, "expect"):
        condition = expected_condition(call)
        if condition is not None and pure.is_computable(condition):
            yield pure.formula(condition, _requirement_text(call))


def finished_size_formulas(pure: LengthStatements, steps: StepStatements, plan: Plan) -> dict[str, Formula]:
    """The finished sizes that can be told from named lengths, by their name (width, depth, height)."""
    found: dict[str, Formula] = {}
    for call in _calls(steps, "finish"):
        for keyword in call.keywords:
            stated = plan.finish.get(keyword.name)
            if stated is not None and stated.form and set(stated.form) <= pure.free:
                found[keyword.name] = linear_formula(keyword.name, dict(stated.form), keyword.span)
            elif pure.is_computable(keyword.value):
                found[keyword.name] = pure.formula(keyword.value, keyword.name)
    return found


def linear_formula(text: str, form: Mapping[str, Fraction], span: Span) -> Formula:
    """A measure that is a plain sum of named lengths."""
    return Formula(text, frozenset(form), span, lambda values: length(
        sum((c * values[n] for n, c in form.items()), Fraction(0))), form, form_tree(form))


def expected_condition(call: nodes.Call) -> nodes.Expr | None:
    """What an ``expect`` demands, named or not."""
    named = [k.value for k in call.keywords if k.name == "condition"]
    return call.args[0] if call.args else next(iter(named), None)


def is_clearance(call: nodes.Call) -> bool:
    """Whether an ``expect`` declares a clearance."""
    return len(call.args) > 1 or any(k.name == "limit" for k in call.keywords)


def _calls(steps: StepStatements, name: str) -> Iterator[nodes.Call]:
    return (s.value for _, statements in steps for s in statements
            if isinstance(s.value, nodes.Call) and s.value.name == name)


def _requirement_text(call: nodes.Call) -> str:
    because = next((k.value.value for k in call.keywords if k.name == "because"
                    and isinstance(k.value, nodes.TextLiteral)), "")
    return f"the requirement of line {call.span.line}" + (f" ({because})" if because else "")


class LengthStatements:
    """The statements that make values out of named lengths, counts and papers, and nothing else.

    ``free`` are the named lengths that an edition may choose; sizes of tools are fixed.
    """

    def __init__(self, front: FrontMatter, steps: StepStatements, system: str):
        self.base: EditionValues = edition_values(front, system)
        self.system = system
        self.free = frozenset(front.lengths[system]) - front.tools
        self.dependencies: dict[str, frozenset[str]] = {
            n: frozenset({n}) & self.free for n in (*self.base.lengths, *self.base.counts, *self.base.papers)}
        self.defining_statements: dict[str, nodes.Statement] = {}
        fixed = (*self.base.counts.items(), *self.base.papers.items())
        self.fixed = {n: Binding(n, v, Span(""), "", 0) for n, v in fixed}
        self._named = frozenset(s.name for _, statements in steps for s in statements if s.name)
        for _, statements in steps:
            for statement in statements:
                self._take(statement)

    def _take(self, statement: nodes.Statement) -> None:
        if statement.name is not None and self.is_computable(statement.value):
            self.dependencies[statement.name] = self.names(statement.value)
            self.defining_statements[statement.name] = statement

    def is_computable(self, expr: nodes.Expr) -> bool:
        """True when an expression needs no paper."""
        return (all(n in self.dependencies or n not in self._named for n in names_in(expr))
                and all(c in REGISTRY and REGISTRY[c].family == "sums" for c in calls_in(expr)))

    def names(self, expr: nodes.Expr) -> frozenset[str]:
        """The named lengths that an expression rests on, whatever stands between."""
        return frozenset().union(*(self.dependencies.get(n, frozenset()) for n in names_in(expr)))

    def formula(self, expr: nodes.Expr, text: str) -> Formula:
        """An expression as something that can be worked out again and again."""
        chain = self._chain(expr)

        def work(values: LengthValues) -> object:
            evaluator = self._evaluator(values)
            try:
                for name, statement in chain:
                    evaluator.names[name] = Binding(name, evaluator.value(statement.value), statement.span,
                                                    statement.text, 0)
                return evaluator.value(expr)
            except (FindingError, DependentFailure):
                return None
        return Formula(text, self.names(expr), expr.span, work, None, expression_tree(expr, self._written))

    def _written(self, node: nodes.Name | nodes.Attribute) -> ExpressionTree | nodes.Expr | None:
        """What a name or a property stands for in a tree."""
        if isinstance(node, nodes.Attribute):
            paper = self.base.papers.get(node.of.name) if isinstance(node.of, nodes.Name) else None
            value = getattr(paper, node.name, None) if node.name in _PAPER_MEASURES else None
            number = value.value if isinstance(value, Quantity) else value
            return str(Fraction(number)) if number is not None else None
        if node.name in self.defining_statements:
            return self.defining_statements[node.name].value
        if node.name in self.free:
            return ["of", node.name]
        fixed = self.base.lengths.get(node.name) or self.base.counts.get(node.name)
        return str(Fraction(fixed.value)) if fixed is not None else None

    def _chain(self, expr: nodes.Expr) -> list[tuple[str, nodes.Statement]]:
        """The statements that an expression rests on, with the names that they make, first things first."""
        wanted, chain = set(names_in(expr)), []
        for name, statement in reversed(self.defining_statements.items()):
            if name in wanted:
                chain.append((name, statement))
                wanted.update(names_in(statement.value))
        return chain[::-1]

    def _evaluator(self, values: LengthValues) -> ExpressionEvaluator:
        names = dict(self.fixed)
        for name, quantity in self.base.lengths.items():
            value = length(values[name], name) if name in values else quantity
            names[name] = Binding(name, value, Span(""), "", 0)
        return ExpressionEvaluator(PlanBuilder(self.system), names, {})


def is_constant(pure: LengthStatements, expr: nodes.Expr) -> bool:
    """True for an expression that no choice of named lengths can change."""
    return pure.is_computable(expr) and not pure.names(expr)


def _leaves(value: object) -> list[object]:
    if not isinstance(value, Group):
        return [value]
    return [leaf for item in value.items for leaf in _leaves(item)]

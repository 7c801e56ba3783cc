"""Evaluate all fences of a source for one edition, in order, and word its prose afterwards."""
from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from generator.findings import Finding, FindingError, Span, finding
from generator.language.evaluation.application import call_entry
from generator.language.evaluation.expressions import ExpressionEvaluator
from generator.language.evaluation.properties import seen_direction
from generator.language.evaluation.prose_wording import UnwordableValue, WordedValue, word_value
from generator.language.evaluation.registry import FAILED, Binding, DependentFailure
from generator.language.parts import Parts, built_in_parts
from generator.language.source.front_matter_checks import UNIT_WORDS
from generator.language.syntax.nodes import Call, Expr, Statement
from generator.locale import ENGLISH, Locale
from generator.paper.plan_builder import MAX_WORK, PlanBuilder
from generator.paper.records import Fold, Paper, Plan
from generator.paper.values import Group
from generator.paper.verbs import VOCABULARY
from generator.units import Bench, Quantity, QuantityError

MAX_STATEMENTS = 2000
# how many pieces, acts, marks and faces there are, and how long the history of each piece is
Snapshot = tuple[int, int, int, int, Mapping[int, int]]


@dataclass(frozen=True, slots=True)
class EditionValues:
    """What the front matter gives one edition: name → value, and where each name stands."""

    lengths: Mapping[str, Quantity]
    counts: Mapping[str, Quantity]
    papers: Mapping[str, Paper]
    spans: Mapping[str, Span]
    parts: Parts = field(default_factory=built_in_parts)


@dataclass(frozen=True, slots=True)
class Evaluation:
    """One edition, evaluated: its plan, what every name stands for, what is wrong, what was used."""

    plan: Plan
    names: Mapping[str, Binding]
    findings: tuple[Finding, ...]
    evaluator: ExpressionEvaluator
    # statements that made nothing, since something was wrong with them
    failed_statements: frozenset[Span] = frozenset()

    def word(self, expr: Expr, thickness: bool = False, step: int | None = None,
             locale: Locale = ENGLISH) -> WordedValue:
        """An expression of the prose in words. Raises Trouble, or Cascade.

        Pieces are read as they are after ``step`` (0: the introduction; None: at the end).
        """
        builder = self.evaluator.builder
        self.evaluator.use, builder.reading = "prose", step
        try:
            return word_value(self._as_seen(self.evaluator.value(expr)), self.plan.system, thickness, locale)
        except UnwordableValue as error:
            raise FindingError(finding("call-kind", expr.span, str(error), error.hint)) from None
        except QuantityError as error:
            raise FindingError(finding(error.code, expr.span, str(error), error.hint)) from None
        finally:
            builder.reading = None

    def _as_seen(self, value: object) -> object:
        """Folds are stored relative to the printed side and worded relative to the side that was up."""
        if isinstance(value, Group):
            return Group(tuple(map(self._as_seen, value.items)))
        return seen_direction(self.evaluator.builder, value) if isinstance(value, Fold) else value

    def value(self, expr: Expr) -> object:
        """The bare value of an expression. Raises Trouble, or Cascade."""
        self.evaluator.use = "prose"
        return self.evaluator.value(expr)


def evaluate(system: str, bench: Bench, given: EditionValues,
             steps: Iterable[tuple[int, Sequence[Statement]]],
             unread_names: frozenset[str] = frozenset()) -> Evaluation:
    """Work through the statements of all steps (number, statements) for one edition.

    ``unread_names`` are names that statements were to make which do not read.
    """
    todo = [(number, statement) for number, statements in steps for statement in statements]
    builder = PlanBuilder(system, bench, given.papers)
    names = _front_matter_bindings(given)
    evaluator = ExpressionEvaluator(builder, names, {s.name: s.name_place for _, s in todo if s.name},
                                    unread_names=unread_names,
                    parts=given.parts)
    findings: list[Finding] = []
    failed_statements: set[Span] = set()
    for place, (step, statement) in enumerate(todo):
        if place >= MAX_STATEMENTS:
            findings.append(finding("too-much", statement.span, f"more than {MAX_STATEMENTS} statements",
                                    "no box needs so many"))
        # nobody is blamed for what is not read any more
        if place >= MAX_STATEMENTS or builder.work > MAX_WORK:
            failed_statements.update(s.span for _, s in todo[place:])
            evaluator.unread_names |= {s.name for _, s in todo[place:] if s.name}
            break
        builder.step = step
        wrong, made = _evaluate_statement(evaluator, statement, step)
        findings.extend(wrong)
        if not made:
            failed_statements.add(statement.span)
    builder.work = 0    # the prose has an allowance of its own
    return Evaluation(builder.plan(), names, (*findings, *builder.findings), evaluator,
                      frozenset(failed_statements))


def _front_matter_bindings(given: EditionValues) -> dict[str, Binding]:
    names: dict[str, Binding] = {}
    for group in (given.counts, given.lengths, given.papers):
        for name, value in group.items():
            names[name] = Binding(name, value, given.spans.get(name, Span("")), "", 0)
    return names


def _evaluate_statement(evaluator: ExpressionEvaluator, statement: Statement,
                        step: int) -> tuple[list[Finding], bool]:
    """Work one statement: what is wrong, and whether it was done.

    When not, its name stands for :data:`FAILED`.
    """
    builder, name = evaluator.builder, statement.name
    wrong = _name_findings(evaluator, statement)
    builder.name, builder.text, builder.span = name, statement.text, statement.span
    before = _snapshot(builder)
    value: object = FAILED
    made = False
    try:
        value = evaluator.value(statement.value)
        made = True
        call = statement.value
        if name is None and isinstance(call, Call) and call_entry(call, evaluator.parts).use == "value":
            wrong.append(finding("words-wrong", statement.span, "this value is made and thrown away",
                                 "give it a name: name = …"))
        if name is not None and value is None:
            wrong.append(finding("call-kind", statement.name_place,
                                 f"this call gives nothing that '{name}' could stand for",
                                 "leave the name and the = out"))
            value = FAILED
    except FindingError as trouble:
        wrong.extend(trouble.findings)
        _restore(builder, before)
    except DependentFailure:
        _restore(builder, before)
    if name is not None and not any(f.code == "name-twice" for f in wrong):
        evaluator.names[name] = Binding(name, value, statement.name_place, statement.text, step)
    return wrong, made


def _name_findings(evaluator: ExpressionEvaluator, statement: Statement) -> list[Finding]:
    name = statement.name
    if name is None:
        return []
    if name in UNIT_WORDS:
        return [finding("name-twice", statement.name_place, f"'{name}' is a unit", "choose another name")]
    if name in VOCABULARY:
        return [finding("name-twice", statement.name_place, f"'{name}' is a word of the language already",
                        "choose another name")]
    if name in evaluator.names:
        place = evaluator.names[name].span
        return [finding("name-twice", statement.name_place,
                        f"'{name}' is made twice; line {place.line} makes it already",
                        "choose another name; nothing is ever changed once it is made")]
    return []


def _snapshot(builder: PlanBuilder) -> Snapshot:
    return (len(builder.pieces), len(builder.acts), builder.marks_made, builder.faces_made,
            {piece: len(history) for piece, history in builder.states.items()})


def _restore(builder: PlanBuilder, before: Snapshot) -> None:
    """Forget what a failed statement has half done, so that the next one works on a sound plan."""
    pieces, acts, builder.marks_made, builder.faces_made, lengths = before
    del builder.pieces[pieces:]
    del builder.acts[acts:]
    builder.states = {piece: builder.states[piece][:size] for piece, size in lengths.items()}

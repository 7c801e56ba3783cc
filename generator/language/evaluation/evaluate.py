"""Evaluate all fences of a source for one edition, in order, and afterwards what its prose asks for."""
from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from generator.dataclass import dataclass, field, replace
from generator.findings import Finding, FindingError, Span, finding, stage_finding
from generator.language.evaluation.application import call_entry
from generator.language.evaluation.deferred_properties import FoldedProperties, PlanReader
from generator.language.evaluation.expressions import ExpressionEvaluator
from generator.language.evaluation.properties import seen_direction
from generator.language.evaluation.prose_wording import UnwordableValue, WordedValue, word_value
from generator.language.evaluation.registry import FAILED, Binding, DependentFailure
from generator.language.parts import Parts, built_in_parts
from generator.language.source.front_matter_checks import UNIT_WORDS
from generator.language.syntax.nodes import Call, Expr, Statement
from generator.locale import ENGLISH, Locale
from generator.paper.plan_builder import PlanBuilder, WorkAllowance
from generator.paper.records import Fold, Paper, Plan
from generator.paper.values import Group
from generator.paper.verbs import RESERVED_NAMES
from generator.units import FrozenRecord, Quantity, QuantityError

MAX_STATEMENTS = 2000
# how many pieces, acts, marks and faces there are, and how long the history of each piece is
Snapshot = tuple[int, int, int, int, Mapping[int, int]]


@dataclass(frozen=True, slots=True)
class EditionValues(FrozenRecord):
    """What the front matter gives one edition: name → value, and where each name stands."""

    lengths: Mapping[str, Quantity]
    counts: Mapping[str, Quantity]
    papers: Mapping[str, Paper]
    spans: Mapping[str, Span]
    parts: Parts = field(default_factory=built_in_parts)


@dataclass(frozen=True, slots=True)
class Evaluation(FrozenRecord):
    """One edition, evaluated: its plan, what every name stands for, and what is wrong."""

    plan: Plan
    names: Mapping[str, Binding]
    findings: tuple[Finding, ...]
    # statements that made nothing, since something was wrong with them
    failed_statements: frozenset[Span]
    statement_spans: Mapping[str, Span]     # where a statement makes each name, if only it could
    unread_names: frozenset[str]            # names that wrong statements were to make
    parts: Parts


@dataclass(frozen=True, slots=True)
class ProseContext:
    """What prose of one edition is worded from: its evaluation, the folded box, and the step it stands in.

    ``step`` is 0 for the introduction, None for the end of all work. What shares an ``allowance`` may ask
    for so much work altogether.
    """

    evaluation: Evaluation
    folded: FoldedProperties | None = None
    step: int | None = None
    allowance: WorkAllowance = field(default_factory=WorkAllowance)

    def at(self, step: int) -> ProseContext:
        """The same for the prose of another step."""
        return replace(self, step=step)

    def word(self, expr: Expr, thickness: bool = False, locale: Locale = ENGLISH) -> WordedValue:
        """An expression in words. Raises FindingError, or DependentFailure."""
        plan, reader = self.evaluation.plan, self._reader()
        try:
            value = _directions_as_seen(reader, self._value(expr, reader))
            return word_value(value, plan.system, thickness, locale)
        except (UnwordableValue, QuantityError) as error:
            code = error.code if isinstance(error, QuantityError) else "call-kind"
            raise FindingError(finding(code, expr.span, str(error), error.hint)) from None

    def value(self, expr: Expr) -> object:
        """The bare value of an expression. Raises FindingError, or DependentFailure."""
        return self._value(expr, self._reader())

    def _value(self, expr: Expr, reader: PlanReader) -> object:
        done = self.evaluation
        return ExpressionEvaluator(reader, dict(done.names), done.statement_spans, done.unread_names,
                                   done.parts).value(expr)

    def _reader(self) -> PlanReader:
        plan = self.evaluation.plan
        return PlanReader(plan.system, pieces=plan.pieces, acts=plan.acts, states=plan.states,
                          allowance=self.allowance, folded=self.folded, after_step=self.step)


def _directions_as_seen(reader: PlanReader, value: object) -> object:
    """Folds are stored relative to the printed side and worded relative to the side that was up."""
    if isinstance(value, Group):
        return Group(tuple(_directions_as_seen(reader, item) for item in value.items))
    return seen_direction(reader, value) if isinstance(value, Fold) else value


def evaluate(system: str, given: EditionValues, steps: Iterable[tuple[int, Sequence[Statement]]],
             unread_names: frozenset[str] = frozenset()) -> Evaluation:
    """Work through the statements of all steps (number, statements) for one edition.

    ``unread_names`` are names that statements were to make which do not read.
    """
    todo = [(number, statement) for number, statements in steps for statement in statements]
    builder = PlanBuilder(system)
    evaluator = ExpressionEvaluator(builder, _front_matter_bindings(given),
                                    {s.name: s.name_place for _, s in todo if s.name}, unread_names,
                                    given.parts)
    findings: list[Finding] = []
    failed_statements: set[Span] = set()
    for place, (step, statement) in enumerate(todo):
        if place >= MAX_STATEMENTS:
            findings.append(finding("too-much", statement.span, f"more than {MAX_STATEMENTS} statements",
                                    "no box needs so many"))
        # nobody is blamed for what is not read any more
        if place >= MAX_STATEMENTS or builder.allowance.is_spent:
            failed_statements.update(s.span for _, s in todo[place:])
            evaluator.unread_names |= {s.name for _, s in todo[place:] if s.name}
            break
        builder.step = step
        wrong, is_complete = _evaluate_statement(evaluator, builder, statement)
        findings.extend(wrong)
        if not is_complete:
            failed_statements.add(statement.span)
    return Evaluation(builder.plan(), evaluator.names, (*findings, *builder.findings),
                      frozenset(failed_statements), evaluator.later, evaluator.unread_names, given.parts)


def _front_matter_bindings(given: EditionValues) -> dict[str, Binding]:
    names: dict[str, Binding] = {}
    for group in (given.counts, given.lengths, given.papers):
        for name, value in group.items():
            names[name] = Binding(name, value, given.spans.get(name, Span("")), "", 0)
    return names


def _evaluate_statement(evaluator: ExpressionEvaluator, builder: PlanBuilder,
                        statement: Statement) -> tuple[list[Finding], bool]:
    """Work one statement: what is wrong, and whether it was done.

    When not, its name stands for :data:`FAILED`.
    """
    name = statement.name
    wrong = _name_findings(evaluator, statement)
    builder.name, builder.text, builder.span = name, statement.text, statement.span
    before = _snapshot(builder)
    value: object = FAILED
    result = False
    try:
        value = evaluator.value(statement.value)
        result = True
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
    except Exception as error:
        wrong.append(stage_finding(f"working out step {builder.step}", statement.span, error))
        _restore(builder, before)
    if name is not None and not any(f.code == "name-twice" for f in wrong):
        evaluator.names[name] = Binding(name, value, statement.name_place, statement.text, builder.step)
    return wrong, result


def _name_findings(evaluator: ExpressionEvaluator, statement: Statement) -> list[Finding]:
    name = statement.name
    if name is None:
        return []
    if name in UNIT_WORDS:
        return [finding("name-twice", statement.name_place, f"'{name}' is a unit", "choose another name")]
    if name in RESERVED_NAMES:
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

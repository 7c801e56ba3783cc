"""Work out one expression: names, properties, selections, sums and calls."""
from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from generator.dataclass import dataclass, field, replace
from generator.findings import Finding, FindingError, Span, finding_error
from generator.language.evaluation import arithmetic
from generator.language.evaluation.application import (
    apply_call,
    call_entry,
    check_kinds,
    did_you_mean,
    match_arguments,
    unknown_parameter_findings,
)
from generator.language.evaluation.deferred_properties import DEFERRED_PROPERTIES, PlanReader, deferred_value
from generator.language.evaluation.properties import (
    GROUP_PROPERTIES,
    PROPERTIES,
    SINGLE_VALUE_PROPERTIES,
    EachMember,
    property_names,
)
from generator.language.evaluation.registry import FAILED, OMITTED, Binding, CallEntry, DependentFailure
from generator.language.part_use import PartUse, use_part
from generator.language.parts import Parts, built_in_parts
from generator.language.syntax import nodes
from generator.paper.parameter_kinds import kind_of
from generator.paper.plan_builder import CallContext
from generator.paper.shapes import whole_number
from generator.paper.values import Group, JointHandle, PartResults, Piece, VocabularyWord
from generator.paper.verbs import VOCABULARY
from generator.units import Angle, Quantity, QuantityError, number


@dataclass(slots=True)
class ExpressionEvaluator:
    """Works out expressions for one edition: of fences, or between braces where a plan is only read.

    ``inside`` is the part whose statements are at work, ``parts`` all that may be used.
    """

    context: CallContext
    names: dict[str, Binding]
    later: Mapping[str, Span]       # names that a statement makes, wherever it stands
    # names that wrong statements were to make: nobody else is to blame
    unread_names: frozenset[str] = frozenset()
    parts: Parts = field(default_factory=built_in_parts)
    inside: PartUse | None = None

    @property
    def in_prose(self) -> bool:
        """Whether expressions stand between braces, where paper is not worked on."""
        return isinstance(self.context, PlanReader)

    def value(self, expr: nodes.Expr) -> object:
        """The value of an expression. Raises FindingError with findings, or DependentFailure."""
        if self.context.allowance.is_spent:   # reported already, by what went beyond it
            raise DependentFailure
        self.context.count_work()
        work: Callable[[nodes.Expr], object] = getattr(self, _EVALUATORS[type(expr)])
        before = self.context.span
        try:
            self.context.span = self.place(expr)
            return work(expr)
        except QuantityError as error:
            raise finding_error(error.code, expr.span, str(error), error.hint) from None
        finally:
            self.context.span = before

    def place(self, expr: nodes.Expr, span: Span | None = None) -> Span:
        """Where an expression (or a ``span`` of it) stands for the author: of a part, where that is used."""
        return (span or expr.span) if self.inside is None else self.inside.place(expr)

    def values(self, exprs: Iterable[nodes.Expr], wrong: Iterable[Finding] = ()) -> list[object]:
        """The values of expressions side by side.

        Raises Trouble with all that is wrong with them, or Cascade.
        """
        found, wrong, missing = [], list(wrong), False
        for each in exprs:
            try:
                found.append(self.value(each))
            except FindingError as trouble_:
                wrong.extend(trouble_.findings)
            except DependentFailure:
                missing = True
        if wrong:
            raise FindingError(*wrong)
        if missing:
            raise DependentFailure
        return found

    # -- leaves -----------------------------------------------------------

    def number(self, expr: nodes.NumberLiteral) -> Quantity:
        """A plain number as a quantity of power 0."""
        return number(expr.value)

    def angle(self, expr: nodes.AngleLiteral) -> Angle:
        """An angle in degrees."""
        return Angle(expr.degrees)

    def length(self, expr: nodes.LengthLiteral) -> object:
        """A length typed into a statement: always refused, since measures stand in the front matter."""
        raise finding_error("length-in-fence", expr.span,
                      f"the length {expr.text} is typed here; it would be wrong in the other edition",
                      "name it in the front matter, under lengths (or tools) and editions, and use its name")

    def text(self, expr: nodes.TextLiteral) -> str:
        """A text as it stands."""
        return expr.value

    def name(self, expr: nodes.Name) -> object:
        """What the name stands for: a binding, or a word of the vocabulary."""
        binding = self.names.get(expr.name)
        if binding is not None:
            if binding.value is FAILED:
                raise DependentFailure
            if binding.value is OMITTED:
                raise finding_error("call-missing", expr.span,
                                    f"'{expr.name}' was left out, and is needed here",
                              "give it")
            return binding.value
        if expr.name in VOCABULARY:
            return VocabularyWord(expr.name)
        if expr.name in self.unread_names:
            raise DependentFailure
        if expr.name in self.later:
            raise finding_error("name-early", expr.span, f"'{expr.name}' is used before it is made",
                          f"line {self.later[expr.name].line} makes it; move that up, or this down")
        known = [*self.names, *self.later, *VOCABULARY]
        raise finding_error("name-unknown", expr.span, f"nothing is called '{expr.name}'",
                      did_you_mean(expr.name, known, "name it in the front matter, or make it in a fence"))

    # -- what stands behind a value -----------------------------------------

    def attribute(self, expr: nodes.Attribute) -> object:
        """A property of a value, also of each member of a group."""
        of = self.value(expr.of)
        self.context.span = self.place(expr, expr.name_span)
        return self._property(of, expr)

    def _property(self, of: object, expr: nodes.Attribute) -> object:
        if isinstance(of, PartResults) and expr.name in of.names:
            return of[expr.name]
        if isinstance(of, Group) and expr.name in GROUP_PROPERTIES:
            return GROUP_PROPERTIES[expr.name](self.context, of)
        known = property_names(of, deferred=True)
        if isinstance(of, EachMember) or (isinstance(of, Group) and expr.name in known):
            self.context.count_work(2 * len(of.items))
            return Group(tuple(self._property(item, expr) for item in of.items))
        getter = PROPERTIES.get(type(of), {}).get(expr.name)
        if getter is None and expr.name in SINGLE_VALUE_PROPERTIES and not isinstance(of, Group):
            return SINGLE_VALUE_PROPERTIES[expr.name](of)
        if (getter is None and isinstance(of, Piece | JointHandle)
                and expr.name in DEFERRED_PROPERTIES.get(type(of), ())):
            return deferred_value(self.context, expr.name, of)
        if getter is None:
            known = property_names(of, deferred=self.in_prose)
            near = did_you_mean(expr.name, known, "it has " + ", ".join(known)
                                if known else "use it as it is; it has no properties")
            raise finding_error("attribute-unknown", expr.name_span,
                          f"{kind_of(_first_member(of))} has no property '{expr.name}'", near)
        return getter(self.context, of)

    def select(self, expr: nodes.Select) -> object:
        """One member of a group, counted from 1."""
        of, index = self.values((expr.of, expr.index))
        k = self._place(index, expr.index)
        if isinstance(of, EachMember):
            return Group(tuple(self._pick(item, k, expr) for item in of.items))
        return self._pick(of, k, expr)

    def select_span(self, expr: nodes.SelectSpan) -> object:
        """The members of a group from one to another, both included."""
        of, *ends = self.values((expr.of, expr.first, expr.last))
        first, last = map(self._place, ends, (expr.first, expr.last))
        if isinstance(of, EachMember):
            return Group(tuple(self._cut(item, first, last, expr) for item in of.items))
        return self._cut(of, first, last, expr)

    def _place(self, value: object, expr: nodes.Expr) -> int:
        self.context.span = self.place(expr)
        if not isinstance(value, Quantity) or value.power:
            self.context.refuse("call-kind", f"a selection counts, it cannot use {kind_of(value)}",
                            "give 1, 2, 3 …")
        return whole_number(self.context, value, "", least=-1000)

    def _pick(self, of: object, k: int, expr: nodes.Select | nodes.SelectSpan) -> object:
        if not isinstance(of, Group):
            raise finding_error("select-range", expr.span, f"{kind_of(of)} is no group to select from",
                          "use it as it is")
        if not 1 <= k <= len(of):
            hint = f"count from 1 to {len(of)}" + ("; .last is the last one" if k < 1 else "")
            raise finding_error("select-range", expr.span, f"there is no number {k} in a group of {len(of)}",
                          hint if of.items else "the group is empty")
        return of.items[k - 1]

    def _cut(self, of: object, first: int, last: int, expr: nodes.SelectSpan) -> Group[object]:
        self._pick(of, first, expr)
        self._pick(of, last, expr)
        assert isinstance(of, Group)     # else nothing is picked from it
        if last < first:
            raise finding_error("select-range", expr.span, f"this selection runs from {first} back to {last}",
                          "give the smaller number first")
        return Group(of.items[first - 1:last])

    # -- signs ----------------------------------------------------------------

    def between(self, expr: nodes.SpanExpression) -> object:
        """The span between two parallel places."""
        return arithmetic.place_span(self.context, *self.values((expr.first, expr.last)))

    def negative(self, expr: nodes.Negative) -> object:
        """The negative of a quantity, an angle or a group of them."""
        return arithmetic.negative(self.context, self.value(expr.of))

    def binary(self, expr: nodes.Binary) -> object:
        """The sum, difference, product, quotient or power of two values."""
        return arithmetic.binary(self.context, expr.op, *self.values((expr.left, expr.right)))

    def comparison(self, expr: nodes.Comparison) -> object:
        """Whether a chain of comparisons holds, with the link that decides."""
        (left, *others), whole_ = self.values((expr.first, *(e for _, e in expr.rest))), None
        for (op, _), right in zip(expr.rest, others, strict=True):
            link = arithmetic.compare(self.context, op, left, right)
            whole_ = link if whole_ is None else arithmetic.combine(self.context, "and", whole_, link)
            left = right
        return whole_

    def logic(self, expr: nodes.Logic) -> object:
        """Two comparisons joined by and or or."""
        return arithmetic.combine(self.context, expr.op, *self.values((expr.left, expr.right)))

    def opposite(self, expr: nodes.Not) -> object:
        """The negation of a comparison."""
        return arithmetic.negate(self.context, self.value(expr.of))

    def call(self, expr: nodes.Call) -> object:
        """The value of a call of the registry or of a part."""
        try:
            entry = call_entry(expr, self.parts)
        except FindingError as no_call:     # what is wrong within it is as wrong
            self.values([*expr.args, *(k.value for k in expr.keywords)], no_call.findings)
            raise
        if entry.use == "paper" and self.in_prose:
            raise finding_error("call-place", expr.name_span,
                                f"'{expr.name}' works on paper; prose only quotes",
                          "put it in a geometry fence under a name, and quote that name here")
        if entry.use == "prose" and not self.in_prose:
            raise finding_error("call-place", expr.name_span, f"'{expr.name}' makes words for prose",
                          "use it between {{ and }}")
        wrong = unknown_parameter_findings(entry, expr)
        unknown = {f.span for f in wrong}
        named = [k for k in expr.keywords if k.span not in unknown and not self._left_out(k.value)]
        values = self.values([*expr.args, *(k.value for k in named)], wrong)
        args = [(value, self.place(a)) for value, a in zip(values, expr.args, strict=False)]
        keywords = {k.name: (value, self.place(k.value)) for k,
                    value in zip(named, values[len(args):], strict=True)}
        taken, further = match_arguments(entry, expr, args, keywords)
        check_kinds(entry, taken, further)
        self.context.span, self.context.places = self.place(expr), {name: span for name,
                                                                    (_, span) in taken.items()}
        if entry.rest is not None:
            self.context.places |= {f"{entry.rest.name} {k}": span for k, (_, span) in enumerate(further)}
        try:
            return apply_call(self.context, self._workable(entry), taken, further)
        finally:
            self.context.places = {}

    def _left_out(self, expr: nodes.Expr) -> bool:
        """True for a parameter of the part at work that was left out.

        What it is passed on to is left out too.
        """
        binding = self.names.get(expr.name) if isinstance(expr, nodes.Name) else None
        return binding is not None and binding.value is OMITTED

    def _workable(self, entry: CallEntry) -> CallEntry:
        """The entry itself; that of a part with a function that works its statements."""
        if entry.function is not None:
            return entry
        part, around = self.parts[entry.name], self.inside.around if self.inside else ()

        def function(context: CallContext, *bare: object, **named: object) -> object:
            given = {p.name: value for p, value in zip(entry.bare, bare, strict=False)} | named
            return use_part(part, context, given, around, lambda names, later, inside: ExpressionEvaluator(
                context, names, later, parts=self.parts, inside=inside))
        return replace(entry, function=function)


def _first_member(value: object) -> object:
    """The first thing of a group that is none; the group itself when it is empty."""
    while isinstance(value, Group) and value.items:
        value = value.items[0]
    return value


_EVALUATORS: Mapping[type, str] = {
    nodes.NumberLiteral: "number", nodes.AngleLiteral: "angle", nodes.LengthLiteral: "length",
    nodes.TextLiteral: "text", nodes.Name: "name", nodes.Attribute: "attribute", nodes.Select: "select",
    nodes.SelectSpan: "select_span", nodes.SpanExpression: "between", nodes.Negative: "negative",
    nodes.Binary: "binary", nodes.Comparison: "comparison", nodes.Logic: "logic", nodes.Not: "opposite",
    nodes.Call: "call",
}

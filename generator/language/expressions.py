"""Work out one expression: names, properties, selections, sums and calls."""
from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace

from generator.findings import Finding, Span, Trouble, trouble
from generator.language import operations, syntax
from generator.language.application import (
    apply,
    check_kinds,
    did_you_mean,
    entry_for,
    matched,
    unknown_parameters,
)
from generator.language.attributes import ATTRIBUTES, OF_GROUPS, ONE_ALONE, Each, names_of
from generator.language.bindings import BROKEN, NOTHING, Binding, Cascade
from generator.language.parts import Parts, library
from generator.language.registry import Entry
from generator.language.told import TOLD, told
from generator.language.using import Inside, use
from generator.paper.calls import VOCABULARY
from generator.paper.job import MOST_WORK, Job
from generator.paper.kinds import kind_of
from generator.paper.shapes import whole
from generator.paper.values import Group, Made, Word
from generator.units import Angle, Quantity, QuantityError, number


@dataclass(slots=True)
class Worker:
    """Works out expressions for one edition. ``use`` is "paper" in fences and "prose" between braces.

    ``inside`` is the part whose statements are at work, ``parts`` all that may be used.
    """

    job: Job
    names: dict[str, Binding]
    later: Mapping[str, Span]       # names that a statement makes, wherever it stands
    use: str = "paper"
    spoiled: frozenset[str] = frozenset()   # names that wrong statements were to make: nobody else is to blame
    parts: Parts = field(default_factory=library)
    inside: Inside | None = None

    def value(self, expr: syntax.Expr) -> object:
        """The value of an expression. Raises Trouble with findings, or Cascade."""
        if self.job.work > MOST_WORK:   # reported already, by what went beyond it
            raise Cascade
        self.job.spend()
        work = _WORK[type(expr)]
        before = self.job.span
        try:
            self.job.span = self.place(expr)
            return work(self, expr)
        except QuantityError as error:
            raise trouble(error.code, expr.span, str(error), error.hint) from None
        finally:
            self.job.span = before

    def place(self, expr: syntax.Expr, span: Span | None = None) -> Span:
        """Where an expression (or a ``span`` of it) stands for the author: of a part, where that is used."""
        return (span or expr.span) if self.inside is None else self.inside.place(expr)

    def values(self, exprs: Iterable[syntax.Expr], wrong: Iterable[Finding] = ()) -> list[object]:
        """The values of expressions side by side. Raises Trouble with all that is wrong with them, or Cascade."""
        found, wrong, missing = [], list(wrong), False
        for each in exprs:
            try:
                found.append(self.value(each))
            except Trouble as trouble_:
                wrong.extend(trouble_.findings)
            except Cascade:
                missing = True
        if wrong:
            raise Trouble(*wrong)
        if missing:
            raise Cascade
        return found

    # -- leaves -----------------------------------------------------------

    def number(self, expr: syntax.Number) -> Quantity:
        return number(expr.value)

    def angle(self, expr: syntax.AngleLiteral) -> Angle:
        return Angle(expr.degrees)

    def length(self, expr: syntax.LengthLiteral) -> object:
        raise trouble("length-in-fence", expr.span, f"the length {expr.text} is typed here; it would be wrong in the other edition",
                      "name it in the front matter, under lengths (or tools) and editions, and use its name")

    def text(self, expr: syntax.Text) -> str:
        return expr.value

    def name(self, expr: syntax.Name) -> object:
        binding = self.names.get(expr.name)
        if binding is not None:
            if binding.value is BROKEN:
                raise Cascade
            if binding.value is NOTHING:
                raise trouble("call-missing", expr.span, f"'{expr.name}' was left out, and is needed here", "give it")
            return binding.value
        if expr.name in VOCABULARY:
            return Word(expr.name)
        if expr.name in self.spoiled:
            raise Cascade
        if expr.name in self.later:
            raise trouble("name-early", expr.span, f"'{expr.name}' is used before it is made",
                          f"line {self.later[expr.name].line} makes it; move that up, or this down")
        known = [*self.names, *self.later, *VOCABULARY]
        raise trouble("name-unknown", expr.span, f"nothing is called '{expr.name}'",
                      did_you_mean(expr.name, known, "name it in the front matter, or make it in a fence"))

    # -- what stands behind a value -----------------------------------------

    def attribute(self, expr: syntax.Attribute) -> object:
        of = self.value(expr.of)
        self.job.span = self.place(expr, expr.name_span)
        return self._property(of, expr)

    def _property(self, of: object, expr: syntax.Attribute) -> object:
        if isinstance(of, Made) and expr.name in of.names:
            return of[expr.name]
        if isinstance(of, Group) and expr.name in OF_GROUPS:
            return OF_GROUPS[expr.name](self.job, of)
        known = names_of(of, told=True)
        if isinstance(of, Each) or (isinstance(of, Group) and expr.name in known):
            self.job.spend(2 * len(of.items))
            return Group(tuple(self._property(item, expr) for item in of.items))
        getter = ATTRIBUTES.get(type(of), {}).get(expr.name)
        if getter is None and expr.name in ONE_ALONE and not isinstance(of, Group):
            return ONE_ALONE[expr.name](of)
        if getter is None and expr.name in TOLD.get(type(of), ()):
            return told(self.job, self.use, expr.name, of, expr.name_span)
        if getter is None:
            known = names_of(of, told=self.use == "prose")
            near = did_you_mean(expr.name, known, "it has " + ", ".join(known) if known else "use it as it is; it has no properties")
            raise trouble("attribute-unknown", expr.name_span, f"{kind_of(_member(of))} has no property '{expr.name}'", near)
        return getter(self.job, of)

    def select(self, expr: syntax.Select) -> object:
        of, index = self.values((expr.of, expr.index))
        k = self._place(index, expr.index)
        if isinstance(of, Each):
            return Group(tuple(self._pick(item, k, expr) for item in of.items))
        return self._pick(of, k, expr)

    def select_span(self, expr: syntax.SelectSpan) -> object:
        of, *ends = self.values((expr.of, expr.first, expr.last))
        first, last = map(self._place, ends, (expr.first, expr.last))
        if isinstance(of, Each):
            return Group(tuple(self._cut(item, first, last, expr) for item in of.items))
        return self._cut(of, first, last, expr)

    def _place(self, value: object, expr: syntax.Expr) -> int:
        self.job.span = self.place(expr)
        if not isinstance(value, Quantity) or value.power:
            self.job.refuse("call-kind", f"a selection counts, it cannot use {kind_of(value)}", "give 1, 2, 3 …")
        return whole(self.job, value, "", least=-1000)

    def _pick(self, of: object, k: int, expr: syntax.Select | syntax.SelectSpan) -> object:
        if not isinstance(of, Group):
            raise trouble("select-range", expr.span, f"{kind_of(of)} is no group to select from", "use it as it is")
        if not 1 <= k <= len(of):
            hint = f"count from 1 to {len(of)}" + ("; .last is the last one" if k < 1 else "")
            raise trouble("select-range", expr.span, f"there is no number {k} in a group of {len(of)}",
                          hint if of.items else "the group is empty")
        return of.items[k - 1]

    def _cut(self, of: object, first: int, last: int, expr: syntax.SelectSpan) -> Group:
        self._pick(of, first, expr)
        self._pick(of, last, expr)
        if last < first:
            raise trouble("select-range", expr.span, f"this selection runs from {first} back to {last}",
                          "give the smaller number first")
        return Group(of.items[first - 1:last])

    # -- signs ----------------------------------------------------------------

    def between(self, expr: syntax.Between) -> object:
        return operations.between(self.job, *self.values((expr.first, expr.last)))

    def negative(self, expr: syntax.Negative) -> object:
        return operations.negative(self.job, self.value(expr.of))

    def binary(self, expr: syntax.Binary) -> object:
        return operations.binary(self.job, expr.op, *self.values((expr.left, expr.right)))

    def comparison(self, expr: syntax.Comparison) -> object:
        (left, *others), whole_ = self.values((expr.first, *(e for _, e in expr.rest))), None
        for (op, _), right in zip(expr.rest, others, strict=True):
            link = operations.compared(self.job, op, left, right)
            whole_ = link if whole_ is None else operations.both(self.job, "and", whole_, link)
            left = right
        return whole_

    def logic(self, expr: syntax.Logic) -> object:
        return operations.both(self.job, expr.op, *self.values((expr.left, expr.right)))

    def opposite(self, expr: syntax.Not) -> object:
        return operations.opposite(self.job, self.value(expr.of))

    def call(self, expr: syntax.Call) -> object:
        entry = entry_for(expr, self.parts)
        if entry.use == "paper" and self.use != "paper":
            raise trouble("call-place", expr.name_span, f"'{expr.name}' works on paper; prose only quotes",
                          "put it in a geometry fence under a name, and quote that name here")
        if entry.use == "prose" and self.use != "prose":
            raise trouble("call-place", expr.name_span, f"'{expr.name}' makes words for prose", "use it between {{ and }}")
        wrong = unknown_parameters(entry, expr)
        unknown = {f.span for f in wrong}
        named = [k for k in expr.keywords if k.span not in unknown and not self._left_out(k.value)]
        values = self.values([*expr.args, *(k.value for k in named)], wrong)
        args = [(value, self.place(a)) for value, a in zip(values, expr.args, strict=False)]
        keywords = {k.name: (value, self.place(k.value)) for k, value in zip(named, values[len(args):], strict=True)}
        taken, further = matched(entry, expr, args, keywords)
        check_kinds(entry, taken, further)
        self.job.span, self.job.places = self.place(expr), {name: span for name, (_, span) in taken.items()}
        if entry.rest is not None:
            self.job.places |= {f"{entry.rest.name} {k}": span for k, (_, span) in enumerate(further)}
        try:
            return apply(self.job, self._workable(entry), taken, further)
        finally:
            self.job.places = {}

    def _left_out(self, expr: syntax.Expr) -> bool:
        """True for a parameter of the part at work that was left out: what it is passed on to is left out too."""
        binding = self.names.get(expr.name) if isinstance(expr, syntax.Name) else None
        return binding is not None and binding.value is NOTHING

    def _workable(self, entry: Entry) -> Entry:
        """The entry itself; that of a part with a function that works its statements."""
        if entry.function is not None:
            return entry
        part, around = self.parts[entry.name], self.inside.around if self.inside else ()

        def function(job: Job, *bare: object, **named: object) -> object:
            given = {p.name: value for p, value in zip(entry.bare, bare, strict=False)} | named
            return use(part, job, given, around, lambda names, later, inside: Worker(
                job, names, later, parts=self.parts, inside=inside))
        return replace(entry, function=function)


def _member(value: object) -> object:
    """The first thing of a group that is none; the group itself when it is empty."""
    while isinstance(value, Group) and value.items:
        value = value.items[0]
    return value


_WORK: Mapping[type, Callable[[Worker, object], object]] = {
    syntax.Number: Worker.number, syntax.AngleLiteral: Worker.angle, syntax.LengthLiteral: Worker.length,
    syntax.Text: Worker.text, syntax.Name: Worker.name, syntax.Attribute: Worker.attribute,
    syntax.Select: Worker.select, syntax.SelectSpan: Worker.select_span, syntax.Between: Worker.between,
    syntax.Negative: Worker.negative, syntax.Binary: Worker.binary, syntax.Comparison: Worker.comparison,
    syntax.Logic: Worker.logic, syntax.Not: Worker.opposite, syntax.Call: Worker.call,
}

"""The five choices of shelf tutorials against an exhaustive search, drawn in either system.

The search here shares no code with that of the program: the marks are read off worked-out plans and taken
for sums by moving one length at a time; every value of the rule is tried, nothing is cut off by a bound; a
choice fits where the plan with it raises no error. The objective is the one that README declares.
"""
from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import product
from math import ceil, floor, inf, lcm

import pytest

from generator.findings import has_errors
from generator.language.evaluation.editions import compare_editions, evaluate_edition
from generator.regauge import DrawnEdition, RegaugeOptions, find_lengths
from generator.regauge.tool_grids import off_grid, tool_settings
from generator.tutorial.folded_editions import check_folded
from generator.units import length
from tests.regauge.sample_boxes import BENCHES, INCH, ROOT, drawn

Values = dict[str, Fraction]
BOTH_WAYS = ["almond-pot", "hinged-box", "seed-envelope", "soap-pouch", "soap-pyramid", "soap-tray",
             "tea-caddy", "tea-drawer"]
AS_DRAWN, TURNED = "as drawn", "turned"
# by hand, from the sources: what is a ribbon's length alone, and what only may grow
RIBBONS = {"almond-pot": {"cord_length"}, "biscuit-box": {"lace_length"}, "tea-caddy": {"lace_length"},
           "soap-pyramid": {"lace_length"}, "tea-drawer": {"pull_length"}}
ONLY_GROW = {"biscuit-box": {"ease"}, "hinged-box": {"gap"}, "tea-drawer": {"ease"}}
RULE = {"in": INCH / 16, "mm": Fraction(1)}          # as the bench of the tests says
NICE = {"in": [INCH / 4, INCH / 8, INCH / 16], "mm": [Fraction(5), Fraction(1)]}
WITHIN, HOW_MANY, DECIMALS = Fraction(8, 100), 5, 12
STEP_ASIDE = Fraction(1, 1000)


def turned(text: str) -> str:
    """The same design, drawn in the other system: its other edition becomes the drawing."""
    now, other = ("mm", "in") if "\ndrawn_in: mm" in text else ("in", "mm")
    found = re.search(r"\neditions:\n  \w+: \{(.*)\}\n", text)
    lengths = ", ".join(each.split(" for ")[0] for each in found[1].split(", "))
    text = text.replace(found[0], "\n").replace(f"\ndrawn_in: {now}", f"\ndrawn_in: {other}")
    return re.sub(r"\nlengths:\n(  .*\n)+", lambda _: f"\nlengths: {{{lengths}}}\n", text)


@dataclass(frozen=True)
class Sum:
    """A measure as a sum of named lengths and a constant, and what it must be a multiple of (mm)."""

    parts: Mapping[str, Fraction]
    constant: Fraction
    step: Fraction


@dataclass
class Exhaustive:
    """All choices for the other edition of one drawn design."""

    slug: str
    box: DrawnEdition

    @cached_property
    def target(self) -> str:
        return self.box.front.other

    @cached_property
    def lengths(self) -> Values:
        front = self.box.front
        return {name: Fraction(each.value) for name, each in front.lengths[front.drawn_in].items()
                if name not in front.tools}

    def plan(self, values: Values):
        """The plan with these lengths, and the errors that it raises by itself."""
        front = self.box.front
        found = evaluate_edition(front, self.box.steps, self.target,
                                 {name: length(value, name) for name, value in values.items()})
        return found.plan, [f for f in found.findings if has_errors([f])]

    def measures(self, values: Values) -> list[tuple[str, Fraction]]:
        """Every measure that is exact, in the order of the plan, with its tool."""
        return [(each.tool, Fraction(q.value)) for each in tool_settings(self.plan(values)[0])
                for q in each.measures if q.exact]

    @cached_property
    def sums(self) -> list[Sum]:
        """Read off by moving one length at a time; two more plans show that they are sums indeed."""
        base, bench = self.measures(self.lengths), BENCHES[self.target]
        moved = {name: self.measures({**self.lengths, name: value + STEP_ASIDE})
                 for name, value in self.lengths.items()}
        assert all(len(each) == len(base) for each in moved.values())
        sums = []
        for k, (tool, value) in enumerate(base):
            parts = {name: (each[k][1] - value) / STEP_ASIDE for name, each in moved.items()}
            parts = {name: share for name, share in parts.items() if share}
            constant = value - sum(share * self.lengths[name] for name, share in parts.items())
            sums.append(Sum(parts, constant, bench.grid(tool)))
        for sign in (1, -1):
            at = {name: value + sign * (k + 2) * STEP_ASIDE
                  for k, (name, value) in enumerate(self.lengths.items())}
            for (_, value), each in zip(self.measures(at), sums, strict=True):
                assert value == each.constant + sum(c * at[name] for name, c in each.parts.items())
        return sums

    def rule_marks(self, name: str) -> range:
        """How many marks of the rule a length may be: so near its drawing, or a mark of its finest tool."""
        steps = [each.step for each in self.sums if name in each.parts]
        value, rule = self.lengths[name], RULE[self.target]
        reach = max(value * (self.box.front.within or WITHIN), min(steps, default=rule))
        return range(max(ceil((value - reach) / rule), 1), floor((value + reach) / rule) + 1)

    def every_choice(self) -> Iterator[tuple[int, ...]]:
        """All marks of the rule for which every measure lies on its tool; whole numbers only."""
        rule, names = RULE[self.target], list(self.lengths)
        checks: list[list[tuple[list[tuple[int, int]], int, int]]] = [[] for _ in names]
        for each in dict.fromkeys((tuple(sorted(s.parts.items())), s.constant, s.step) for s in self.sums):
            parts, constant, step = each
            if parts:
                scale = lcm(constant.denominator, step.denominator,
                            *((c * rule).denominator for _, c in parts))
                terms = [(names.index(name), int(c * rule * scale)) for name, c in parts]
                checks[max(k for k, _ in terms)].append((terms, int(constant * scale), int(step * scale)))
        chosen: list[int] = []

        def deeper(k: int) -> Iterator[tuple[int, ...]]:
            if k == len(names):
                yield tuple(chosen)
                return
            for mark in self.rule_marks(names[k]):
                chosen.append(mark)
                if all((sum(chosen[i] * c for i, c in terms) + constant) % step == 0
                       for terms, constant, step in checks[k]):
                    yield from deeper(k + 1)
                chosen.pop()
        yield from deeper(0)

    def size_of(self, size: str, values: Values) -> float:
        """A finished size: from its sum where it is one, else from the plan. No size, no such box."""
        each = self.size_sums.get(size)
        if each is None:
            return self.finished(values).get(size, inf)
        return float(each.constant + sum(c * values[name] for name, c in each.parts.items()))

    @cached_property
    def size_sums(self) -> dict[str, Sum]:
        """The finished sizes that are sums: three plans show it."""
        base = self.plan(self.lengths)[0].finish
        found = {}
        for size, by in self.sized_by.items():
            moved = {name: self.plan({**self.lengths, name: self.lengths[name] + STEP_ASIDE})[0].finish[size]
                     for name in by}
            if all(each.exact for each in (base[size], *moved.values())):
                value = Fraction(base[size].value)
                parts = {name: (Fraction(each.value) - value) / STEP_ASIDE for name, each in moved.items()}
                constant = value - sum(share * self.lengths[name] for name, share in parts.items())
                found[size] = Sum(parts, constant, STEP_ASIDE)
        for sign in (1, -2, 3):
            at = {name: value + sign * (k + 2) * STEP_ASIDE
                  for k, (name, value) in enumerate(self.lengths.items())}
            now = self.plan(at)[0].finish
            for size, each in [*found.items()]:
                if Fraction(now[size].value) != each.constant + sum(c * at[n] for n, c in each.parts.items()):
                    del found[size]
        return found

    @cached_property
    def sized_by(self) -> dict[str, list[str]]:
        """By finished size, the lengths that it changes with."""
        base = self.finished(self.lengths)
        found: dict[str, list[str]] = {size: [] for size in base}
        for name, value in self.lengths.items():
            now = self.finished({**self.lengths, name: value + STEP_ASIDE})
            for size in base:
                if now.get(size) != base[size]:
                    found[size].append(name)
        return found

    def finished(self, values: Values) -> dict[str, float]:
        return {size: float(each.value) for size, each in self.plan(values)[0].finish.items()}

    def ranked(self, prefer: str) -> list[Values]:
        """All choices, the best first: close is finished size, then all lengths, then coarse marks."""
        names, rule = list(self.lengths), RULE[self.target]
        base = self.finished(self.lengths)
        change = {(name, mark): abs(mark * rule - value) / value
                  for name, value in self.lengths.items() for mark in self.rule_marks(name)}
        fineness = {(name, mark): next((k for k, step in enumerate(NICE[self.target])
                                        if mark * rule % step == 0),
                                       len(NICE[self.target])) for name, mark in change}
        known: dict[tuple, float] = {}

        def largest(at: tuple[int, ...]) -> float:
            worst = 0.0
            for size, by in self.sized_by.items():
                key = (size, *(at[names.index(name)] for name in by))
                if key not in known:
                    values = {**self.lengths, **{name: at[names.index(name)] * rule for name in by}}
                    known[key] = round(abs(self.size_of(size, values) - base[size]) / base[size], DECIMALS)
                worst = max(worst, known[key])
            return worst

        def key(at: tuple[int, ...]) -> tuple:
            pairs = list(zip(names, at, strict=True))
            fine = [fineness[pair] for pair in pairs]
            levels = [fine.count(k) for k in range(len(NICE[self.target]), 0, -1)]
            close = (largest(at), sum(change[pair] for pair in pairs))
            return (*((*close, levels) if prefer == "close" else (levels, *close)),
                    [mark for _, mark in sorted(pairs)])
        return [{name: mark * rule for name, mark in zip(names, at, strict=True)}
                for at in sorted(self.every_choice(), key=key)]

    def best(self, prefer: str) -> list[Values]:
        """The first five that differ in the box and can be made."""
        mine, boxes = RIBBONS.get(self.slug, set()), []
        known = {(f.code, f.span) for f in check_folded(self.box.front, self.box.plan)}
        longest = {name: self.rule_marks(name)[-1] * RULE[self.target] for name in mine}
        found: list[Values] = []
        for values in self.ranked(prefer):
            box = [value for name, value in values.items() if name not in mine]
            if box in boxes or any(values[name] < self.lengths[name]
                                   for name in ONLY_GROW.get(self.slug, ())):
                continue
            if mine and self.plan({**values, **longest})[1]:
                boxes.append(box)       # not with any ribbon
                continue
            plan, wrong = self.plan(values)
            wrong = wrong or [*off_grid(plan, BENCHES[self.target], drawn=False),
                              *(f for f in compare_editions(self.box.plan, plan) if has_errors([f]))]
            wrong = wrong or [f for f in check_folded(self.box.front, plan)
                              if has_errors([f]) and (f.code, f.span) not in known]
            if not wrong:
                boxes.append(box)
                found.append(values)
                if len(found) == HOW_MANY:
                    break
        return found


@pytest.mark.slow
@pytest.mark.parametrize(("slug", "way"), [("biscuit-box", AS_DRAWN),      # one that is drawn in inches
                                           *product(BOTH_WAYS, (AS_DRAWN, TURNED))])
def test_the_five_choices_are_those_of_an_exhaustive_search(slug, way):
    """Eight tutorials in both directions: the same boxes in the same order."""
    text = (ROOT / "tutorials" / slug / "index.md").read_text(encoding="utf-8")
    box = drawn(text if way == AS_DRAWN else turned(text))
    found = find_lengths(box, BENCHES, check_folded, RegaugeOptions(), HOW_MANY)
    everything = Exhaustive(slug, box)
    wanted = everything.best("close")
    assert len(wanted) == HOW_MANY and found.leading.certain
    assert [each.values for each in found.leading.best] == wanted

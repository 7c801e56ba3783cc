"""Sentences of the catalogue with measures in their places.

Facts at a glance, supplies, and the sentence on how the two boxes differ.
"""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from string import Formatter

from generator.findings import Span
from generator.language.evaluation.prose_wording import word_value
from generator.locale import ENGLISH, Locale, capital
from generator.paper.records import Plan
from generator.paper.values import Size
from generator.tutorial.records import ComputedValue, Fact, MeasureWording, Part, Prose
from generator.units import Quantity, as_html, as_speech, as_text, length, word


def woven(words: str, **values: Part | Prose) -> Iterator[Part]:
    """``words`` with a value, text or prose wherever they have a place for it. Raises KeyError where one is missing."""
    for text, name, _, _ in Formatter().parse(words):
        if text:
            yield text
        if name:
            value = values[name]
            yield from value if isinstance(value, tuple) else (value,)


NOWHERE = Span("")
FINISH_ORDER = ("width", "depth", "height")
LONGER = {"width": ("wider", "narrower"), "depth": ("deeper", "shallower"), "height": ("taller", "lower")}


def inlay(values: Mapping[str, object], expression: str = "", locale: Locale = ENGLISH) -> ComputedValue:
    """A computed value that stands in no sentence of the source, worded for both systems."""
    words = {system: word_value(value, system, locale=locale) for system, value in values.items()}
    first, second = words["mm"], words["in"]
    shared = not first.measure and first.text == second.text
    return ComputedValue(expression, NOWHERE, {s: MeasureWording(w.text, w.speech, w.html) for s, w in words.items()}, shared)


def facts_of(plans: Mapping[str, Plan], locale: Locale = ENGLISH, folded: Sequence[Fact] = (),
             box: Sequence[Fact] = (), bent: bool = False) -> tuple[Fact, ...]:
    """Finished size as the design states it, else as it is ``folded``; what there is to tell of the ``box``; each blank.

    Of a piece that is ``bent`` folding knows the size better than any sum.
    """
    finish = {system: plan.finish for system, plan in plans.items()}
    facts = [Fact(locale.say("tutorial.fact.finished"), _finished(plans, locale))] if any(finish.values()) and not (bent and folded) else [*folded]
    facts += box
    for info in plans["mm"].pieces:
        if not info.is_ribbon:
            facts.append(Fact(capital(locale.name(info.name)), (blank_size(plans, info.id, locale),)))
    return tuple(facts)


def blank_size(plans: Mapping[str, Plan], piece: int, locale: Locale = ENGLISH) -> ComputedValue:
    """Width by height of a piece as it first lies."""
    states = {system: plan.states[piece][-1][1] for system, plan in plans.items()}
    return inlay({system: Size(state.width, state.height) for system, state in states.items()}, locale=locale)


def _finished(plans: Mapping[str, Plan], locale: Locale) -> Prose:
    """The whole size as one phrase a system, so that with both shown each can be read on its own."""
    said_in = {system: _phrase(plan.finish, system, locale) for system, plan in plans.items()}
    return (ComputedValue("", NOWHERE, said_in, False),)


def _phrase(finish: Mapping[str, Quantity], system: str, locale: Locale) -> MeasureWording:
    names = [name for name in FINISH_ORDER if name in finish]
    shown = [word(finish[name], system) for name in names]
    first = next((k for k, each in enumerate(shown) if each.about), 0)      # "about" is said once, and holds for the rest
    shown = [replace(each, about=each.about and k == first) for k, each in enumerate(shown)]
    return MeasureWording(*(", ".join(locale.say(f"tutorial.fact.{name}", size=dress(each, locale)) for name, each in zip(names, shown, strict=True))
                     for dress in (as_text, as_speech, as_html)))


def blanks_needed(plans: Mapping[str, Plan], locale: Locale = ENGLISH) -> tuple[Prose, ...]:
    """One line of the supplies for each piece that is cut from paper, and each ribbon."""
    lines = []
    for info in plans["mm"].pieces:
        name = locale.name(info.name)
        if info.is_ribbon:
            sizes = {s: p.states[info.id][0][1].width for s, p in plans.items()}
            lines.append(woven(locale.say("tutorial.supply.ribbon"), piece=name, size=inlay(sizes, locale=locale)))
            continue
        paper = info.paper
        stuff = capital(locale.name(paper.name)) if paper is not None else locale.say("tutorial.supply.paper")
        weight = str(paper.weight) if paper is not None and paper.weight else ""
        kind = "scrap" if info.out_of else "weighed" if weight else "blank"
        lines.append(woven(locale.say(f"tutorial.supply.{kind}"), paper=stuff, weight=weight,
                           piece=name, size=blank_size(plans, info.id, locale)))
    return tuple(map(tuple, lines))


def how_they_differ(plans: Mapping[str, Plan], drawn_in: str, locale: Locale = ENGLISH) -> Prose:
    """One sentence for the reader; () where the plan states no finished size."""
    other = "in" if drawn_in == "mm" else "mm"
    drawn, second = plans[drawn_in].finish, plans[other].finish
    shared = [name for name in FINISH_ORDER if name in drawn and name in second]
    if not shared:
        return ()
    gaps: list = []
    for name in shared:
        gap = second[name] - drawn[name]
        if abs(float(gap.value)) >= 0.05:
            words = locale.say(f"tutorial.differ.{LONGER[name][gap.value < 0]}")
            gaps.extend((", " if gaps else "", *woven(words, gap=_gap(gap, locale))))
    if not gaps:
        return (locale.say("tutorial.differ.same"),)
    return tuple(woven(locale.say(f"tutorial.differ.{other}"), gaps=tuple(gaps)))


def _gap(gap: Quantity, locale: Locale) -> ComputedValue:
    size = length(abs(gap.value))
    return inlay({"mm": size, "in": size}, locale=locale)

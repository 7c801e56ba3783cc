"""Facts at a glance, supplies, and the sentence on how the two boxes differ."""
from __future__ import annotations

from collections.abc import Mapping

from generator.findings import Span
from generator.language.worded import said
from generator.paper.records import Plan
from generator.paper.values import Size
from generator.tutorial.records import Fact, Inlay, Prose, Wording
from generator.units import Quantity, length

NOWHERE = Span("")
FINISH_ORDER = ("width", "depth", "height")
LONGER = {"width": ("wider", "narrower"), "depth": ("deeper", "shallower"), "height": ("taller", "lower")}


def inlay(values: Mapping[str, object], expression: str = "") -> Inlay:
    """A computed value that stands in no sentence of the source, worded for both systems."""
    words = {system: said(value, system) for system, value in values.items()}
    first, second = words["mm"], words["in"]
    shared = not first.measure and first.text == second.text
    return Inlay(expression, NOWHERE, {s: Wording(w.text, w.speech, w.html) for s, w in words.items()}, shared)


def facts_of(plans: Mapping[str, Plan]) -> tuple[Fact, ...]:
    """Finished size, then each blank."""
    facts = []
    finish = {system: plan.finish for system, plan in plans.items()}
    if any(finish.values()):
        facts.append(Fact("Finished size", _finished(plans)))
    for info in plans["mm"].pieces:
        if info.kind != "ribbon":
            facts.append(Fact(info.name.replace("_", " ").capitalize(), (blank_size(plans, info.id),)))
    return tuple(facts)


def blank_size(plans: Mapping[str, Plan], piece: int) -> Inlay:
    """Width by height of a piece as it first lies."""
    states = {system: plan.states[piece][-1][1] for system, plan in plans.items()}
    return inlay({system: Size(state.width, state.height) for system, state in states.items()})


def _finished(plans: Mapping[str, Plan]) -> Prose:
    """The whole size as one phrase a system, so that with both shown each can be read on its own."""
    said_in = {system: _phrase(plan.finish, system) for system, plan in plans.items()}
    return (Inlay("", NOWHERE, said_in, False),)


def _phrase(finish: Mapping[str, Quantity], system: str) -> Wording:
    names = [name for name in FINISH_ORDER if name in finish]
    words = [(said(finish[name], system), _adjective(name)) for name in names]
    return Wording(*(", ".join(f"{getattr(w, kind)} {how}" for w, how in words) for kind in ("text", "speech", "html")))


def _adjective(name: str) -> str:
    return {"width": "wide", "depth": "deep", "height": "high"}[name]


def blanks_needed(plans: Mapping[str, Plan]) -> tuple[Prose, ...]:
    """One line of the supplies for each piece that is cut from paper, and each ribbon."""
    lines = []
    for info in plans["mm"].pieces:
        name = info.name.replace("_", " ")
        if info.kind == "ribbon":
            sizes = {s: p.states[info.id][0][1].width for s, p in plans.items()}
            lines.append((f"Ribbon or cord ({name}): ", inlay(sizes), " long"))
            continue
        paper = info.paper
        weight = f", {paper.weight} gsm" if paper is not None and paper.weight else ""
        stuff = paper.name.replace("_", " ").capitalize() if paper is not None else "Paper"
        lines.append((f"{stuff}{weight}: one piece ", blank_size(plans, info.id), f" ({name})"))
    return tuple(lines)


def how_they_differ(plans: Mapping[str, Plan], drawn_in: str) -> Prose:
    """One sentence for the reader; () where the plan states no finished size."""
    other = "in" if drawn_in == "mm" else "mm"
    drawn, second = plans[drawn_in].finish, plans[other].finish
    shared = [name for name in FINISH_ORDER if name in drawn and name in second]
    if not shared:
        return ()
    parts: list = []
    for name in shared:
        gap = second[name] - drawn[name]
        if abs(float(gap.value)) < 0.05:
            continue
        parts.extend((", " if parts else "", _gap(gap), f" {LONGER[name][gap.value < 0]}"))
    boxes = ("inch", "metric") if other == "in" else ("metric", "inch")
    if not parts:
        return ("The inch box and the metric box are the same size; even so, follow one system from start to end.",)
    return (f"The {boxes[0]} box comes out ", *parts,
            f" than the {boxes[1]} one: each is whole in itself, so follow one system from start to end.")


def _gap(gap: Quantity) -> Inlay:
    size = length(abs(gap.value))
    return inlay({"mm": size, "in": size})

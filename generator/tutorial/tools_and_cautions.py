"""Tools and cautions: what a tutorial's work needs, and what in it can hurt.

The cautions are the usual ones of the trade (common practice, no source);
they defer to local rules and to licensed practice.
"""
from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

from generator.geometry import Line
from generator.language.source.front_matter_models import USES
from generator.locale import ENGLISH, Locale
from generator.paper.records import PieceState, Plan
from generator.paper.work_kinds import Effect
from generator.tutorial.records import Caution, Step, ToolNeed
from generator.units import TOOL_KINDS

ALONG = ("rule", "template")        # what a knife is led along
# what is done where no tool tells that a caution is needed
CAUTION_EFFECTS = {**dict.fromkeys(("wet_glue", "hot_glue", "double_sided_tape"), (Effect.GLUE, Effect.SEAM)),
                   "heat_tool": (Effect.DECORATE,), "needle": (Effect.THREAD,), "ribbon": (Effect.THREAD,)}


def tool_need(word: str, locale: Locale = ENGLISH) -> ToolNeed:
    """A kind of tool, by its key in :data:`TOOL_KINDS`, in words."""
    name, why, instead = (locale.say(f"tutorial.tool.{word}.{what}") for what in ("name", "why", "instead"))
    return ToolNeed(name, why, instead, word)


def caution(use: str, locale: Locale = ENGLISH) -> Caution:
    """One of :data:`USES`, or "local", in words."""
    return Caution(use, *(locale.say(f"tutorial.caution.{use}.{what}") for what in ("title", "text")))


def tools_needed(plan: Plan, steps: Sequence[Step], locale: Locale = ENGLISH) -> tuple[str, ...]:
    """The keys of all tools that a plan takes or a step names, in the order of the table of tools.

    A step names a tool by the words that its catalogue has for it.
    """
    used = _used_tools(plan)
    prose = _words_of(steps)
    return tuple(word for word in TOOL_KINDS if word in used or re.search(
        locale.say(f"tutorial.tool.{word}.named"), prose, re.IGNORECASE))


def cautions_for(tools: Iterable[str], uses: Iterable[str], locale: Locale = ENGLISH) -> tuple[Caution, ...]:
    """The cautions that tools and front matter ask for, and who has the last word."""
    named = {*uses, *(TOOL_KINDS[word].caution for word in tools)}
    found = [caution(name, locale) for name in USES if name in named]
    return (*found, caution("local", locale)) if found else ()


def caution_steps(plan: Plan, cautions: Iterable[Caution], steps: Sequence[Step],
                  locale: Locale = ENGLISH) -> Mapping[int, tuple[Caution, ...]]:
    """By the number of a step the cautions that must be read before it: the first that needs each.

    What no step needs by itself, such as a candle, belongs to the last one; "local" goes with all.
    """
    found: dict[int, list[Caution]] = {}
    for each in cautions:
        if each.use != "local" and steps:
            found.setdefault(_first_step(plan, each.use, steps, locale), []).append(each)
    return {step: tuple(own) for step, own in found.items()}


def _first_step(plan: Plan, use: str, steps: Sequence[Step], locale: Locale) -> int:
    words = [word for word, kind in TOOL_KINDS.items() if kind.caution == use]
    marks = {mark.id: mark.tool for info in plan.pieces if (state := plan.state(info.id)) is not None
             for mark in state.marks}
    effects = CAUTION_EFFECTS.get(use, ())
    needed = [act.step for act in plan.acts if act.effect in effects or act.kind.tool in words
              or any(marks.get(mark) in words for mark in act.marks)]
    named = [step.number for step in steps for word in words
             if re.search(locale.say(f"tutorial.tool.{word}.named"), _words_of((step,)), re.IGNORECASE)]
    return min([step for step in (*needed, *named) if step >= steps[0].number], default=steps[-1].number)


def _words_of(steps: Iterable[Step]) -> str:
    return " ".join(" ".join(part for step in steps for part in (step.title, *step.prose)
                             if isinstance(part, str)).split())


def _used_tools(plan: Plan) -> set[str]:
    used = {act.kind.tool for act in plan.acts if act.kind.tool}
    for history in plan.states.values():
        state = history[-1][1]
        used |= {mark.tool for mark in state.marks if not mark.kind.is_hole or mark.tool == "rule"}
        used |= {mark.kind.aid for mark in state.marks if mark.kind.aid}
        if _needs_knife(state):
            used.add("knife")
    return used


def _needs_knife(state: PieceState) -> bool:
    """True for what no trimmer cuts, which cuts straight on from the edge: along a rule, windows, curves."""
    along = any(mark.kind.cuts and mark.tool in ALONG for mark in state.marks)
    windows = any(len(hole) > 1 for hole in state.holes)
    return along or windows or any(not isinstance(rim.stroke, Line) for rim in state.outline)

"""Tools and cautions: what a tutorial's work needs, and what in it can hurt.

The cautions are the usual ones of the trade (common practice, no source);
they defer to local rules and to licensed practice.
"""
from __future__ import annotations

from collections.abc import Iterable

from generator.language.source.front_matter_models import USES
from generator.locale import ENGLISH, Locale
from generator.paper.records import Plan
from generator.tutorial.records import Caution, ToolNeed
from generator.units import TOOL_KINDS


def tool_need(name: str, locale: Locale = ENGLISH) -> ToolNeed:
    """A kind of tool in words."""
    return ToolNeed(*(locale.say(f"tutorial.tool.{name}.{what}") for what in ("name", "why", "instead")))


def caution(use: str, locale: Locale = ENGLISH) -> Caution:
    """One of :data:`USES`, or "local", in words."""
    return Caution(use, *(locale.say(f"tutorial.caution.{use}.{what}") for what in ("title", "text")))


def tools_of(plan: Plan, locale: Locale = ENGLISH) -> tuple[ToolNeed, ...]:
    """What the work of a plan needs, in the order of the table of tools."""
    used = _used_tools(plan)
    return tuple(tool_need(name, locale) for name in TOOL_KINDS if name in used)


def cautions_for(plan: Plan, uses: Iterable[str], locale: Locale = ENGLISH) -> tuple[Caution, ...]:
    """The cautions that the tools of a plan and its front matter ask for, and who has the last word."""
    named = {*uses, *(TOOL_KINDS[name].caution for name in _used_tools(plan))}
    found = [caution(name, locale) for name in USES if name in named]
    return (*found, caution("local", locale)) if found else ()


def _used_tools(plan: Plan) -> set[str]:
    used = {act.kind.tool for act in plan.acts if act.kind.tool}
    for history in plan.states.values():
        used |= {mark.tool for mark in history[-1][1].marks if not mark.kind.is_hole}
        used |= {"rule" for mark in history[-1][1].marks if mark.kind.is_hole and mark.tool == "rule"}
    return used

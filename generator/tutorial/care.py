"""Tools and cautions: what a tutorial's work needs, and what in it can hurt.

The cautions are the usual ones of the trade (common practice, no source);
they defer to local rules and to licensed practice.
"""
from __future__ import annotations

from collections.abc import Iterable, Mapping

from generator.paper.records import Plan
from generator.tutorial.records import Caution, ToolNeed

LOCAL = "Where local rules say more than this, they come first."

TOOLS: Mapping[str, ToolNeed] = {
    "board": ToolNeed("Scoring board and stylus", "for straight scores and half-way ticks",
                      "a rule, an empty ballpoint pen and a folded towel to press on"),
    "trimmer": ToolNeed("Trimmer", "for the blank and for straight cuts",
                        "a craft knife, a steel rule and a cutting mat; scissors for the short cuts"),
    "rule": ToolNeed("Hand rule", "for marks that the board has no groove for", "the edge of another rule"),
    "template": ToolNeed("Template or a curve to trace", "for scores that are not straight",
                         "draw the two end points and trace any oval that passes through both"),
    "fold": ToolNeed("Bone folder", "for burnishing the folds", "the back of a spoon"),
    "punch": ToolNeed("Hole punch", "for the holes", "a thick needle, pushed into a cork from above"),
    "glue": ToolNeed("Adhesive", "double-sided tape for seams, wet glue where parts must slide",
                     "either of them for all"),
    "thread": ToolNeed("Blunt needle", "for leading the ribbon through the holes", "a twist of sticky tape on its end"),
}

CAUTIONS: Mapping[str, Caution] = {
    "blade": Caution("blade", "Blades", "Cut away from your fingers, with the guard down, and never let a blade lie open. "
                     "Children use scissors, or leave the cutting to a grown-up."),
    "punch": Caution("punch", "Punches and needles", "Push away from your hand, onto a mat or a cork, and put the tool away afterwards."),
    "needle": Caution("needle", "Needles", "Push away from your hand, and count the needles before and after."),
    "hot_glue": Caution("hot_glue", "Hot glue", "The nozzle and the glue burn skin. Keep cold water near, and children away."),
    "heat_tool": Caution("heat_tool", "Heat tools", "They scorch paper and burn skin. Lay them down on something that cannot burn, and switch them off."),
    "wet_glue": Caution("wet_glue", "Wet glue", "Read the label, work with a window open, and keep it from eyes and children."),
    "double_sided_tape": Caution("double_sided_tape", "Tape", "Its cutter is toothed: mind your fingertips."),
    "ribbon": Caution("ribbon", "Ribbons and cords", "A ribbon can go round a neck. Keep loose lengths from babies and small children."),
    "food": Caution("food", "Food", "Card is not made to touch food. Put in wrapped food only; if you sell it, the local rules "
                    "for food packaging and labels apply, and those who enforce them can tell you what they are."),
    "candle": Caution("candle", "Candles", "Never put a flame in or on paper. Use a battery light, and keep its button cells "
                      "where no child can reach them: swallowed, they kill."),
    "magnets": Caution("magnets", "Magnets", "Small magnets are dangerous when swallowed. Glue them in firmly, and give none to small children."),
    "small_parts": Caution("small_parts", "Small parts", "Not for children under three: small parts can choke."),
}

FROM_TOOLS: Mapping[str, str] = {"trimmer": "blade", "punch": "punch", "thread": "ribbon"}


def tools_of(plan: Plan) -> tuple[ToolNeed, ...]:
    """What the work of a plan needs, in the order of :data:`TOOLS`."""
    used = _used(plan)
    return tuple(need for name, need in TOOLS.items() if name in used)


def cautions_for(plan: Plan, uses: Iterable[str]) -> tuple[Caution, ...]:
    """The cautions that the tools of a plan and the uses of its front matter ask for, and who has the last word."""
    named = {*uses, *(FROM_TOOLS[name] for name in _used(plan) if name in FROM_TOOLS)}
    found = [caution for name, caution in CAUTIONS.items() if name in named]
    return (*found, Caution("local", "Local rules", LOCAL)) if found else ()


def _used(plan: Plan) -> set[str]:
    used = {act.verb for act in plan.acts} & {"fold", "punch", "glue", "thread"}
    for history in plan.states.values():
        used |= {mark.tool for mark in history[-1][1].marks if mark.verb != "punch"}
        used |= {"rule" for mark in history[-1][1].marks if mark.verb == "punch" and mark.tool == "rule"}
    if any(info.kind in ("sheet", "liner", "panel") for info in plan.pieces) or any(a.verb == "remove" for a in plan.acts):
        used.add("trimmer")
    return used

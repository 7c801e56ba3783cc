"""A kit in words, and as data for programs."""
from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any  # JSON

from generator.commands.check import SCHEMA
from generator.findings import findings_data
from generator.paper.cutting_instructions import direction_text
from generator.paper.sheet_layouts import SheetLayout
from generator.sheets.shared_settings import SettingWork, SharedPlan
from generator.tutorial.batch_supplies import ribbon_length
from generator.tutorial.kit import (
    BagItem,
    Kit,
    KitOrder,
    KitPaper,
    bag_items,
    paper_words,
    prose_in,
    stated_supplies,
)
from generator.units import as_text, display_measure, length, plural, size_text

BOXES = ("box", "boxes")

NO_MINUTES = "no minutes are stated for single steps"


def kit_text(kit: Kit) -> str:
    """The whole kit, as it is printed at a terminal."""
    return "\n".join((*_head(kit), *(line for title, lines in kit_parts(kit)
                                     for line in ("", title, *lines))))


def kit_parts(kit: Kit) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Each part of it: a title, and lines of which what explains another is set further in."""
    yield "Sheets to buy", tuple(_sheets(kit))
    yield "Cuts by setting of the fence", tuple(_cutting(kit))
    yield "Supplies", tuple(_supplies(kit))
    yield f"{counted(kit.bags, 'bag')}, one a person", tuple(_bags(kit))
    yield "Time", tuple(_time(kit))


def counted(n: int, one: str, many: str = "") -> str:
    """"1 cut", "12 cuts"."""
    return f"{n} {plural(n, one, many or one + 's')}"


def _head(kit: Kit) -> Iterator[str]:
    for order in kit.orders:
        spare = f", cut for {order.cut}" if order.cut > order.boxes else ""
        yield f"{counted(order.boxes, 'box', 'boxes')} of {order.tutorial.front.title}{spare}"
    yield f"measures of the {'metric' if kit.system == 'mm' else 'inch'} edition"


def _sheets(kit: Kit) -> Iterator[str]:
    for each in kit.papers:
        plan = each.chosen
        sure = ("no fewer will do" if each.plans.fewest_sheets else
                f"{each.plans.enough} would do, each cut for itself" if each.plans.enough < plan.sheets else
                "no plan with fewer was found")
        words = paper_words(each.paper)
        what = each.name if words in each.name else f"{each.name} ({words})"
        yield f"  {plan.sheets} × {each.sheet.title} of {what}; {sure}"
        grain = direction_text(SheetLayout(each.sheet, direction=plan.direction, runs=_runs(each)))
        yield from (f"      {line}" for line in (grain, _others(each)) if line)


def _runs(each: KitPaper) -> str:
    return next((blank.runs for blank in each.blanks if blank.direction is not None), "grain")


def _others(each: KitPaper) -> str:
    return "; ".join(f"{sheet.title} is too small" if found is None else
                     f"of {sheet.title} it would take {found.sheets}{'' if found.fewest else ' at most'}"
                     for sheet, found in each.others)


def _measure(kit: Kit, mm: Fraction) -> str:
    return as_text(display_measure(length(mm), kit.system))


def _cutting(kit: Kit) -> Iterator[str]:
    cuts = sum(setting.cuts for setting in kit.settings)
    yield f"  {counted(len(kit.settings), 'setting')}, {counted(cuts, 'cut')}, one sheet at a time"
    for number, setting in enumerate(kit.settings, start=1):
        fence = next(iter(setting.papers.values())).fence
        yield f"  {number}. {_measure(kit, fence)}: {counted(setting.cuts, 'cut')}"
        for place, own in setting.papers.items():
            for work in own.work:
                yield f"       {_part(kit, kit.papers[place], work)}"
    for each in kit.papers:
        yield from _choice(each)
        yield from _left_over(kit, each)


def _part(kit: Kit, paper: KitPaper, work: SettingWork) -> str:
    """"12 sheets of card, a long side along the fence: 1 cut each"."""
    along, across = (work.height, work.width) if work.axis == "x" else (work.width, work.height)
    side = "any side" if along == across else "a long side" if along > across else "a short side"
    what = (counted(work.parts, "whole sheet") if work.whole else
            f"{counted(work.parts, 'part')} of "
            f"{size_text(length(work.width), length(work.height), kit.system)}")
    return f"{what} of {paper.name}, {side} along the fence: {counted(work.times, 'cut')} each"


def _choice(each: KitPaper) -> Iterator[str]:
    """Both figures, and what the other choice would cost."""
    plan = each.chosen
    sure = ("the fewest settings that so many sheets can be cut with" if each.plans.fewest_settings else
            "no plan with fewer settings was found, and not all could be tried")
    yield f"  {each.name}: {_figures(plan)}; {sure}"
    others = each.plans.plans[:-1]
    for other in others:
        fewer = len(plan.settings) - len(other.settings)
        yield (f"      or {_figures(other)}: {counted(fewer, 'setting')} fewer "
               f"for {counted(other.sheets - plan.sheets, 'sheet')} more")
    if not others and each.plans.fewest_settings:
        yield "      more sheets would save no setting"


def _figures(plan: SharedPlan) -> str:
    return ", ".join((counted(plan.sheets, "sheet"), counted(len(plan.settings), "setting"),
                      counted(plan.cuts, "cut")))


def _left_over(kit: Kit, each: KitPaper) -> Iterator[str]:
    left = [f"{count} of {size_text(length(a), length(b), kit.system)}"
            for (a, b), count in each.chosen.offcuts.items()]
    if left:
        yield f"      left over: {', '.join(left)}"


def _supplies(kit: Kit) -> Iterator[str]:
    for order in kit.orders:
        for name, text in ribbons(kit, order):
            yield f"  {text} of {name} for {order.tutorial.front.title}"
    for order in kit.orders:
        stated = stated_supplies(order.tutorial)
        if stated:
            yield (f"  {order.tutorial.front.title}, as it states for one box, without amounts for "
                   f"{order.cut}:" if order.cut > 1 else f"  {order.tutorial.front.title}:")
        yield from (f"    {prose_in(each, kit.system)}" for each in stated)


def ribbons(kit: Kit, order: KitOrder) -> Iterator[tuple[str, str]]:
    """The name and the whole length of each ribbon."""
    tutorial = order.tutorial
    for item in bag_items(order, kit.system):
        if item.info.is_ribbon:
            each = {s: Fraction(plan.states[item.info.id][0][1].width.value)
                    for s, plan in tutorial.plans.items()}
            whole = ribbon_length(each, -(-order.cut // item.boxes), tutorial.locale)
            yield tutorial.locale.name(item.info.name), whole.wordings[kit.system].text


def _bags(kit: Kit) -> Iterator[str]:
    if kit.left:
        yield "  for left-handed people: bag" + (" 1" if kit.left == 1 else f"s 1 to {kit.left}")
    for order in kit.orders:
        who = ("" if order.boxes == kit.bags else
               f", in bags 1 to {order.boxes}" if order.boxes > 1 else ", in bag 1")
        yield f"  {order.tutorial.front.title}{who}:"
        yield from (f"    {bag_line(kit, order, item)}" for item in bag_items(order, kit.system))
        if order.stop:
            steps = order.tutorial.steps
            last = steps[order.stop - 1].title
            yield f"    half-made, up to the end of step {order.stop}, {last}; still to do:"
            yield from (f"      {step.number} {step.title}" for step in steps[order.stop:])
        if order.cut > order.boxes:
            yield f"    to spare, in no bag: {counted(order.cut - order.boxes, 'box', 'boxes')}"


def bag_line(kit: Kit, order: KitOrder, item: BagItem) -> str:
    """"strip, 252 × 139 mm, of card"."""
    tutorial, info = order.tutorial, item.info
    name, state = tutorial.locale.name(info.name), tutorial.plans[kit.system].states[info.id][0][1]
    if info.is_ribbon:
        shared = f", one for {item.boxes} boxes" if item.boxes > 1 else ""
        text = f"{name}, {as_text(display_measure(state.width, kit.system))}{shared}"
    else:
        paper = f", of {tutorial.locale.name(info.paper.name)}" if info.paper else ""
        text = f"{name}, {size_text(state.width, state.height, kit.system)}{paper}"
    return f"{text}: as it is after step {order.stop}" if item.made else text


def _time(kit: Kit) -> Iterator[str]:
    for order in kit.orders:
        minutes, title = order.tutorial.front.minutes, order.tutorial.front.title
        if minutes is None:
            yield f"  {title}: none is stated"
        else:
            yield (f"  {title}: {minutes} min a box, {minutes * order.boxes} min for {order.boxes}; "
                   f"{NO_MINUTES}")


# -- for programs ---------------------------------------------------------------------------


def kit_data(kit: Kit) -> dict[str, Any]:
    """The kit as it is printed for programs; lengths are exact mm."""
    return {
        "schema": SCHEMA, "edition": kit.system,
        "orders": [{"slug": order.tutorial.slug, "title": order.tutorial.front.title, "boxes": order.boxes,
                    "cut": order.cut, "minutes": order.tutorial.front.minutes, "stop_after": order.stop,
                    "still_to_do": [{"number": step.number, "title": step.title}
                                    for step in order.tutorial.steps[order.stop:]] if order.stop else [],
                    "ribbons": [{"name": name, "length": text} for name, text in ribbons(kit, order)],
                    "supplies": [prose_in(each, kit.system) for each in stated_supplies(order.tutorial)],
                    "bag": [{"text": bag_line(kit, order, item), "made": item.made, "shared_by": item.boxes}
                            for item in bag_items(order, kit.system)]} for order in kit.orders],
        "papers": [_paper_data(each) for each in kit.papers],
        "settings": [{"fence": str(next(iter(each.papers.values())).fence),
                      "text": _measure(kit, next(iter(each.papers.values())).fence), "cuts": each.cuts,
                      "work": [{"paper": kit.papers[place].name, **_work_data(work)}
                               for place, own in each.papers.items() for work in own.work]}
                     for each in kit.settings],
        "bags": kit.bags, "left_handed": kit.left,
        "findings": findings_data(kit.findings)}


def _paper_data(each: KitPaper) -> dict[str, Any]:
    return {"paper": each.name, "words": paper_words(each.paper), "sheet": each.sheet.title,
            **_plan_data(each.chosen), "fewest_sheets": each.plans.fewest_sheets,
            "fewest_settings": each.plans.fewest_settings, "enough_sheets": each.plans.enough,
            "grain_along": each.chosen.direction,
            "blanks": {name: count for name, count in each.chosen.gives.items()},
            "left_over": [{"size": [*map(str, size)], "count": count}
                          for size, count in each.chosen.offcuts.items()],
            "with_fewer_settings": [_plan_data(plan) for plan in each.plans.plans[:-1]],
            "other_sheets": {sheet.title: found and {"sheets": found.sheets, "fewest": found.fewest}
                             for sheet, found in each.others}}


def _plan_data(plan: SharedPlan) -> dict[str, int]:
    return {"sheets": plan.sheets, "settings": len(plan.settings), "cuts": plan.cuts}


def _work_data(work: SettingWork) -> dict[str, Any]:
    return {"parts": work.parts, "size": [str(work.width), str(work.height)], "along": work.axis,
            "times": work.times, "whole": work.whole}

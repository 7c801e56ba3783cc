"""How a cut is said, so that the page, the picture and its description say it alike.

No measure stands in these words: where it belongs the words are split, so
that both systems can share them.
"""
from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence

from generator.paper.sheet_layouts import Cut, CutSource, SheetLayout
from generator.tongue import ENGLISH, Tongue, capital
from generator.units import Quantity, as_text, length, size_html, size_speech, size_text, word


def text_before_measure(cut: Cut, cuts: Sequence[Cut], tongue: Tongue = ENGLISH) -> str:
    """Up to the measure: "The whole sheet, a long side along the fence: set". ``cuts`` are all of the layout."""
    side = tongue.say(f"paper.side.{'selvedge' if cut.trims else cut.side}")
    return tongue.say("paper.before_each" if cut.parts > 1 else "paper.before", part=_part_text(cut, cuts, tongue), side=side)


def text_after_measure(cut: Cut, tongue: Tongue = ENGLISH) -> str:
    """From the measure on: "cut, do not move the fence, cut again"."""
    if cut.times > 2:
        told = tongue.say("paper.times", n=tongue.number(cut.times))
    else:
        told = tongue.say("paper.again" if cut.times > 1 else "paper.cut")
    if cut.trims:
        told += tongue.say("paper.trims")
    if cut.shortens:
        told += tongue.count("paper.shortens_strip", cut.parts) if cut.sources else tongue.say("paper.shortens_sheet")
    return told


def cutting_text(layout: SheetLayout, system: str, tongue: Tongue = ENGLISH) -> tuple[str, ...]:
    """A line for every setting of the fence, its measure in ``system`` ("mm" or "in").

    "The strip from cut 1, a short side along the fence: set 252 mm, cut."
    """
    return tuple(tongue.say("paper.line", before=text_before_measure(cut, layout.cuts, tongue), after=text_after_measure(cut, tongue),
                            measure=as_text(word(length(cut.fence), system), tongue)) for cut in layout.cuts)


def no_set_text(layout: SheetLayout, tongue: Tongue = ENGLISH) -> str:
    """Why nothing is cut: "a sheet of A5 is too small for strip"; "" for a layout that holds a set."""
    if layout.sets or layout.placements:
        return ""
    sheet = layout.sheet.called(tongue)
    if layout.too_large:
        return tongue.say("paper.small", sheet=sheet, pieces=tongue.join(list(map(tongue.name, layout.too_large))))
    return tongue.say("paper.incomplete", sheet=sheet)


def direction_text(layout: SheetLayout, tongue: Tongue = ENGLISH) -> str:
    """"the grain must run along the long side of the sheet"; "" where it may run either way."""
    if layout.direction is None:
        return ""
    along, across = layout.sheet.width.value, layout.sheet.height.value
    if layout.direction == "y":
        along, across = across, along
    way = "same" if along == across else "long" if along > across else "short"
    return tongue.say(f"paper.{layout.runs}.{way}")


def drawn_direction_text(layout: SheetLayout, tongue: Tongue = ENGLISH) -> str:
    """"grain up the sheet as it lies here": how it runs in a picture; "" where it may run either way."""
    if layout.direction is None:
        return ""
    return tongue.say(f"paper.{layout.runs}.{'up' if layout.direction == 'y' else 'across'}")


def offcut_text(layout: SheetLayout, system: str, tongue: Tongue = ENGLISH) -> str:
    """"71 × 297 mm and two of 45 × 139 mm": what is left over, large ones first, without the selvedge; "" for nothing."""
    return _offcuts(layout, lambda a, b: size_text(a, b, system, tongue), tongue)


def offcut_html(layout: SheetLayout, system: str, tongue: Tongue = ENGLISH) -> str:
    """As :func:`offcut_text`, with real fractions."""
    return _offcuts(layout, lambda a, b: size_html(a, b, system, tongue), tongue)


def offcut_speech(layout: SheetLayout, system: str, tongue: Tongue = ENGLISH) -> str:
    """As :func:`offcut_text`, as it is read aloud."""
    return _offcuts(layout, lambda a, b: size_speech(a, b, system, tongue), tongue)


def _offcuts(layout: SheetLayout, say: Callable[[Quantity, Quantity], str], tongue: Tongue) -> str:
    sizes = Counter(tuple(sorted((o.width, o.height))) for o in layout.offcuts if not o.selvedge)
    told = [(say(*map(length, size)), count) for size, count in sizes.items()]
    return tongue.join([said if count == 1 else tongue.say("paper.several", n=tongue.number(count), size=said)
                        for said, count in told]) if told else ""


def _part_text(cut: Cut, cuts: Sequence[Cut], tongue: Tongue) -> str:
    if not cut.sources:
        return capital(tongue.say("paper.whole"))
    return capital(tongue.join(list(_source_texts(cut, cuts, tongue))))


def _source_texts(cut: Cut, cuts: Sequence[Cut], tongue: Tongue) -> Iterator[str]:
    """"the strip from cut 1", "each of the four strips from cuts 2 and 3", "what is left after cut 1"."""
    strips = [source for source in cut.sources if not source.rest]
    rests = [source for source in cut.sources if source.rest]
    if strips and (name := _sheet_state(cuts[strips[0].step - 1])):
        yield tongue.say(f"paper.{name}")
    elif strips:
        yield _strips_text(strips, tongue)
    if rests:
        count = sum(source.count for source in rests)
        yield tongue.count("paper.rest", count, cuts=_cut_numbers(rests, tongue))


def _sheet_state(cut: Cut) -> str:
    """What the sheet is called when only its end, or its selvedge, went; "" when strips were cut off it."""
    if cut.trims:
        return "trimmed"
    return "shortened" if cut.shortens and not cut.sources else ""


def _strips_text(sources: Sequence[CutSource], tongue: Tongue) -> str:
    count = sum(source.count for source in sources)
    key = {1: "strip", 2: "strips_two"}.get(count)
    cuts = _cut_numbers(sources, tongue)
    return tongue.say(f"paper.{key}", cuts=cuts) if key else tongue.say("paper.strips", cuts=cuts, n=tongue.number(count))


def _cut_numbers(sources: Sequence[CutSource], tongue: Tongue) -> str:
    numbers = sorted({source.step for source in sources})
    return tongue.count("paper.cuts", len(numbers), numbers=tongue.join([str(n) for n in numbers]))

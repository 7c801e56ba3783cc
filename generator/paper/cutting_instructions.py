"""How a cut is said, so that the page, the picture and its description say it alike.

No measure stands in these words: where it belongs the words are split, so
that both systems can share them.
"""
from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence

from generator.locale import ENGLISH, Locale, capital
from generator.paper.sheet_layouts import Cut, CutSource, SheetLayout
from generator.units import Quantity, as_text, display_measure, length, size_html, size_speech, size_text


def text_before_measure(cut: Cut, cuts: Sequence[Cut], locale: Locale = ENGLISH) -> str:
    """Up to the measure: "The whole sheet, a long side along the fence: set".

    ``cuts`` are all of the layout.
    """
    side = locale.say(f"paper.side.{'selvedge' if cut.trims else cut.side}")
    return locale.say("paper.before_each" if cut.parts > 1 else "paper.before",
                      part=_part_text(cut, cuts, locale), side=side)


def text_after_measure(cut: Cut, locale: Locale = ENGLISH) -> str:
    """From the measure on: "cut, do not move the fence, cut again"."""
    if cut.times > 2:
        text = locale.say("paper.times", n=locale.number(cut.times))
    else:
        text = locale.say("paper.again" if cut.times > 1 else "paper.cut")
    if cut.trims:
        text += locale.say("paper.trims")
    if cut.shortens:
        text += locale.count("paper.shortens_strip",
                             cut.parts) if cut.sources else locale.say("paper.shortens_sheet")
    return text


def cutting_text(layout: SheetLayout, system: str, locale: Locale = ENGLISH) -> tuple[str, ...]:
    """A line for every setting of the fence, its measure in ``system`` ("mm" or "in").

    "The strip from cut 1, a short side along the fence: set 252 mm, cut."
    """
    return tuple(locale.say("paper.line", before=text_before_measure(cut, layout.cuts, locale),
                            after=text_after_measure(cut, locale),
                            measure=as_text(display_measure(length(cut.fence), system), locale))
                            for cut in layout.cuts)


def no_set_text(layout: SheetLayout, locale: Locale = ENGLISH) -> str:
    """Why nothing is cut: "a sheet of A5 is too small for strip"; "" for a layout that holds a set."""
    if layout.sets or layout.placements:
        return ""
    sheet = layout.sheet.called(locale)
    if layout.too_large:
        return locale.say("paper.small", sheet=sheet,
                          pieces=locale.join(list(map(locale.name, layout.too_large))))
    return locale.say("paper.incomplete", sheet=sheet)


def direction_text(layout: SheetLayout, locale: Locale = ENGLISH) -> str:
    """"the grain must run along the long side of the sheet"; "" where it may run either way."""
    if layout.direction is None:
        return ""
    along, across = layout.sheet.width.value, layout.sheet.height.value
    if layout.direction == "y":
        along, across = across, along
    way = "same" if along == across else "long" if along > across else "short"
    return locale.say(f"paper.{layout.runs}.{way}")


def drawn_direction_text(layout: SheetLayout, locale: Locale = ENGLISH) -> str:
    """"grain up the sheet as it lies here": how it runs in a picture; "" where it may run either way."""
    if layout.direction is None:
        return ""
    return locale.say(f"paper.{layout.runs}.{'up' if layout.direction == 'y' else 'across'}")


def offcut_text(layout: SheetLayout, system: str, locale: Locale = ENGLISH) -> str:
    """"71 × 297 mm and two of 45 × 139 mm": what is left over, large ones first, without the selvedge.

    "" for nothing.
    """
    return _offcuts(layout, lambda a, b: size_text(a, b, system, locale), locale)


def offcut_html(layout: SheetLayout, system: str, locale: Locale = ENGLISH) -> str:
    """As :func:`offcut_text`, with real fractions."""
    return _offcuts(layout, lambda a, b: size_html(a, b, system, locale), locale)


def offcut_speech(layout: SheetLayout, system: str, locale: Locale = ENGLISH) -> str:
    """As :func:`offcut_text`, as it is read aloud."""
    return _offcuts(layout, lambda a, b: size_speech(a, b, system, locale), locale)


def _offcuts(layout: SheetLayout, say: Callable[[Quantity, Quantity], str], locale: Locale) -> str:
    sizes = Counter(tuple(sorted((o.width, o.height))) for o in layout.offcuts if not o.selvedge)
    worded = [(say(*map(length, size)), count) for size, count in sizes.items()]
    return locale.join([text if count == 1 else locale.say("paper.several", n=locale.number(count), size=text)
                        for text, count in worded]) if worded else ""


def _part_text(cut: Cut, cuts: Sequence[Cut], locale: Locale) -> str:
    if not cut.sources:
        return capital(locale.say("paper.whole"))
    return capital(locale.join(list(_source_texts(cut, cuts, locale))))


def _source_texts(cut: Cut, cuts: Sequence[Cut], locale: Locale) -> Iterator[str]:
    """"the strip from cut 1", "each of the four strips from cuts 2 and 3", "what is left after cut 1"."""
    strips = [source for source in cut.sources if not source.rest]
    rests = [source for source in cut.sources if source.rest]
    if strips and (name := _sheet_state(cuts[strips[0].step - 1])):
        yield locale.say(f"paper.{name}")
    elif strips:
        yield _strips_text(strips, locale)
    if rests:
        count = sum(source.count for source in rests)
        yield locale.count("paper.rest", count, cuts=_cut_numbers(rests, locale))


def _sheet_state(cut: Cut) -> str:
    """What the sheet is called when only its end, or its selvedge, went; "" when strips were cut off it."""
    if cut.trims:
        return "trimmed"
    return "shortened" if cut.shortens and not cut.sources else ""


def _strips_text(sources: Sequence[CutSource], locale: Locale) -> str:
    count = sum(source.count for source in sources)
    key = {1: "strip", 2: "strips_two"}.get(count)
    cuts = _cut_numbers(sources, locale)
    return locale.say(f"paper.{key}", cuts=cuts) if key else locale.say("paper.strips", cuts=cuts,
                                                                        n=locale.number(count))


def _cut_numbers(sources: Sequence[CutSource], locale: Locale) -> str:
    numbers = sorted({source.step for source in sources})
    return locale.count("paper.cuts", len(numbers), numbers=locale.join([str(n) for n in numbers]))

"""How a cut is said, so that the page, the picture and its description say it alike.

No measure stands in these words: where it belongs the words are split, so
that both systems can share them.
"""
from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence

from generator.paper.layouts import Cut, Layout, Source
from generator.units import (Quantity, as_text, join, length, number_words, plural, size_html, size_speech, size_text,
                             word)

SIDES = {"long": "a long side", "short": "a short side", "any": "any side"}


def before(cut: Cut, cuts: Sequence[Cut]) -> str:
    """Up to the measure: "The whole sheet, a long side along the fence: set". ``cuts`` are all of the layout."""
    side = "the side opposite the selvedge" if cut.trims else SIDES[cut.side]
    return f"{_part(cut, cuts)}, {'each with ' if cut.parts > 1 else ''}{side} along the fence: set"


def after(cut: Cut) -> str:
    """From the measure on: "cut, do not move the fence, cut again"."""
    told = "cut"
    if cut.times > 1:
        told += ", do not move the fence, cut again"
    if cut.times > 2:
        told += f", {number_words(cut.times)} cuts in all"
    if cut.trims:
        told += "; this takes the selvedge off"
    if cut.shortens:
        told += f"; this shortens {'the sheet' if not cut.sources else plural(cut.parts, 'the strip', 'the strips')}"
    return told


def cutting_text(layout: Layout, system: str) -> tuple[str, ...]:
    """A line for every setting of the fence, its measure in ``system`` ("mm" or "in").

    "The strip from cut 1, a short side along the fence: set 252 mm, cut."
    """
    return tuple(f"{before(cut, layout.cuts)} {as_text(word(length(cut.fence), system))}, {after(cut)}"
                 for cut in layout.cuts)


def empty_text(layout: Layout) -> str:
    """Why nothing is cut: "a sheet of A5 is too small for strip"; "" for a layout that holds a set."""
    if layout.sets or layout.placements:
        return ""
    if layout.too_large:
        return f"a sheet of {layout.sheet.title} is too small for {join(list(layout.too_large))}"
    return f"no complete set comes out of one sheet of {layout.sheet.title}"


def direction_text(layout: Layout) -> str:
    """"the grain must run along the long side of the sheet"; "" where it may run either way."""
    if layout.direction is None:
        return ""
    along, across = layout.sheet.width.value, layout.sheet.height.value
    if layout.direction == "y":
        along, across = across, along
    if along == across:
        return f"the {layout.runs} must run the same way through all blanks"
    return f"the {layout.runs} must run along the {'long' if along > across else 'short'} side of the sheet"


def offcut_text(layout: Layout, system: str) -> str:
    """"71 × 297 mm and two of 45 × 139 mm": what is left over, large ones first, without the selvedge; "" for nothing."""
    return _offcuts(layout, lambda a, b: size_text(a, b, system))


def offcut_html(layout: Layout, system: str) -> str:
    """As :func:`offcut_text`, with real fractions."""
    return _offcuts(layout, lambda a, b: size_html(a, b, system))


def offcut_speech(layout: Layout, system: str) -> str:
    """As :func:`offcut_text`, as it is read aloud."""
    return _offcuts(layout, lambda a, b: size_speech(a, b, system))


def _offcuts(layout: Layout, say: Callable[[Quantity, Quantity], str]) -> str:
    sizes = Counter(tuple(sorted((o.width, o.height))) for o in layout.offcuts if not o.selvedge)
    told = [(say(*map(length, size)), count) for size, count in sizes.items()]
    return join([said if count == 1 else f"{number_words(count)} of {said}" for said, count in told]) if told else ""


def _part(cut: Cut, cuts: Sequence[Cut]) -> str:
    if not cut.sources:
        return "The whole sheet"
    told = join(list(_sources(cut, cuts)))
    return told[:1].upper() + told[1:]


def _sources(cut: Cut, cuts: Sequence[Cut]) -> Iterator[str]:
    """"the strip from cut 1", "each of the four strips from cuts 2 and 3", "what is left after cut 1"."""
    strips = [source for source in cut.sources if not source.rest]
    rests = [source for source in cut.sources if source.rest]
    if strips and (name := _sheet_after(cuts[strips[0].step - 1])):
        yield name
    elif strips:
        yield _strips(strips)
    if rests:
        count = sum(source.count for source in rests)
        yield f"{'what' if count == 1 else 'each part that'} is left after {_cut_numbers(rests)}"


def _sheet_after(cut: Cut) -> str:
    """What the sheet is called when only its end, or its selvedge, went; "" when strips were cut off it."""
    if cut.trims:
        return "the trimmed sheet"
    return "the shortened sheet" if cut.shortens and not cut.sources else ""


def _strips(sources: Sequence[Source]) -> str:
    count = sum(source.count for source in sources)
    which = {1: "the strip", 2: "both strips"}.get(count, f"each of the {number_words(count)} strips")
    return f"{which} from {_cut_numbers(sources)}"


def _cut_numbers(sources: Sequence[Source]) -> str:
    numbers = sorted({source.step for source in sources})
    return f"{plural(len(numbers), 'cut', 'cuts')} {join([str(n) for n in numbers])}"

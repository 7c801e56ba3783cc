"""The settings line of a step: what to set and to do, in the order of work, as the bench card has it."""
from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from html import escape

from markupsafe import Markup

from generator.dataclass import dataclass
from generator.drawing.lettering import with_fractions
from generator.drawing.templates.bench_rows import CardRow, card_rows
from generator.tutorial import Tutorial
from generator.units.wording import NO_BREAK
from generator.website.prose import SYSTEM_SEPARATOR, SYSTEMS

_DIGIT = re.compile(r"\d")
_TIMES = re.compile(r"(\(\d+) ")        # begins how often, such as "(2 times)": no measure


@dataclass(frozen=True, slots=True)
class SettingRow:
    """One action at its settings, in both editions; a heading says which piece it is and how it lies."""

    html: Markup
    heading: bool = False


def step_settings(tutorial: Tutorial) -> Mapping[int, tuple[SettingRow, ...]]:
    """By the number of a step its rows, in the order of work; both editions do the same work."""
    found: dict[int, list[SettingRow]] = {}
    rows = [card_rows(tutorial.plans.get(system, tutorial.drawn), locale=tutorial.locale,
                      lettered=False)
            for system in SYSTEMS]
    for step in dict.fromkeys(row.step for row in rows[0]):
        own = [[row for row in edition if row.step == step] for edition in rows]
        if len(own[0]) == len(own[1]):
            found[step] = [_setting(*pair) for pair in zip(*own, strict=True)]
    return {step: tuple(each) for step, each in found.items()}


def _setting(inch: CardRow, mm: CardRow) -> SettingRow:
    return SettingRow(Markup("").join(_parts(inch.text, mm.text)), inch.heading)


def _parts(inch: str, mm: str) -> Iterator[Markup]:
    """The words that both share once, and between them what each edition measures."""
    if inch == mm:
        yield _with_fractions(inch)
        return
    words, other = inch.split(" "), mm.split(" ")
    first = next(k for k, pair in enumerate(zip([*words, "1"], [*other, "1"], strict=False))
                 if pair[0] != pair[1] or _DIGIT.search(pair[0]))
    last = next(k for k, pair in enumerate(zip([*words[::-1], "1"], [*other[::-1], "1"], strict=False))
                if pair[0] != pair[1] or _DIGIT.search(pair[0]) and not _TIMES.fullmatch(f"{pair[0]} "))
    last = min(last, len(words) - first, len(other) - first)
    middle = [" ".join(each[first:len(each) - last]) for each in (words, other)]
    yield _with_fractions(" ".join(words[:first]))
    shown = (Markup('<i class="{}">{}</i>').format(system, _with_fractions(text))
             for system, text in zip(SYSTEMS, middle, strict=True))
    yield Markup(' <b class="measure">{}</b> ').format(Markup(SYSTEM_SEPARATOR).join(shown))
    yield _with_fractions(" ".join(words[len(words) - last:]))


def _with_fractions(text: str) -> Markup:
    """As HTML, where no line ends between a figure and what it counts."""
    return Markup(escape(_TIMES.sub(rf"\1{NO_BREAK}", with_fractions(text)), quote=False))

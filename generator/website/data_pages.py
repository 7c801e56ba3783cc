"""The index of the search: titles, steps and words, as small static JSON.

The one ornament: a rule of one foot, true to size, inches above and millimetres below.

Pages that go with the tutorials and are made from data: the bench, the two rules, the words, the calls, the
findings, the search.
"""
from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from generator.findings.explanations import explanation_groups
from generator.language.evaluation.deferred_properties import DEFERRED_FAMILIES
from generator.language.evaluation.registry import FAMILIES, REGISTRY, CallEntry
from generator.language.parts import PART_FAMILY as PARTS
from generator.language.parts import built_in_parts
from generator.locale import ENGLISH, Locale
from generator.paper.verbs import VOCABULARY
from generator.tutorial import MeasureWording, Tutorial
from generator.tutorial.tools_and_cautions import tool_need
from generator.units import INCH, TOOLS, Bench, as_html, as_speech, as_text, display_measure, length
from generator.website.glossary import glossary_words
from generator.website.prose import SYSTEMS, accessible_html

SEARCH_INDEX = "search.json"


def search_index_name(language: str) -> str:
    """"search.json", in another language "search.de.json"."""
    return SEARCH_INDEX if language == "en" else SEARCH_INDEX.replace(".", f".{language}.")


def search_index(tutorials: Mapping[str, Tutorial], glossary: str, locale: Locale = ENGLISH) -> str:
    """``{"pages": [[address, title, summary, [[anchor, title], …]], …]}``.

    Addresses below the root of the site.

    A word of the glossary counts as a step of the glossary's page.
    """
    pages = [[url, t.front.title, t.front.summary, [[s.anchor, s.title] for s in t.steps]] for url,
             t in tutorials.items()]
    if glossary:
        pages.append([glossary, "", "", _glossary_entries(locale)])
    return json.dumps({"pages": pages}, ensure_ascii=False, separators=(",", ":")) + "\n"


def _glossary_entries(locale: Locale) -> list[list[str]]:
    return [[word.anchor, word.name] for word in glossary_words(locale)]


RULER_INCHES = 12
MM_IN_INCH = float(INCH.mm)
RULER_MILLIMETRES = int(RULER_INCHES * MM_IN_INCH)                        # 304
HALF_HEIGHT = 7.5                                              # mm of height above and below the line
INCH_TICKS = ((16, 5.0), (8, 3.8), (4, 2.9), (2, 2.1), (1, 1.4))    # sixteenths → height of the tick in mm
METRIC_TICKS = ((10, 5.0), (5, 3.4), (1, 2.0))


def _tick_height(place: int, ticks: tuple[tuple[int, float], ...]) -> float:
    return next(height for every, height in ticks if place % every == 0)


def _ticks_path(places: int, step: float, ticks: tuple[tuple[int, float], ...], up: bool) -> str:
    sign = "-" if up else ""
    return "".join(f"M{place * step:.5g} {HALF_HEIGHT:g}v{sign}{_tick_height(place, ticks):g}"
                   for place in range(places + 1))


def _ruler_numbers(count: int, step: float, y: float) -> str:
    return "".join(f'<text x="{n * step + 0.7:.5g}" y="{y:g}">{n}</text>' for n in range(1, count + 1))


def ruler_svg() -> Markup:
    """The rule as SVG in mm; it says nothing a reader needs, so it is hidden from speech."""
    width = RULER_INCHES * MM_IN_INCH
    ticks = (_ticks_path(RULER_INCHES * 16, MM_IN_INCH / 16, INCH_TICKS, True)
             + _ticks_path(RULER_MILLIMETRES, 1, METRIC_TICKS, False))
    numbers = (_ruler_numbers(RULER_INCHES - 1, MM_IN_INCH, HALF_HEIGHT - 3.6)
               + _ruler_numbers(RULER_MILLIMETRES // 10, 10, HALF_HEIGHT + 5.2))
    return Markup(
        f'<svg class="rule" width="{width:g}mm" height="{2 * HALF_HEIGHT:g}mm" viewBox="0 0 {width:g} '
        f'{2 * HALF_HEIGHT:g}" '
        f'aria-hidden="true" focusable="false">'
        f'<path d="M0 {HALF_HEIGHT:g}h{width:g}{ticks}"/><g>{numbers}</g></svg>')


# mm: width, height, radius of the corners (ISO/IEC 7810, ID-1); upright, so that a phone can hold it
BANK_CARD = (53.98, 85.60, 3.18)


@dataclass(frozen=True, slots=True)
class DataPage:
    """A page at ``<name>/``; its words are in the catalogue under ``<name>_…``."""

    name: str
    data: Callable[[Mapping[str, Bench], Locale], Mapping[str, Any]]
    everywhere: bool = True     # in all languages; what only authors read is English

    @property
    def source(self) -> str:
        """Where its source would stand below the tutorials."""
        return f"{self.name}.md"

    @property
    def title(self) -> str:
        """The key of its title in the catalogue."""
        return f"website.page_{self.name}"


@dataclass(frozen=True, slots=True)
class ToolRow:
    """A tool with its marks and its reach, in the order of :data:`SYSTEMS`; "" where it has no end."""

    name: str
    instead: str
    marks: tuple[Markup, ...]
    reach: tuple[Markup, ...]


def bench_data(benches: Mapping[str, Bench], locale: Locale = ENGLISH) -> Mapping[str, Any]:
    """A row for each tool of the benches that mkdocs.yml describes."""
    rows = []
    for name in TOOLS:
        tools = [benches[system].tools[name] for system in SYSTEMS]
        need = tool_need(name, locale)
        rows.append(ToolRow(need.name, need.instead,
                            tuple(_measure_html(tool.step, tool.system, locale) for tool in tools),
                            tuple(_measure_html(tool.reach, tool.system, locale) if tool.reach
                                  else Markup("") for tool in tools)))
    return {"tools": tuple(rows)}


def _measure_html(mm: Any, system: str, locale: Locale) -> Markup:
    shown = display_measure(length(mm), system)
    return accessible_html(MeasureWording(as_text(shown, locale), as_speech(shown, locale),
                                          as_html(shown, locale)))


def rules_data(_benches: Mapping[str, Bench], _locale: Locale) -> Mapping[str, Any]:
    """The rule of the page's head once more, and a card to match it by."""
    return {"whole_rule": ruler_svg(), "bank_card": BANK_CARD}


def calls_data(_benches: Mapping[str, Bench], locale: Locale = ENGLISH) -> Mapping[str, Any]:
    """The registry by families, then the parts, as ``foldgauge calls`` prints them."""
    result = [(family, locale.say(f"website.use_{use}"),
             [_call_data(e) for e in REGISTRY.values() if e.family == family])
            for family, use, _ in FAMILIES]
    result.append((PARTS, locale.say("website.use_paper"),
                 [_call_data(part.entry, part.code) for part in built_in_parts().values()]))
    return {"families": result, "vocabulary": sorted(VOCABULARY),
            "properties": [(family, list(properties.items())) for family, properties in DEFERRED_FAMILIES]}


def _call_data(entry: CallEntry, code: str = "") -> Mapping[str, Any]:
    """One entry of the reference; of a part with what it gives, and with the statements it is made of."""
    text = Markup.escape(" ".join(entry.help.split()))
    pieces = str(text).split("``")
    help_html = Markup("".join(f"<code>{p}</code>" if k % 2 else p for k, p in enumerate(pieces)))
    return {"name": entry.name, "signature": entry.signature(), "help": help_html,
            "parameters": [(p.name, " — ".join(filter(None, (p.kind.phrase, p.words))), p.required, p.default)
                           for p in entry.parameters],
            "gives": list(entry.gives.items()), "code": code}


DATA_PAGES = (
    DataPage("glossary", lambda _, locale: {"words": glossary_words(locale)}),
    DataPage("bench", bench_data),
    DataPage("rules", rules_data),
    DataPage("search", lambda *_: {}),
    DataPage("calls", calls_data, everywhere=False),
    DataPage("findings", lambda *_: {"groups": explanation_groups()}, everywhere=False),
)

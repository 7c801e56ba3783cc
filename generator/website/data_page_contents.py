"""What the pages made from data show: the bench, the two rules, the words, the calls, the findings."""
from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any

from markupsafe import Markup

from generator.dataclass import dataclass
from generator.findings.explanations import explanation_groups
from generator.language.evaluation.deferred_properties import DEFERRED_FAMILIES
from generator.language.evaluation.registry import FAMILIES, REGISTRY, CallEntry
from generator.language.parts import PART_FAMILY as PARTS
from generator.language.parts import built_in_parts
from generator.locale import ENGLISH, Locale
from generator.paper.verbs import VOCABULARY
from generator.tutorial import MeasureWording
from generator.tutorial.tools_and_cautions import tool_need
from generator.units import TOOLS, Bench, as_html, as_speech, as_text, display_measure, length
from generator.website.glossary_words import glossary_words
from generator.website.prose import SYSTEMS, accessible_html
from generator.website.ruler import ruler_svg

# mm: width, height, radius of the corners (ISO/IEC 7810, ID-1); upright, so that a phone can hold it
BANK_CARD = (53.98, 85.60, 3.18)


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
    made = [(family, locale.say(f"website.use_{use}"),
             [_call_data(e) for e in REGISTRY.values() if e.family == family])
            for family, use, _ in FAMILIES]
    made.append((PARTS, locale.say("website.use_paper"),
                 [_call_data(part.entry, part.code) for part in built_in_parts().values()]))
    return {"families": made, "vocabulary": sorted(VOCABULARY),
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


PAGE_CONTENTS: Mapping[str, Callable[[Mapping[str, Bench], Locale], Mapping[str, Any]]] = MappingProxyType({
    "glossary": lambda _, locale: {"words": glossary_words(locale)},
    "bench": bench_data,
    "rules": rules_data,
    "search": lambda *_: {},
    "prints": lambda *_: {},     # what it shows is read with the sources
    "calls": calls_data,
    "findings": lambda *_: {"groups": explanation_groups()},
})

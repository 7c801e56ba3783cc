"""Pages that go with the tutorials and are made from data: the bench, the two rules, the words, the calls, the search."""
from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from generator.language.evaluation.deferred_properties import DEFERRED_FAMILIES as TOLD_FAMILIES
from generator.language.evaluation.registry import FAMILIES, REGISTRY, CallEntry
from generator.language.parts import PART_FAMILY as PARTS
from generator.language.parts import built_in_parts
from generator.paper.verbs import VOCABULARY
from generator.tongue import ENGLISH, Tongue
from generator.tutorial import Wording
from generator.tutorial.care import tool_need
from generator.units import TOOLS, Bench, as_html, as_speech, as_text, length, word
from generator.website.glossary import words
from generator.website.inlays import SYSTEMS, voiced
from generator.website.rule import rule

# mm: width, height, radius of the corners (ISO/IEC 7810, ID-1: 85,60 × 53,98); upright, so that a phone can hold it
CARD = (53.98, 85.60, 3.18)


@dataclass(frozen=True, slots=True)
class Companion:
    """A page at ``<name>/``; its words are in the catalogue under ``<name>_…``."""

    name: str
    data: Callable[[Mapping[str, Bench], Tongue], Mapping[str, Any]]
    everywhere: bool = True     # in all languages; what only authors read is English

    @property
    def source(self) -> str:
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


def bench_data(benches: Mapping[str, Bench], tongue: Tongue = ENGLISH) -> Mapping[str, Any]:
    """A row for each tool of the benches that mkdocs.yml describes."""
    rows = []
    for name in TOOLS:
        tools = [benches[system].tools[name] for system in SYSTEMS]
        need = tool_need(name, tongue)
        rows.append(ToolRow(need.name, need.instead,
                            tuple(_worded(tool.step, tool.system, tongue) for tool in tools),
                            tuple(_worded(tool.reach, tool.system, tongue) if tool.reach else Markup("") for tool in tools)))
    return {"tools": tuple(rows)}


def _worded(mm: Any, system: str, tongue: Tongue) -> Markup:
    shown = word(length(mm), system)
    return voiced(Wording(as_text(shown, tongue), as_speech(shown, tongue), as_html(shown, tongue)))


def rules_data(benches: Mapping[str, Bench], tongue: Tongue = ENGLISH) -> Mapping[str, Any]:
    """The rule of the page's head once more, and a card to match it by."""
    return {"whole_rule": rule(), "bank_card": CARD}


def calls_data(benches: Mapping[str, Bench], tongue: Tongue = ENGLISH) -> Mapping[str, Any]:
    """The registry by families, then the parts, as ``foldgauge calls`` prints them."""
    made = [(family, tongue.say(f"website.use_{use}"), [_call(e) for e in REGISTRY.values() if e.family == family])
            for family, use, _ in FAMILIES]
    made.append((PARTS, tongue.say("website.use_paper"), [_call(part.entry, part.code) for part in built_in_parts().values()]))
    return {"families": made, "vocabulary": sorted(VOCABULARY),
            "told": [(family, list(properties.items())) for family, properties in TOLD_FAMILIES]}


def _call(entry: CallEntry, code: str = "") -> Mapping[str, Any]:
    """One entry of the reference; of a part with what it gives, and with the statements it is made of."""
    text = Markup.escape(" ".join(entry.help.split("\n\n")[0].split()))
    pieces = str(text).split("``")
    help_html = Markup("".join(f"<code>{p}</code>" if k % 2 else p for k, p in enumerate(pieces)))
    return {"name": entry.name, "signature": entry.signature(), "help": help_html,
            "parameters": [(p.name, " — ".join(filter(None, (p.kind.says, p.words))), p.required, p.default)
                           for p in entry.parameters],
            "gives": list(entry.gives.items()), "code": code}


COMPANIONS = (
    Companion("glossary", lambda benches, tongue: {"words": words(tongue)}),
    Companion("bench", bench_data),
    Companion("rules", rules_data),
    Companion("search", lambda benches, tongue: {}),
    Companion("calls", calls_data, everywhere=False),
)

"""The trade's words on pages: links from where they are first used to what they mean."""
from __future__ import annotations

import re

from markupsafe import Markup

from generator.dataclass import dataclass
from generator.locale import ENGLISH, Locale

NEVER_LINKED = "-"            # of a word that is too common to be linked

_TAG_OR_TEXT = re.compile(r"<[^>]*>|[^<]+")
_UNLINKED_ELEMENT = re.compile(r"<(/?)(?:a|code|pre|h[1-6]|svg|figure)\b")


def glossary_entries(locale: Locale = ENGLISH) -> tuple[tuple[str, str], ...]:
    """The (anchor, name) of all words in the order of the alphabet."""
    made = [(anchor, locale.say(f"glossary.{anchor}.name")) for anchor in _anchors(locale)]
    return tuple(sorted(made, key=lambda entry: entry[1].casefold()))


def _anchors(locale: Locale) -> list[str]:
    return [key.removesuffix(".name") for key in locale.section("glossary") if key.endswith(".name")]


@dataclass(slots=True)
class GlossaryLinker:
    """Links the first use of every word on one page; ``url`` leads from there to the glossary."""

    url: str
    left: dict[str, re.Pattern[str]]

    @classmethod
    def to(cls, url: str, locale: Locale = ENGLISH) -> GlossaryLinker:
        """A linker that has seen no word yet."""
        sought = {anchor: locale.say(f"glossary.{anchor}.found") for anchor in _anchors(locale)}
        return cls(url, {anchor: re.compile(rf"\b(?:{found})\b", re.I) for anchor, found in sought.items()
                         if found != NEVER_LINKED})

    def linked(self, html: str) -> Markup:
        """The same text with links; none within links, headings, code and pictures."""
        depth, made = 0, []
        for part in _TAG_OR_TEXT.findall(html):
            if part.startswith("<"):
                if kept := _UNLINKED_ELEMENT.match(part):
                    depth += -1 if kept[1] else 1
                made.append(part)
            else:
                made.append(part if depth else self._text(part))
        return Markup("".join(made))

    def _text(self, text: str) -> str:
        found = [(m.start(), -m.end(), name, m) for name, sought in self.left.items()
                 if (m := sought.search(text))]
        made, end = [], 0
        for start, _, name, match in sorted(found, key=lambda f: f[:3]):
            if start < end:
                continue    # within a longer word, such as "folder" in "bone folder"
            made += [text[end:start], f'<a class="word" href="{self.url}#{name}">{match[0]}</a>']
            end = match.end()
            del self.left[name]
        return "".join([*made, text[end:]])

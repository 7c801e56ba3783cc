"""From the prose of a tutorial to Markdown, and from the converted page back to its parts."""
from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from html import escape

import markdown
from markupsafe import Markup
from mkdocs.exceptions import PluginError

from generator.tutorial import ComputedValue, Photo, Prose, Step, Tutorial
from generator.website.prose_values import CLOSE, filled, token, without_tokens

_SIGNS = {ord(c): f"\\{c}" for c in "\\[]*_`<"}


@dataclass(frozen=True, slots=True)
class Converted:
    """The HTML of a tutorial's text: what stands before the first step, and each step's own."""

    intro: Markup
    steps: tuple[Markup, ...]


@dataclass(slots=True)
class Manuscript:
    """The Markdown of one page, with the values that were taken out of it on the way."""

    inlays: list[ComputedValue] = field(default_factory=list)

    def page(self, tutorial: Tutorial) -> str:
        """The whole tutorial; every step begins with a heading by which :func:`parts` finds it again."""
        steps = (f"{_heading(step)}\n\n{self.prose(step.prose)}" for step in tutorial.steps)
        return "\n\n".join((self.prose(tutorial.intro), *steps))

    def prose(self, prose: Prose) -> str:
        """One stretch of prose."""
        return "".join(map(self._part, prose))

    def _part(self, part: str | ComputedValue | Photo) -> str:
        if isinstance(part, str):
            return without_tokens(part)
        if isinstance(part, Photo):
            return _photo(part)
        self.inlays.append(part)
        return token(len(self.inlays) - 1)

    def fill(self, html: str) -> Markup:
        """Put the values back."""
        return filled(html, self.inlays)


def _heading(step: Step) -> str:
    # Raw HTML, so that MkDocs knows the anchor and a title with signs in it stays as it is.
    return f'<h2 id="{step.anchor}">{escape(step.title)}</h2>'


def _photo(photo: Photo) -> str:
    alt = " ".join(photo.alt.split()).translate(_SIGNS)
    title = " ".join(photo.title.split()).replace('"', "&quot;")
    return f"\n\n![{alt}](<{photo.src}>" + (f' "{title}")' if title else ")") + "\n\n"


def parts(html: str, steps: Iterable[Step]) -> Converted:
    """Cut the converted page at the headings of its steps.

    Raises PluginError when the text of a step swallowed the next heading,
    as an HTML comment does that is never ended.
    """
    found, rest = [], html
    for step in steps:
        text, heading, rest = rest.partition(_heading(step))
        if not heading:
            raise PluginError(f"the text before step {step.number} ({step.title}) swallows its heading: "
                              "an HTML tag or comment is begun there and never ended")
        found.append(Markup(text.strip()))
    return Converted(found[0], (*found[1:], Markup(rest.strip()))) if found else Converted(Markup(html), ())


class InlineToken:
    """Markdown of one line: titles, facts, supplies and the like, which stand outside the page's own text."""

    def __init__(self) -> None:
        self._markdown = markdown.Markdown()

    def html(self, prose: Prose) -> Markup:
        """The line as HTML without a block around it, whatever it begins with."""
        manuscript = Manuscript()
        line = " ".join(manuscript.prose(prose).split())
        # As a heading, so that a line such as "1. Cut" makes no list; the sign at its end keeps a # there.
        html = self._markdown.reset().convert(f"# {line}{CLOSE}")
        return manuscript.fill(html.removeprefix("<h1>").removesuffix(f"{CLOSE}</h1>"))

"""Computed values in HTML, each with the figure for the eye and the words for the ear.

Prose as plain words: for letters, for machines and for the search.

From the prose of a tutorial to Markdown, and from the converted page back to its parts.
"""
from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import lru_cache
from html import escape, unescape

import markdown
from markupsafe import Markup
from mkdocs.exceptions import PluginError

from generator.dataclass import dataclass, field
from generator.tutorial import ComputedValue, MeasureWording, Photo, Prose, Step, Tutorial
from generator.units import INCH, METRIC
from generator.units.wording import FRACTION_SLASH
from generator.website.sanitizer import clean_inline, clean_prose

SYSTEMS = (INCH.code, METRIC.code)          # the order in which they stand on the page
SYSTEM_SEPARATOR = '<i class="or">\u00a0· </i>'

# While Markdown works on the prose, a value is a number between two characters of the private use
# area: no Markdown sign, no letter, and in no font.
TOKEN_OPEN, TOKEN_CLOSE = "\ue000", "\ue001"
_TOKEN_CHARACTERS = {ord(TOKEN_OPEN): None, ord(TOKEN_CLOSE): None}
_TAG_OR_TOKEN = re.compile(rf"<[^>]*>|{TOKEN_OPEN}(\d+){TOKEN_CLOSE}")
_ATTRIBUTE_TOKEN = re.compile(rf"{TOKEN_OPEN}(\d+){TOKEN_CLOSE}")
_VOID_ELEMENT = re.compile(r"^<(?:br|hr|img|input|wbr)\b.*?(\s*/)>$", re.S)
_SPACES = re.compile(r"[ \t\r\n]+")      # those that a line may break at, not the no-break ones


def accessible_html(wording: MeasureWording, system: str = "") -> Markup:
    """One wording, shown where the reader chose ``system``, or always.

    The figure, hidden from speech where it would be read badly, and the words in its place: two elements
    beside each other, since a page has hundreds of them.
    """
    if wording.speech == wording.text and FRACTION_SLASH not in wording.html:
        return Markup(f'<i class="{system}">{wording.html}</i>' if system else wording.html)
    shown = f' class="{system}"' if system else ""
    return Markup(f'<i{shown} aria-hidden="true">{wording.html}</i>'
                  f'<i class="{f"{system} spoken".strip()}">{escape(wording.speech, quote=False)}</i>')


def value_html(inlay: ComputedValue) -> Markup:
    """A value as it stands in the prose: once when both editions say the same, else once for each system."""
    if inlay.shared:
        return accessible_html(next(iter(inlay.wordings.values())))
    return measure_html(inlay.wordings.get(system) for system in SYSTEMS)


def measure_html(wordings: Iterable[MeasureWording | None]) -> Markup:
    """The wordings of one measure, in the order of :data:`SYSTEMS`; None where a system has none."""
    return Markup(SYSTEM_SEPARATOR.join(
        accessible_html(wording, system)
        for system, wording in zip(SYSTEMS, wordings, strict=True) if wording is not None))


def value_text(inlay: ComputedValue) -> str:
    """A value as plain text: "1 3/4 in · 45 mm"."""
    if inlay.shared:
        return next(iter(inlay.wordings.values())).text
    return " · ".join(inlay.wordings[system].text for system in SYSTEMS if system in inlay.wordings)


def without_token_characters(text: str) -> str:
    """Prose of an author, freed of the two characters that would be mistaken for a token."""
    return text.translate(_TOKEN_CHARACTERS)


def value_token(number: int) -> str:
    """What stands for value ``number`` while Markdown works."""
    return f"{TOKEN_OPEN}{number}{TOKEN_CLOSE}"


def fill_html(html: str, inlays: Sequence[ComputedValue]) -> Markup:
    """HTML from Markdown with its tokens turned into values; in an attribute a value is plain text."""
    return fill_forms(html, value_forms(inlays))


def value_forms(inlays: Iterable[ComputedValue]) -> tuple[tuple[str, str], ...]:
    """Each value as it stands in text, and as it stands in an attribute."""
    return tuple((str(value_html(inlay)), value_text(inlay)) for inlay in inlays)


def fill_forms(html: str, forms: Sequence[tuple[str, str]]) -> Markup:
    """As :func:`fill_html`, with the values worded already."""
    def replace(found: re.Match[str]) -> str:
        if found[1]:
            return forms[int(found[1])][0]
        return _tag_html(found[0], lambda number: escape(forms[number][1]))
    return Markup(_TAG_OR_TOKEN.sub(replace, html))


def _tag_html(tag: str, text_of: Callable[[int], str]) -> str:
    """A tag with plain values in its attributes and without the slash that XHTML wanted."""
    tag = _ATTRIBUTE_TOKEN.sub(lambda found: text_of(int(found[1])), tag)
    void = _VOID_ELEMENT.match(tag)
    return tag[:void.start(1)] + ">" if void else tag


_ANY_TAG = re.compile(r"<[^>]*>")
TOKEN_PATTERN = re.compile(rf"{TOKEN_OPEN}(\d+){TOKEN_CLOSE}")


def text_with_tokens(prose: Prose) -> str:
    """The words without their Markdown; a value stays the token with its number among :func:`values_in`."""
    text, number = [], 0
    for part in prose:
        if isinstance(part, ComputedValue):
            text.append(f"{TOKEN_OPEN}{number}{TOKEN_CLOSE}")
            number += 1
        elif not isinstance(part, Photo):
            text.append(without_token_characters(part))
    return _markdown_text("".join(text))


@lru_cache(maxsize=1024)        # letters, machines and the search ask for the same words
def _markdown_text(text: str) -> str:
    return unescape(_ANY_TAG.sub("", markdown.markdown(text)))


def values_in(prose: Prose) -> tuple[ComputedValue, ...]:
    """The values of a stretch of prose, in order."""
    return tuple(part for part in prose if isinstance(part, ComputedValue))


def fill_text(text: str, inlays: Sequence[ComputedValue], say: Callable[[ComputedValue], str]) -> str:
    """White space folded, and every value said."""
    return TOKEN_PATTERN.sub(lambda found: say(inlays[int(found[1])]), " ".join(text.split()))


def text_in_system(system: str) -> Callable[[ComputedValue], str]:
    """How a value is said in one system, where it has words there."""
    return lambda inlay: (inlay.wordings.get(system) or next(iter(inlay.wordings.values()))).text


def plain_prose(prose: Prose, say: Callable[[ComputedValue], str] = value_text) -> str:
    """The whole stretch, with both editions unless told otherwise."""
    return fill_text(text_with_tokens(prose), values_in(prose), say)


_MARKDOWN_ESCAPES = {ord(c): f"\\{c}" for c in "\\[]*_`<"}


@dataclass(frozen=True, slots=True)
class ConvertedTutorial:
    """The HTML of a tutorial's text: what stands before the first step, and each step's own."""

    intro: Markup
    steps: tuple[Markup, ...]


@dataclass(slots=True)
class MarkdownSource:
    """The Markdown of one page, with the values that were taken out of it on the way."""

    inlays: list[ComputedValue] = field(default_factory=list)

    def page(self, tutorial: Tutorial) -> str:
        """The whole tutorial.

        Every step begins with a heading by which :func:`split_at_steps` finds it again.
        """
        steps = (f"{_step_heading(step)}\n\n{self.prose(step.prose)}" for step in tutorial.steps)
        return "\n\n".join((self.prose(tutorial.intro), *steps))

    def prose(self, prose: Prose) -> str:
        """One stretch of prose."""
        return "".join(map(self._part, prose))

    def _part(self, part: str | ComputedValue | Photo) -> str:
        if isinstance(part, str):
            return without_token_characters(part)
        if isinstance(part, Photo):
            return _photo_markdown(part)
        self.inlays.append(part)
        return value_token(len(self.inlays) - 1)

    def fill(self, html: str) -> Markup:
        """Put the values back."""
        return fill_html(html, self.inlays)


@dataclass(frozen=True, slots=True)
class StepHeading:
    """What the heading of a step is known by in the page's text; ``line`` is its place in the source."""

    number: int
    anchor: str
    title: str
    line: int = 1


def _step_heading(step: Step | StepHeading) -> str:
    # Raw HTML, so that MkDocs knows the anchor and a title with signs in it stays; Markdown spreads tabs.
    title = step.title.replace("\t", " ")
    return f'<h2 id="{step.anchor}">{escape(title)}</h2>'


def texts_of_steps(text: str, steps: Iterable[StepHeading]) -> Iterator[tuple[StepHeading | None, str]]:
    """The Markdown of a page cut at its headings: None and what stands before the first, then each step."""
    before: StepHeading | None = None
    for step in steps:
        own, _, text = text.partition(_step_heading(step))
        yield before, own
        before = step
    yield before, text


def _photo_markdown(photo: Photo) -> str:
    alt = " ".join(photo.alt.split()).translate(_MARKDOWN_ESCAPES)
    title = " ".join(photo.title.split()).replace('"', "&quot;")
    return f"\n\n![{alt}](<{photo.src}>" + (f' "{title}")' if title else ")") + "\n\n"


def sanitized_page(html: str, steps: Sequence[StepHeading]) -> str:
    """What Markdown made of a tutorial, with nothing in it that is not on our lists; each step for itself.

    Raises PluginError as :func:`split_at_steps`.
    """
    text = split_at_steps(html, steps)
    return "\n".join((clean_prose(text.intro), *(
        part for step, text in zip(steps, text.steps, strict=True)
        for part in (_step_heading(step), clean_prose(text)))))


def split_at_steps(html: str, steps: Iterable[Step | StepHeading]) -> ConvertedTutorial:
    """Cut the converted page at the headings of its steps.

    Raises PluginError when the text of a step swallowed the next heading,
    as an HTML comment does that is never ended.
    """
    found, rest = [], html
    for step in steps:
        text, heading, rest = rest.partition(_step_heading(step))
        if not heading:
            raise PluginError(f"the text before step {step.number} ({step.title}) swallows its heading: "
                              "an HTML tag or comment is begun there and never ended")
        found.append(Markup(text.strip()))
    return ConvertedTutorial(found[0],
                             (*found[1:], Markup(rest.strip()))) if found else ConvertedTutorial(
                                 Markup(html), ())


class InlineMarkdown:
    """Markdown of one line: titles, facts, supplies and the like, which stand outside the page's own text."""

    def __init__(self) -> None:
        self._markdown = markdown.Markdown()

    def html(self, prose: Prose) -> Markup:
        """The line as HTML without a block around it, whatever it begins with."""
        manuscript = MarkdownSource()
        line = _SPACES.sub(" ", manuscript.prose(prose)).strip()
        # As a heading, so that a line such as "1. Cut" makes no list; the sign at its end keeps a # there.
        html = self._markdown.reset().convert(f"# {line}{TOKEN_CLOSE}")
        return manuscript.fill(clean_inline(html.removeprefix("<h1>").removesuffix(f"{TOKEN_CLOSE}</h1>")))

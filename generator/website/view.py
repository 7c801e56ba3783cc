"""The line at the head of a page: checked by geometry; made by hand.

What the theme is handed: records of ready-made HTML and plain text, nothing to work out.
"""
from __future__ import annotations

import posixpath
import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from html import escape

from markupsafe import Markup

from generator.locale import ENGLISH, Locale
from generator.tutorial import Caution, Step, Tutorial
from generator.tutorial.shelf_table import ShelfRow, shelf_row
from generator.website.filters import Traits, duration, traits
from generator.website.pictures import PictureView
from generator.website.prose import Converted, InlineToken
from generator.website.rights import allowed, licence_address
from generator.website.sheets import Batches, SheetView, batches, yields_html
from generator.website.shelf import Shelved
from generator.website.slider import SliderView, slider_view
from generator.website.troubles import Troubles, troubles


def checked(tutorial: Tutorial, locale: Locale = ENGLISH) -> Markup:
    """What stands behind a tutorial: that its net was folded by the build, and that its author has made it, when and how."""
    parts = [Markup.escape(said) for said in (_folded(tutorial, locale),) if said]
    if tutorial.front.made is not None:
        day = tutorial.front.made.on.isoformat()
        parts.append(Markup(locale.say("box.made")).format(
            edition=locale.say(f"box.edition.{tutorial.front.made.edition}"), day=Markup(f'<time datetime="{day}">{day}</time>')))
    line = Markup("; ").join(parts)
    return line[:1].upper() + line[1:]


def _folded(tutorial: Tutorial, locale: Locale) -> str:
    """Nothing where there is nothing to fold, or where a piece could not be judged."""
    pieces = [piece for done in tutorial.folds.values() for piece in done.pieces]
    if not pieces or not all(piece.judged for piece in pieces):
        return ""
    curved = any(piece.flat.soft_folds and piece.skin is None for piece in pieces)
    return locale.say("box.checked_but" if curved else "box.checked")


CREDIT = ("title", "author", "source", "licence", "permission", "changes")
_RELATIVE = re.compile(r'\b(href|src)="(?![a-zA-Z][a-zA-Z0-9+.-]*:|[#/])([^"]*)"')
_SRCSET = re.compile(r'\bsrcset="([^"]*)"')
_WEB = re.compile(r"https?://\S+")


@dataclass(frozen=True, slots=True)
class DetailRow:
    """A label and what is said about it."""

    label: str
    html: Markup


@dataclass(frozen=True, slots=True)
class ToolView:
    """A tool, what it is for, and what serves instead ("" when nothing does)."""

    name: str
    why: str
    instead: str


@dataclass(frozen=True, slots=True)
class StepView:
    """One step: its own text, its pictures, and what its tools ask for besides."""

    number: int
    title: Markup
    anchor: str
    html: Markup
    pictures: tuple[PictureView, ...]
    notes: tuple[Markup, ...] = ()
    check: Markup = Markup("")      # what to measure before going on
    shape: PictureView | None = None    # what the paper looks like after it, where it moved


@dataclass(frozen=True, slots=True)
class TutorialView:
    """A whole tutorial, for its page and for its print view."""

    slug: str
    title: str
    summary: str
    intro: Markup
    facts: tuple[DetailRow, ...]
    overview: tuple[PictureView, ...]
    supplies: tuple[Markup, ...]
    tools: tuple[ToolView, ...]
    cautions: tuple[Caution, ...]
    differ: Markup
    steps: tuple[StepView, ...]
    credit: tuple[DetailRow, ...]
    revision: str
    sheets: tuple[SheetView, ...] = ()
    batches: Batches = Batches((), ())
    checked: Markup = Markup("")
    troubles: Troubles = Troubles({})
    finished: PictureView | None = None
    slider: SliderView | None = None        # the way from flat to finished


@dataclass(frozen=True, slots=True)
class Card:
    """A tutorial in the gallery; ``url`` leads to it from there."""

    url: str
    title: str
    summary: str
    facts: tuple[DetailRow, ...]
    picture: PictureView | None
    revision: str
    traits: Traits
    code: str = "en"                        # the language in which it is told
    others: tuple[tuple[str, str, str], ...] = ()      # (code, name, url) of further languages
    figures: ShelfRow | None = None         # its line in the table of the shelf


def tutorial_view(shelved: Shelved, converted: Converted, inline: InlineToken) -> TutorialView:
    """Everything that the page of a tutorial shows."""
    tutorial = shelved.tutorial
    wrong = troubles(tutorial, inline, tutorial.locale, shelved.kept)
    steps = tuple(StepView(step.number, _title(step, inline), step.anchor, html,
                           shelved.steps.get(step.number, ()), tuple(map(inline.html, step.notes)),
                           wrong.notes.get(step.number, Markup("")), shelved.shapes.steps.get(step.number))
                  for step, html in zip(tutorial.steps, converted.steps, strict=True))
    return TutorialView(
        slug=tutorial.slug, title=tutorial.front.title, summary=tutorial.front.summary, intro=converted.intro,
        facts=_facts(tutorial, inline), overview=shelved.overview,
        supplies=tuple(inline.html(supply) for supply in tutorial.supplies),
        tools=tuple(ToolView(tool.name, tool.why, tool.instead) for tool in tutorial.tools),
        cautions=tutorial.cautions, differ=inline.html(tutorial.differ), steps=steps,
        credit=tuple(_credit(tutorial)), revision=tutorial.revision, sheets=shelved.sheets,
        batches=batches(tutorial, shelved.sheets, inline, tutorial.locale), checked=checked(tutorial, tutorial.locale), troubles=wrong,
        finished=shelved.shapes.finished, slider=slider_view(shelved.slider, tutorial))


def card(url: str, shelved: Shelved, inline: InlineToken, locale: Locale = ENGLISH,
         others: tuple[tuple[str, str, str], ...] = ()) -> Card:
    """A tutorial as a gallery in ``locale`` shows it: with the picture of its first piece."""
    tutorial = shelved.tutorial
    return Card(url, tutorial.front.title, tutorial.front.summary, _facts(tutorial, inline, brief=True), shelved.front,
                tutorial.revision, traits(tutorial, locale, _giving(shelved)), tutorial.locale.code, others, shelf_row(tutorial))


def _giving(shelved: Shelved) -> tuple[str, ...]:
    """The sheets that give at least one box."""
    return tuple(dict.fromkeys(view.sheet for view in shelved.sheets if view.needed))


def _facts(tutorial: Tutorial, inline: InlineToken, brief: bool = False) -> tuple[DetailRow, ...]:
    front, words = tutorial.front, tutorial.locale
    rows = [DetailRow(fact.label, inline.html(fact.value)) for fact in tutorial.facts if fact.brief or not brief]
    if front.level:
        rows.append(DetailRow(words.say("website.level"), Markup.escape(words.say(f"website.level_{front.level}"))))
    if front.minutes:
        rows.append(DetailRow(words.say("website.time"), Markup.escape(duration(front.minutes))))
    return tuple(rows) if brief else (*rows, *_needs(tutorial))


def _needs(tutorial: Tutorial) -> Iterable[DetailRow]:
    """What a box takes, at one glance: how many a sheet gives, and the names of the tools."""
    words = tutorial.locale
    if tutorial.front.sheets:
        yield DetailRow(words.say("website.shelf_yield"), yields_html(shelf_row(tutorial).yields))
    if tutorial.tools:
        yield DetailRow(words.say("website.tools"), Markup.escape("\u00a0· ".join(tool.name for tool in tutorial.tools)))


def _title(step: Step, inline: InlineToken) -> Markup:
    return inline.html(step.heading) if step.heading else Markup.escape(step.title)


def _credit(tutorial: Tutorial) -> Iterable[DetailRow]:
    for key in CREDIT:
        value = getattr(tutorial.front.credit, key, None)
        if value:
            told = _licence(value) if key == "licence" else _linked(str(value))
            yield DetailRow(tutorial.locale.say(f"website.credit_{key}"), told)
    yield from _rights(tutorial)


def _rights(tutorial: Tutorial) -> Iterable[DetailRow]:
    credit, words = tutorial.front.credit, tutorial.locale
    said = allowed(credit, words)
    if said and any(getattr(credit, key) for key in CREDIT):
        note = f' <span class="note">{escape(words.say("website.rights_note"))}</span>' if credit.licence else ""
        yield DetailRow(words.say("website.rights"), Markup(escape(said) + note))


def _licence(text: str) -> Markup:
    """A licence by its name, leading to its own words where its address is known."""
    address = licence_address(text)
    if not address or address == text:
        return _linked(text)
    return Markup('<a href="{}" rel="license">{}</a>').format(address, text)


def _linked(text: str) -> Markup:
    """Plain text in which an address of the web can be followed."""
    pieces, end = [], 0
    for found in _WEB.finditer(text):
        address = found[0].rstrip(".,;:)")
        pieces += [Markup.escape(text[end:found.start()]), Markup('<a href="{0}">{0}</a>').format(address)]
        end = found.start() + len(address)
    return Markup("").join([*pieces, Markup.escape(text[end:])])


def moved(view: TutorialView, folder: str) -> TutorialView:
    """The same tutorial on a page elsewhere; ``folder`` is the way from there to the folder of its own page."""
    return replace(view, intro=_moved(view.intro, folder),
                   steps=tuple(replace(step, html=_moved(step.html, folder)) for step in view.steps))


def _moved(html: Markup, folder: str) -> Markup:
    if folder in ("", "."):
        return html
    html = _RELATIVE.sub(lambda found: f'{found[1]}="{posixpath.join(folder, found[2])}"', html)
    return Markup(_SRCSET.sub(lambda found: f'srcset="{_each_moved(found[1], folder)}"', html))


def _each_moved(srcset: str, folder: str) -> str:
    return ", ".join(posixpath.join(folder, one) for one in srcset.split(", "))

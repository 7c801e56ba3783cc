"""If yours does not close: the notes and the table, ready for the page.

The line at the head of a page: checked by geometry; made by hand.

What the theme is handed: records of ready-made HTML and plain text, nothing to work out.
"""
from __future__ import annotations

import posixpath
import re
from collections.abc import Iterable, Mapping
from html import escape

from markupsafe import Markup

from generator.dataclass import dataclass, field, replace
from generator.locale import ENGLISH, Locale
from generator.tutorial import Caution, Photo, Step, Tutorial
from generator.tutorial.facts import brief_size
from generator.tutorial.shelf_table import ShelfRow, shelf_row
from generator.tutorial.tools_and_cautions import caution_steps
from generator.tutorial.troubleshooting import TroubleshootingGuide, troubleshoot
from generator.website.card_pictures import picture_extent, picture_name
from generator.website.downloads import SliderView, slider_view
from generator.website.filters import FilterValues, duration
from generator.website.page_metadata import licence_url, permitted_use
from generator.website.pictures import LegendItem, PictureView
from generator.website.prose import ConvertedTutorial, InlineMarkdown
from generator.website.rendered_tutorial import RenderedTutorial, filter_values
from generator.website.sheets import BatchTable, SheetView, batch_table, dual_text, yields_html
from generator.website.step_settings import SettingRow, step_settings
from generator.website.verification import MadeBoxView, made_views, verification_note


@dataclass(frozen=True, slots=True)
class ProblemRow:
    """A row: what is seen and what is known of it, what to measure (a line for each mark), what to do.

    ``anchor`` for links.
    """

    anchor: str
    see: str
    known: Markup
    measure: tuple[Markup, ...]
    do: str


@dataclass(frozen=True, slots=True)
class ProblemTable:
    """``notes`` by the number of their step, and the rows of the table."""

    notes: Mapping[int, Markup]
    rows: tuple[ProblemRow, ...] = ()
    words: Mapping[str, str] = field(default_factory=lambda: ENGLISH.section("trouble"))


def problem_table(found: TroubleshootingGuide, inline: InlineMarkdown,
                  locale: Locale = ENGLISH) -> ProblemTable:
    """What may come out wrong with a tutorial's box, ready for its page."""
    return ProblemTable({step: inline.html(note) for step, note in found.notes.items()},
                    tuple(ProblemRow(row.anchor, row.see, inline.html(row.known) if row.known else Markup(""),
                                     tuple(map(inline.html, row.measure)), row.do)
                          for row in found.rows), locale.section("trouble"))


CREDIT = ("title", "author", "source", "licence", "permission", "changes")
_RELATIVE_LINK = re.compile(r'\b(href|src)="(?![a-zA-Z][a-zA-Z0-9+.-]*:|[#/])([^"]*)"')
_SRCSET = re.compile(r'\bsrcset="([^"]*)"')
_WEB_ADDRESS = re.compile(r"https?://\S+")


@dataclass(frozen=True, slots=True)
class DetailRow:
    """A label and what is said about it, or said on request where it is ``more``."""

    label: str
    html: Markup
    more: bool = False


@dataclass(frozen=True, slots=True)
class ToolView:
    """A tool, what it is for, and what serves instead ("" when nothing does); ``word`` is its key."""

    name: str
    why: str
    instead: str
    word: str = ""


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
    settings: tuple[SettingRow, ...] = ()
    cautions: tuple[Caution, ...] = ()      # to be read before it


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
    revision: Markup
    sheets: tuple[SheetView, ...] = ()
    batches: BatchTable = BatchTable((), ())
    checked: str = ""
    made: tuple[MadeBoxView, ...] = ()
    troubleshooting_table: ProblemTable = ProblemTable({})
    finished: PictureView | None = None
    slider: SliderView | None = None        # the way from flat to finished
    glance: tuple[DetailRow, ...] = ()      # size, time, level, what to cut from: a line each
    legend: tuple[LegendItem, ...] = ()     # of all pictures


@dataclass(frozen=True, slots=True)
class TutorialCard:
    """A tutorial in the gallery; ``shown`` tells its picture, for which a ``photo`` may stand."""

    url: str
    title: str
    summary: str
    facts: tuple[DetailRow, ...]
    shown: str
    extent: tuple[float, float]             # mm of the paper that the picture shows
    traits: FilterValues
    code: str = "en"                        # the language in which it is told
    figures: ShelfRow | None = None         # its line in the table of the shelf
    photo: Photo | None = None
    picture_url: str = ""


def tutorial_view(rendered_tutorial: RenderedTutorial, converted: ConvertedTutorial,
                  inline: InlineMarkdown) -> TutorialView:
    """Everything that the page of a tutorial shows."""
    tutorial = rendered_tutorial.tutorial
    troubles = rendered_tutorial.troubles or troubleshoot(tutorial, tutorial.locale)
    wrong = problem_table(troubles, inline, tutorial.locale)
    settings = step_settings(tutorial) if tutorial.plans else {}
    cautions = (caution_steps(tutorial.drawn, tutorial.cautions, tutorial.steps, tutorial.locale)
                if tutorial.plans else {})
    steps = tuple(StepView(step.number, _title_html(step, inline), step.anchor, html,
                           rendered_tutorial.steps.get(step.number, ()), tuple(map(inline.html, step.notes)),
                           wrong.notes.get(step.number, Markup("")),
                           rendered_tutorial.shapes.steps.get(step.number),
                           settings.get(step.number, ()), cautions.get(step.number, ()))
                  for step, html in zip(tutorial.steps, converted.steps, strict=True))
    return TutorialView(
        slug=tutorial.slug, title=tutorial.front.title, summary=tutorial.front.summary, intro=converted.intro,
        facts=_fact_rows(tutorial, inline), overview=rendered_tutorial.overview,
        supplies=tuple(inline.html(supply) for supply in tutorial.supplies),
        tools=tuple(ToolView(tool.name, tool.why, tool.instead, tool.word) for tool in tutorial.tools),
        cautions=tutorial.cautions, differ=inline.html(tutorial.differ), steps=steps,
        credit=tuple(_credit_rows(tutorial)), revision=dual_text(tutorial.revisions),
        sheets=rendered_tutorial.sheets,
        batches=batch_table(tutorial, rendered_tutorial.sheets, inline, tutorial.locale),
        checked=verification_note(tutorial, tutorial.locale), made=made_views(tutorial),
        troubleshooting_table=wrong,
        finished=rendered_tutorial.shapes.finished, slider=slider_view(rendered_tutorial.slider, tutorial),
        glance=_glance_rows(tutorial, inline))


def with_one_legend(view: TutorialView) -> TutorialView:
    """The same for a page on which a line is explained where it first stands, and all of them together."""
    seen: dict[str, LegendItem] = {}

    def new_ones(picture: PictureView) -> PictureView:
        own = tuple(item for item in picture.legend if item.words not in seen)
        seen.update((item.words, item) for item in own)
        return replace(picture, legend=own)

    steps = tuple(replace(step, pictures=tuple(map(new_ones, step.pictures)),
                          shape=new_ones(step.shape) if step.shape is not None else None)
                  for step in view.steps)
    sheets = tuple(replace(sheet, pictures=tuple(map(new_ones, sheet.pictures))) for sheet in view.sheets)
    return replace(view, steps=steps, sheets=sheets, overview=tuple(map(new_ones, view.overview)),
                   legend=tuple(seen.values()))


def tutorial_card(url: str, rendered_tutorial: RenderedTutorial, inline: InlineMarkdown,
                  locale: Locale = ENGLISH) -> TutorialCard:
    """A tutorial as a gallery in ``locale`` shows it: by a photo, else the finished piece."""
    tutorial, picture = rendered_tutorial.tutorial, rendered_tutorial.front
    shown, extent = "", (0.0, 0.0)
    if picture is not None:
        shown, extent = picture_name(picture), picture_extent(picture, rendered_tutorial.shapes.scale)
    return TutorialCard(url, tutorial.front.title, tutorial.front.summary,
                        tuple(_brief_rows(tutorial, inline)), shown, extent,
                        filter_values(tutorial, locale, _sufficient_sheets(rendered_tutorial, locale)),
                        tutorial.locale.code, shelf_row(tutorial), _finished_photo(tutorial))


def _finished_photo(tutorial: Tutorial) -> Photo | None:
    """The photo of the finished box: the first of the introduction, else the last of the last step."""
    last = tutorial.steps[-1].prose if tutorial.steps else ()
    return next((part for part in (*tutorial.intro, *reversed(last)) if isinstance(part, Photo)), None)


def _sufficient_sheets(rendered_tutorial: RenderedTutorial, locale: Locale) -> tuple[tuple[str, str], ...]:
    """The sheets that give at least one box: the name that all languages share, and that in this one."""
    tutorial = rendered_tutorial.tutorial
    able = {view.sheet for view in rendered_tutorial.sheets if view.needed}
    return tuple((sheet.title, sheet.called(locale)) for sheet in tutorial.front.sheets
                 if sheet.called(tutorial.locale) in able)


def _fact_rows(tutorial: Tutorial, inline: InlineMarkdown) -> tuple[DetailRow, ...]:
    front, words = tutorial.front, tutorial.locale
    rows = [DetailRow(fact.label, inline.html(fact.value), fact.more) for fact in tutorial.facts]
    if front.level:
        rows.append(DetailRow(words.say("website.level"),
                              Markup.escape(words.say(f"website.level_{front.level}"))))
    if front.minutes:
        rows.append(DetailRow(words.say("website.time"), Markup.escape(duration(front.minutes))))
    return (*rows, *_material_rows(tutorial))


def _glance_rows(tutorial: Tutorial, inline: InlineMarkdown) -> tuple[DetailRow, ...]:
    """What the first screen says in a line each: finished size, time, level, and what to cut from."""
    rows = _brief_rows(tutorial, inline)
    if tutorial.front.sheets:
        rows.append(DetailRow(tutorial.locale.say("website.cut_from"),
                              yields_html(shelf_row(tutorial).yields)))
    return tuple(rows)


def _brief_rows(tutorial: Tutorial, inline: InlineMarkdown) -> list[DetailRow]:
    """Finished size, time, level."""
    front, words = tutorial.front, tutorial.locale
    size = brief_size(tutorial)
    rows = [DetailRow(words.say("website.size"), inline.html(size))] if size else []
    if front.minutes:
        rows.append(DetailRow(words.say("website.time"), Markup.escape(duration(front.minutes))))
    if front.level:
        rows.append(DetailRow(words.say("website.level"),
                              Markup.escape(words.say(f"website.level_{front.level}"))))
    return rows


def _material_rows(tutorial: Tutorial) -> Iterable[DetailRow]:
    """What a box takes, at one glance: how many a sheet gives, and the names of the tools."""
    words = tutorial.locale
    if tutorial.front.sheets:
        yield DetailRow(words.say("website.shelf_yield"), yields_html(shelf_row(tutorial).yields))
    if tutorial.tools:
        yield DetailRow(words.say("website.tools"),
                        Markup.escape("\u00a0· ".join(tool.name for tool in tutorial.tools)))


def _title_html(step: Step, inline: InlineMarkdown) -> Markup:
    return inline.html(step.heading) if step.heading else Markup.escape(step.title)


def _credit_rows(tutorial: Tutorial) -> Iterable[DetailRow]:
    for key in CREDIT:
        value = getattr(tutorial.front.credit, key, None)
        if value:
            rendered = _licence_html(value) if key == "licence" else _linked_text(str(value))
            yield DetailRow(tutorial.locale.say(f"website.credit_{key}"), rendered)
    yield from _rights_rows(tutorial)


def _rights_rows(tutorial: Tutorial) -> Iterable[DetailRow]:
    credit, words = tutorial.front.credit, tutorial.locale
    rights = permitted_use(credit, words)
    if rights and any(getattr(credit, key) for key in CREDIT):
        note = (f' <span class="note">{escape(words.say("website.rights_note"))}</span>' if credit.licence
                else "")
        yield DetailRow(words.say("website.rights"), Markup(escape(rights) + note))


def _licence_html(text: str) -> Markup:
    """A licence by its name, leading to its own words where its address is known."""
    address = licence_url(text)
    if not address or address == text:
        return _linked_text(text)
    return Markup('<a href="{}" rel="license">{}</a>').format(address, text)


def _linked_text(text: str) -> Markup:
    """Plain text in which an address of the web can be followed."""
    pieces, end = [], 0
    for found in _WEB_ADDRESS.finditer(text):
        address = found[0].rstrip(".,;:)")
        pieces += [Markup.escape(text[end:found.start()]), Markup('<a href="{0}">{0}</a>').format(address)]
        end = found.start() + len(address)
    return Markup("").join([*pieces, Markup.escape(text[end:])])


def relocated_view(view: TutorialView, folder: str) -> TutorialView:
    """The same tutorial on a page elsewhere.

    ``folder`` is the way from there to the folder of its own page.
    """
    return replace(view, intro=_relocated_html(view.intro, folder),
                   steps=tuple(replace(step, html=_relocated_html(step.html, folder)) for step in view.steps))


def _relocated_html(html: Markup, folder: str) -> Markup:
    if folder in ("", "."):
        return html
    linked = _RELATIVE_LINK.sub(lambda found: f'{found[1]}="{posixpath.join(folder, found[2])}"', html)
    return Markup(_SRCSET.sub(lambda found: f'srcset="{_relocated_srcset(found[1], folder)}"', linked))


def _relocated_srcset(srcset: str, folder: str) -> str:
    return ", ".join(posixpath.join(folder, one) for one in srcset.split(", "))

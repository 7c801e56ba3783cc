"""A source worked out: everything that its pages show, before Markdown and the theme have had their turn.

Plain data, so that another process can make it. What a page needs besides, the links that lead from it to
others, is put in when MkDocs asks for the page.
"""
from __future__ import annotations

import posixpath
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from markupsafe import Markup

from generator.dataclass import dataclass, replace
from generator.drawing.folded.slider_data import slider_data
from generator.drawing.paper_colours import colour_classes, colour_sheet
from generator.files import FileCache
from generator.findings import FindingError, Span, stage
from generator.locale import locale_for
from generator.record.print_marks import HistoryEntry, history_of
from generator.record.revision_files import Record, read_record
from generator.record.snapshot import tutorial_state
from generator.tutorial import Prose, Tutorial, load
from generator.tutorial.measures import conversions
from generator.tutorial.template_files import TemplateFile
from generator.units import stored
from generator.website.card_pictures import card_file
from generator.website.downloads import downloads_of
from generator.website.finished import IMAGE_MARK, PAGE_MARK, SourcePack, SourceRequest, TutorialEntry
from generator.website.glossary import GlossaryLinker
from generator.website.guides import GuidesView
from generator.website.navigation import (
    CARD_PICTURE,
    MEASURES_FILE,
    PAPERS_FILE,
    SHARE_FILE,
    original_uri,
    page_address,
    sibling_address,
    template_address,
    translated_uri,
)
from generator.website.page_metadata import howto_json_ld
from generator.website.plain_text import measures_text
from generator.website.prose import (
    ConvertedTutorial,
    InlineMarkdown,
    MarkdownSource,
    StepHeading,
    fill_forms,
    plain_prose,
    sanitized_page,
    split_at_steps,
    texts_of_steps,
    value_forms,
)
from generator.website.rendered_tutorial import RenderedTutorial, rendered_tutorial
from generator.website.search_index import words_of
from generator.website.view import (
    TutorialCard,
    TutorialView,
    relocated_view,
    tutorial_card,
    tutorial_view,
    with_one_legend,
)


@dataclass(frozen=True, slots=True)
class TutorialPages:
    """One tutorial in one language.

    ``markdown`` is the text of its page with tokens for ``values``, ``view`` all else, its steps still
    without their text; ``cards`` by the language of the gallery, without their links.
    """

    markdown: str
    values: tuple[tuple[str, str], ...]
    headings: tuple[StepHeading, ...]
    view: TutorialView
    cards: Mapping[str, TutorialCard]
    templates: tuple[TemplateFile, ...]
    guides: GuidesView | None
    slider: str
    howto: tuple[str, str]      # with marks for addresses, and without addresses
    code: str                   # of its language
    conversions: tuple[Any, ...] = ()
    history: tuple[HistoryEntry, ...] = ()
    papers: str = ""            # the address of the colours of its papers
    worn: str = ""              # the classes of its first piece, which the slider folds

    def texts_of_steps(self) -> Iterator[tuple[StepHeading | None, str]]:
        """The Markdown of what stands before the first step (None), then of each step."""
        return texts_of_steps(self.markdown, self.headings)

    def sanitized(self, html: str) -> str:
        """What Markdown has made, without any HTML that is not on the closed list."""
        return sanitized_page(html, self.headings)

    def filled(self, html: str) -> Markup:
        """The text that Markdown has made, with its values."""
        return fill_forms(html, self.values)

    def converted(self, html: str, linker: GlossaryLinker | None) -> TutorialView:
        """The view with the filled text. Raises PluginError where a heading was swallowed."""
        text = split_at_steps(html, self.headings)
        if linker is not None:
            text = ConvertedTutorial(linker.linked(text.intro), tuple(map(linker.linked, text.steps)))
        return replace(self.view, intro=text.intro,
                       steps=tuple(replace(step, html=html) for step, html
                                   in zip(self.view.steps, text.steps, strict=True)))

    def page(self, view: TutorialView, folder: str, links: Mapping[str, Any]) -> dict[str, Any]:
        """What the template of the page is handed; ``folder`` leads to the files, ``links`` elsewhere."""
        return {"tutorial": with_one_legend(view), "guides": self.guides, "conversions": self.conversions,
                "history": self.history, **links,
                "downloads": downloads_of(self.templates, locale_for(self.code), folder)}

    def card(self, code: str, **links: Any) -> TutorialCard:
        """Its card in the gallery of a language; ``links`` lead from there."""
        return replace(self.cards[code], **links)

    def print_view(self, view: TutorialView, folder: str, links: Mapping[str, Any]) -> dict[str, Any]:
        """What the template of the print view is handed; ``folder`` leads to that of the page."""
        return {"tutorial": relocated_view(view, folder), "guides": self.guides, **links}


@dataclass(frozen=True, slots=True)
class WorkedOut:
    """What became of a source: its pack without cards, and by uri what its pages show and its files."""

    pack: SourcePack
    pages: Mapping[str, TutorialPages]
    contents: Mapping[str, Mapping[str, bytes]]


def worked_out(request: SourceRequest) -> WorkedOut:
    """One source in all its languages, whatever is wrong with it."""
    path = Path(request.path)
    cache = FileCache(Path(request.cache)) if request.cache else None
    loaded = load(path, request.shown, request.benches, cache)
    texts = {request.shown: loaded.source, **loaded.texts}
    if loaded.tutorial is None:
        return WorkedOut(SourcePack(loaded.findings, texts), {}, {})
    findings, entries, pages, contents = list(loaded.findings), [], {}, {}
    record = read_record(path.parent, posixpath.dirname(posixpath.dirname(request.shown)))
    try:
        with stage("laying the way from flat to finished", Span(request.shown)):
            drawn = loaded.tutorial.drawn
            way = stored(cache, slider_data, drawn)(drawn, loaded.tutorial.drawn_fold, cache)
        for tutorial in (loaded.tutorial, *loaded.translations.values()):
            uri = translated_uri(request.address, tutorial.locale.code)
            done = rendered_tutorial(tutorial, f"card-{tutorial.slug}-{tutorial.locale.code}", way, cache,
                                     page_address(uri, request.site, request.directory_urls))
            findings += done.templates.findings
            with stage("making its files", Span(tutorial.file)):
                contents[uri] = _contents(uri, done)
                entries.append(_entry(uri, done, contents[uri]))
            with stage("making its pages", Span(tutorial.file)):
                pages[uri] = _pages(uri, done, request, loaded.translations, record)
    except FindingError as failed:
        return WorkedOut(SourcePack((*findings, *failed.findings), texts), {}, {})
    state = tutorial_state(path, loaded.tutorial, loaded.translations.values())
    return WorkedOut(SourcePack(tuple(findings), texts, tuple(entries), state=state), pages, contents)


def _contents(uri: str, drawn: RenderedTutorial) -> dict[str, bytes]:
    """The files of a tutorial by their addresses, and what stands beside its page by its name."""
    made = {template_address(uri, file.name): file.data for file in drawn.templates.files}
    if drawn.slider is not None:
        made[sibling_address(uri, drawn.slider.name)] = drawn.slider.data
    if drawn.front is not None and uri == original_uri(uri):        # all languages share it
        made[CARD_PICTURE] = card_file(drawn.front)
    if colours := colour_classes(drawn.tutorial.drawn.pieces):
        made[sibling_address(uri, PAPERS_FILE)] = colour_sheet(colours).encode()
    return {**made, MEASURES_FILE: measures_text(drawn.tutorial).encode(),
            SHARE_FILE: drawn.share}


def _entry(uri: str, drawn: RenderedTutorial, contents: Mapping[str, bytes]) -> TutorialEntry:
    tutorial = drawn.tutorial
    front = tutorial.front
    changed = front.updated or front.published
    return TutorialEntry(
        uri, front.title, front.summary, front.credit.author or "",
        front.published.isoformat() if front.published else "", changed.isoformat() if changed else "",
        tuple((step.anchor, step.title) for step in tutorial.steps), tuple(_words(tutorial)),
        tuple((photo.src, photo.span) for photo in tutorial.photos),
        tuple(name for name in contents if name not in (MEASURES_FILE, SHARE_FILE, CARD_PICTURE)),
        aliases=front.aliases, pictured=CARD_PICTURE in contents)


def _words(tutorial: Tutorial) -> Iterator[str]:
    """What can be searched for besides titles: in all but the steps, then in each of them; no figures."""
    def said(*prose: Prose) -> str:
        return " ".join(plain_prose(each, lambda _: "") for each in prose)
    names = (word for tool in tutorial.tools for word in (tool.name, tool.instead))
    yield words_of(said(tutorial.intro, *tutorial.supplies, *(fact.value for fact in tutorial.facts)), *names)
    for step in tutorial.steps:
        yield words_of(said(step.prose, *step.notes))


def _pages(uri: str, drawn: RenderedTutorial, request: SourceRequest,
           translated: Iterable[str], record: Record) -> TutorialPages:
    tutorial, source, inline = drawn.tutorial, MarkdownSource(), InlineMarkdown()
    text, code = source.page(tutorial), tutorial.locale.code
    empty = ConvertedTutorial(Markup(""), (Markup(""),) * len(tutorial.steps))
    # a gallery shows the tutorial in its own language where it has it, else as it is
    galleries = (code, *(other for other in request.codes if other not in (code, *translated)
                         and uri == request.address))
    return TutorialPages(
        text, value_forms(source.inlays),
        tuple(StepHeading(step.number, step.anchor, step.title, step.line) for step in tutorial.steps),
        tutorial_view(drawn, empty, inline),
        {each: tutorial_card("", drawn, inline, locale_for(each)) for each in galleries},
        tuple(replace(file, data=b"") for file in drawn.templates.files), drawn.guides,
        sibling_address(uri, drawn.slider.name) if drawn.slider is not None else "",
        (str(howto_json_ld(tutorial, code, PAGE_MARK, IMAGE_MARK)),
         str(howto_json_ld(tutorial, code, None, None))),
        code, tuple(conversions(tutorial)), history_of(record, tutorial.locale),
        papers=sibling_address(uri, PAPERS_FILE) if colour_classes(tutorial.drawn.pieces) else "",
        worn=colour_classes(tutorial.drawn.pieces[:1]))


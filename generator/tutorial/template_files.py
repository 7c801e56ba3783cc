"""The files that go with a tutorial: templates at true size, and drawings for cutting machines."""
from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import count

from generator.dataclass import dataclass, replace
from generator.drawing.backends.cutting_files import cutting_svg, dxf
from generator.drawing.backends.pdf import pdf
from generator.drawing.recording import Recording
from generator.drawing.templates.bench_card import CARD_VARIANTS, bench_card
from generator.drawing.templates.curves import curves_of
from generator.drawing.templates.cutting import Scoring, cutting_lines
from generator.drawing.templates.documents import (
    guide_pages,
    guide_tile_count,
    page_count,
    template_pages,
)
from generator.drawing.templates.guides import StylusTip, exact_size, guides_of
from generator.drawing.templates.page import PRINT_PAPERS, Page, PageHeading, PrintPaper, TemplateFace
from generator.drawing.templates.plan import TrueSizePiece, true_size_piece
from generator.drawing.templates.processes import (
    ProcessedPiece,
    piece_as_laid,
    processed_piece,
    template_pieces,
)
from generator.findings import Finding, Span, finding
from generator.geometry import ShapeError
from generator.locale import ENGLISH, Locale
from generator.paper.records import Plan
from generator.paper.sheet_layouts import MAX_PAGES, StockSheet
from generator.tutorial.cutting_sheets import CuttingSheet, cutting_sheets
from generator.tutorial.facts import finished_words
from generator.tutorial.records import Tutorial
from generator.units import SYSTEMS, as_text, display_measure, length, memoised

FACES = tuple(TemplateFace)
SCORED = Scoring()      # cutting files as they are made where nothing is asked for


@dataclass(frozen=True, slots=True)
class TemplateFile:
    """One file: its ``name`` and bytes.

    ``kind`` is "template", "guide", "bench-card" or "cutting", on a site also "project-sheet" or "bundle";
    ``format`` "pdf", "svg", "dxf" or "zip". ``face`` is that of a template, or the manner of a card or sheet:
    "", "large" or "left".

    ``pages`` counts the pages of a PDF; ``width`` says how wide a drawing must
    come out, in the words of its edition, ``sheet`` which of the listed sheets
    holds it, and ``stock`` which paper it is cut from, where there are several.

    ``holds`` are the files of an archive, here without their bytes.
    """

    name: str
    data: bytes
    kind: str
    format: str
    system: str
    paper: str = ""
    face: str = ""
    pages: int = 0
    width: str = ""
    sheet: str = ""
    stock: str = ""
    holds: tuple[TemplateFile, ...] = ()


@dataclass(frozen=True, slots=True)
class TemplateSet:
    """All files that could be made, and what is to be said of those that could not."""

    files: tuple[TemplateFile, ...] = ()
    findings: tuple[Finding, ...] = ()


def template_files(tutorial: Tutorial, systems: Iterable[str] = SYSTEMS, papers: Sequence[str] = PRINT_PAPERS,
                   faces: Sequence[TemplateFace] = FACES, scoring: Scoring = SCORED) -> TemplateSet:
    """Templates for each edition, paper and face that is asked for, with bench cards and cutting files."""
    files: list[TemplateFile] = []
    findings: dict[Finding, None] = {}
    for system in systems:
        for each in _edition(tutorial, system, papers, faces, scoring):
            if isinstance(each, Finding):
                findings[each] = None
            else:
                files.append(each)
    return TemplateSet(tuple(files), tuple(findings))


def _edition(tutorial: Tutorial, system: str, papers: Sequence[str], faces: Sequence[TemplateFace],
             scoring: Scoring) -> Iterator[TemplateFile | Finding]:
    plan = tutorial.plans[system]
    if not template_pieces(plan):
        yield _nothing(tutorial, "there is no paper in this tutorial, so there is no template")
        return
    try:
        plates = {face: _plates(plan, face, tutorial.locale) for face in faces}
    except ShapeError as error:
        yield _nothing(
            tutorial, f"the {ENGLISH.say(f'templates.edition.{system}')} has a piece that cannot be printed: "
                      f"{error}")
        return
    for face in faces:
        for paper in papers:
            yield from _template(tutorial, plates[face], system, paper, face)
    for paper in papers:
        yield from _guides(tutorial, plan, paper)
    laid = tuple(piece_as_laid(plan, info.id) for info in template_pieces(plan))
    for variant in CARD_VARIANTS:
        for paper in papers:
            yield from _card(tutorial, plan, laid, paper, variant)
    yield from _cutting(tutorial, plan, scoring)


def _plates(plan: Plan, face: TemplateFace, locale: Locale) -> tuple[TrueSizePiece, ...]:
    return tuple(true_size_piece(plan, info.id, face, locale) for info in template_pieces(plan))


def _nothing(tutorial: Tutorial, message: str) -> Finding:
    return finding("template-empty", Span(tutorial.file), message, "give it a piece of paper with an area")


def _template(tutorial: Tutorial, plates: Sequence[TrueSizePiece], system: str, paper: str,
              face: TemplateFace) -> Iterator[TemplateFile | Finding]:
    count = page_count(plates, paper)
    if count > MAX_PAGES:
        yield _too_many(tutorial, f"the template of the {ENGLISH.say(f'templates.edition.{system}')}", count,
                        paper)
        return
    heading = PageHeading(tutorial.front.title, system, tutorial.revisions[system], paper, face,
                          tutorial.locale)
    pages = template_pages(plates, heading)
    yield TemplateFile(_name(tutorial, system, paper, face), pdf(document_title("template", heading), pages),
                       "template", "pdf", system, paper,
                       str(face), len(pages))


def _guides(tutorial: Tutorial, plan: Plan, paper: str) -> Iterator[TemplateFile | Finding]:
    """What curves are traced with, where the tutorial has any."""
    tools = tutorial.front.guides
    guides = tuple(guides_of(curves_of(plan), StylusTip(tools.stylus[plan.system], tools.edge), plan.system,
                             tutorial.locale))
    tiles = guide_tile_count(guides, paper)
    heading = PageHeading(tutorial.front.title, plan.system, tutorial.revisions[plan.system], paper,
                          locale=tutorial.locale)
    if tiles > MAX_PAGES:
        yield _too_many(tutorial, f"the guides of the {ENGLISH.say(f'templates.edition.{plan.system}')}",
                        tiles, paper)
        return
    pages = guide_pages(guides, heading)
    if pages:
        yield TemplateFile(f"{file_stem(tutorial)}-{plan.system}-{paper}-guides.pdf",
                           pdf(document_title("guide", heading), pages), "guide", "pdf",
                           plan.system, paper, "", len(pages))


def _too_many(tutorial: Tutorial, what: str, count: int, paper: str) -> Finding:
    return finding("template-pages", Span(tutorial.file),
                   f"{what} would take {count} pages of {PrintPaper(paper).title}, so it is not made",
                   f"a template has at most {MAX_PAGES} pages; look for a length that is "
                   "larger than it should be, or take the cutting file to a print shop")


def _card(tutorial: Tutorial, plan: Plan, pieces: Sequence[ProcessedPiece], paper: str,
          variant: str) -> Iterator[TemplateFile | Finding]:
    heading = PageHeading(tutorial.front.title, plan.system, tutorial.revisions[plan.system], paper,
                          locale=tutorial.locale,
                          finished=finished_words(tutorial, plan.system))
    pages = bench_card(plan, pieces, heading, CARD_VARIANTS[variant])
    name = "-".join(filter(None, (file_stem(tutorial), plan.system, paper, "bench-card", variant)))
    yield TemplateFile(f"{name}.pdf", pdf(document_title("card", heading), pages), "bench-card", "pdf",
                       plan.system,
                       paper, variant, len(pages))


def printed_words(tutorial: Tutorial, system: str, paper: str) -> dict[str, str]:
    """A digest of what template and bench card say, but for their mark; what leaves no page is left out.

    The bytes of a file would differ from one library to the next, and where words stand from one machine to
    the next.
    """
    plan, heading = tutorial.plans[system], PageHeading(
        tutorial.front.title, system, tutorial.revisions[system], paper, TemplateFace.INSIDE, tutorial.locale)
    try:
        plates = _plates(plan, TemplateFace.INSIDE, tutorial.locale)
    except ShapeError:
        return {}
    if not plates or page_count(plates, paper) > MAX_PAGES:
        return {}
    card = bench_card(plan, tuple(piece_as_laid(plan, info.id) for info in template_pieces(plan)),
                      replace(heading, face=None, finished=finished_words(tutorial, system)),
                      CARD_VARIANTS[""])
    return {name: _words_digest(pages, heading.revision)
            for name, pages in (("template", template_pages(plates, heading)), ("bench card", card))}


def _words_digest(pages: Iterable[Page], revision: str) -> str:
    drawings = (drawing for page in pages
                for drawing in (page.drawing, page.placed and page.placed.recording) if drawing)
    said = (f"{words.inch}\n{words.mm}" for drawing in drawings
            for words in (call.arguments[0].words for call in drawing.of("label")))
    return hashlib.sha256("\n".join(said).replace(revision, "").encode("utf-8", "surrogatepass")).hexdigest()


def document_title(kind: str, heading: PageHeading) -> str:
    """What a reader of PDF shows as the title of a document."""
    return heading.locale.say(f"templates.title.{kind}", title=heading.title, edition=heading.edition,
                              paper=PrintPaper(heading.paper).title, revision=heading.revision)


def file_stem(tutorial: Tutorial) -> str:
    """"tea-caddy", in other languages "tea-caddy-de"."""
    return (tutorial.slug if tutorial.locale.code == ENGLISH.code
            else f"{tutorial.slug}-{tutorial.locale.code}")


def _name(tutorial: Tutorial, system: str, paper: str, face: TemplateFace) -> str:
    """As in tea-caddy-mm-a4.pdf; the other two faces are named at the end."""
    end = "" if face is TemplateFace.INSIDE else f"-{face}"
    return f"{file_stem(tutorial)}-{system}-{paper}{end}.pdf"


@memoised(8)        # every language takes the same
def _machine_lines(plan: Plan, sheets: tuple[StockSheet, ...],
                   scoring: Scoring) -> tuple[tuple[CuttingSheet, Recording], ...]:
    return tuple((each, cutting_lines([processed_piece(plan, info.id) for info in each.pieces], scoring,
                                      each.places)) for each in cutting_sheets(plan, sheets))


def _cutting(tutorial: Tutorial, plan: Plan, scoring: Scoring) -> Iterator[TemplateFile]:
    """An SVG and a DXF for each paper; where one sheet of it does not hold all its pieces, for each sheet."""
    made = _machine_lines(plan, tutorial.front.sheets, scoring)
    several = Counter(each.paper for each, _ in made)
    numbers = {paper: count(1) for paper in several}
    files: Counter[str] = Counter()
    for each, lines in made:
        stock = tutorial.locale.name(each.paper) if len(several) > 1 else ""
        number = str(next(numbers[each.paper])) if several[each.paper] > 1 else ""
        name = "-".join(filter(None, (file_stem(tutorial), plan.system, "cutting",
                                      each.paper.replace("_", "-") if stock else "", number)))
        files[name] += 1        # the second sheet of "card", and a paper "card_2"
        name += f"-paper-{files[name]}" if files[name] > 1 else ""
        yield from _cutting_pair(tutorial, lines, TemplateFile(
            name, b"", "cutting", "", plan.system, stock=" ".join(filter(None, (stock, number))),
            sheet=each.sheet.called(tutorial.locale) if each.sheet is not None else ""))


def _cutting_pair(tutorial: Tutorial, lines: Recording, file: TemplateFile) -> Iterator[TemplateFile]:
    locale = tutorial.locale
    width = as_text(display_measure(length(exact_size(lines.width)), file.system), locale)
    edition = ", ".join(filter(None, (locale.say(f"templates.edition.{file.system}"), file.stock)))
    title = locale.say("templates.title.cutting", title=tutorial.front.title,
                       revision=tutorial.revisions[file.system], edition=edition)
    description = locale.say("templates.cutting", wide=locale.figures(f"{lines.width:.2f}"),
                             high=locale.figures(f"{lines.height:.2f}"))
    made: Mapping[str, str] = {"svg": cutting_svg(lines, title, description, locale), "dxf": dxf(lines)}
    for kind, text in made.items():
        yield replace(file, name=f"{file.name}.{kind}", data=text.encode("utf-8"), format=kind, width=width)

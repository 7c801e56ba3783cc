"""What a tutorial's files are put together to: project sheets, all that is printed, all cutting files."""
from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from io import BytesIO
from itertools import accumulate, pairwise
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from generator.drawing.backends.pdf import pdf
from generator.drawing.backends.pdf_document import pdf_bundle
from generator.drawing.templates.bench_rows import CardRow, card_rows
from generator.drawing.templates.page import PRINT_PAPERS, PageHeading
from generator.drawing.templates.processes import piece_as_laid, template_pieces
from generator.drawing.templates.project_sheet import SheetContents, SheetStep, bundle_cover, project_sheet
from generator.tutorial import Tutorial
from generator.tutorial.facts import finished_words
from generator.tutorial.shelf_table import shelf_row
from generator.tutorial.template_files import TemplateFile, document_title, file_stem
from generator.units import SYSTEMS, memoised
from generator.website.filters import duration
from generator.website.page_metadata import permitted_use
from generator.website.pictures import standing_picture
from generator.website.plain_text import prose_text
from generator.website.share_picture import paper_only

# kind → face, in this order
BUNDLED = {"project-sheet": "", "bench-card": "", "template": "inside", "guide": ""}
EARLIEST = (1980, 1, 1, 0, 0, 0)        # the date of files in an archive: the first that it can tell
SHEET_VARIANTS = {"": False, "large": True}
CREDIT_ON_SHEETS = ("author", "source", "licence", "permission", "changes")


def project_sheets(tutorial: Tutorial, address: str) -> tuple[TemplateFile, ...]:
    """A sheet for each edition and paper, and one in large print; none where there is no paper to work.

    ``address`` is that of the tutorial's page, "" where the site knows none.
    """
    return tuple(file for system in SYSTEMS if template_pieces(tutorial.plans[system])
                 for file in _edition_sheets(tutorial, system, address))


def _edition_sheets(tutorial: Tutorial, system: str, address: str) -> Iterator[TemplateFile]:
    plan, contents = tutorial.plans[system], sheet_contents(tutorial, system, address)
    pieces = tuple(piece_as_laid(plan, info.id) for info in template_pieces(plan))
    for variant, large in SHEET_VARIANTS.items():
        for paper in PRINT_PAPERS:
            heading = PageHeading(tutorial.front.title, system, tutorial.revisions[system], paper,
                                  locale=tutorial.locale)
            pages = project_sheet(contents, pieces, heading, large)
            name = "-".join(filter(None, (file_stem(tutorial), system, paper, "project-sheet", variant)))
            yield TemplateFile(f"{name}.pdf",
                               pdf(document_title("sheet", heading), pages, heading.locale.code),
                               "project-sheet", "pdf", system, paper, variant, len(pages))


def bundled_files(files: Iterable[TemplateFile]) -> tuple[TemplateFile, ...]:
    """What of a tutorial's files goes into its bundles."""
    return tuple(each for each in files if BUNDLED.get(each.kind) == each.face and each.format == "pdf")


def bundles(tutorial: Tutorial, address: str, files: Sequence[TemplateFile]) -> tuple[TemplateFile, ...]:
    """For each edition and paper one document of all these files, behind a cover."""
    return tuple(_bundle(tutorial, address, system, paper, own) for system in SYSTEMS
                 for paper in PRINT_PAPERS
                 if (own := [each for kind in BUNDLED for each in files
                             if (each.kind, each.system, each.paper) == (kind, system, paper)]))


def _bundle(tutorial: Tutorial, address: str, system: str, paper: str,
            files: Sequence[TemplateFile]) -> TemplateFile:
    say = tutorial.locale
    heading = PageHeading(tutorial.front.title, system, tutorial.revisions[system], paper, locale=say)
    ends = [*accumulate((each.pages for each in files), initial=1)]
    named = [say.say(f"templates.part.{each.kind}") for each in files]
    cover = bundle_cover(sheet_contents(tutorial, system, address), heading,
                         [(name, before + 1, last) for name, (before, last)
                          in zip(named, pairwise(ends), strict=True)])
    title = document_title("bundle", heading)
    data = pdf_bundle(title, [(say.say("templates.part.cover"), pdf(title, [cover], say.code)),
                              *zip(named, (each.data for each in files), strict=True)], say.code)
    return TemplateFile(f"{file_stem(tutorial)}-{system}-{paper}-bundle.pdf", data, "bundle", "pdf", system,
                        paper, pages=ends[-1])


def cutting_archives(files: Iterable[TemplateFile]) -> Iterator[TemplateFile]:
    """The cutting files of each edition as one archive. Same files, same bytes."""
    by_system: dict[str, list[TemplateFile]] = {}
    for each in files:
        if each.kind == "cutting":
            by_system.setdefault(each.system, []).append(each)
    for system, own in by_system.items():
        out = BytesIO()
        with ZipFile(out, "w", ZIP_DEFLATED) as archive:
            for each in sorted(own, key=lambda file: file.name):
                archive.writestr(ZipInfo(each.name, EARLIEST), each.data, ZIP_DEFLATED)
        stem = own[0].name.partition(f"-{system}-cutting")[0]
        yield TemplateFile(f"{stem}-{system}-svg-dxf.zip", out.getvalue(), "cutting", "zip", system,
                           holds=tuple(replace(each, data=b"") for each in own))


@memoised(2)        # every paper takes the same
def sheet_contents(tutorial: Tutorial, system: str, address: str) -> SheetContents:
    """What the sheet of one edition says."""
    picture, rows = standing_picture(tutorial), _rows_by_step(tutorial, system)
    return SheetContents(
        tutorial.front.summary, tuple(_facts(tutorial, system)),
        tuple(prose_text(supply, system).strip() for supply in tutorial.supplies),
        tuple(SheetStep(step.number, prose_text(step.heading, system) if step.heading else step.title,
                        prose_text(step.short, system).strip() if step.short
                        else _settings(rows.get(step.number, ())))
              for step in tutorial.steps),
        tuple((each.title, each.text) for each in tutorial.cautions), tuple(_credit(tutorial)),
        address, f"{address}?units={system}" if address else "",
        paper_only(picture.recording) if picture is not None else None)


def _rows_by_step(tutorial: Tutorial, system: str) -> Mapping[int, Sequence[CardRow]]:
    found: dict[int, list[CardRow]] = {}
    for row in card_rows(tutorial.plans[system], locale=tutorial.locale):
        found.setdefault(row.step, []).append(row)
    return found


def _settings(rows: Iterable[CardRow]) -> str:
    """The rows of a step one behind the other, what they are done to before them."""
    text = ""
    for row in rows:
        text += (f" · {row.text}" if text and not text.endswith(": ") else row.text) + ": " * row.heading
    return text


def _facts(tutorial: Tutorial, system: str) -> Iterator[tuple[str, str]]:
    front, words = tutorial.front, tutorial.locale
    if size := finished_words(tutorial, system):
        yield words.say("templates.sheet.size"), size
    if front.minutes:
        yield words.say("website.time"), duration(front.minutes)
    if front.level:
        yield words.say("website.level"), words.say(f"website.level_{front.level}")
    if yields := shelf_row(tutorial).yields:
        yield words.say("website.cut_from"), "; ".join(
            f"{sheet}: {each[system]}" for sheet, each in yields.items())


def _credit(tutorial: Tutorial) -> Iterator[tuple[str, str]]:
    credit, words = tutorial.front.credit, tutorial.locale
    for key in CREDIT_ON_SHEETS:
        if said := getattr(credit, key):
            yield words.say(f"website.credit_{key}"), str(said)
    if rights := permitted_use(credit, words):
        yield words.say("website.rights"), rights

"""Project sheets, bundles and archives, read back with PDFium, pikepdf, a reader of codes and zipfile."""
from __future__ import annotations

import ctypes
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from io import BytesIO
from zipfile import ZipFile

import pikepdf
import pypdfium2
import pypdfium2.raw as pdfium
import pytest
import zxingcpp

from generator.tutorial import Tutorial, load
from generator.tutorial.template_files import TemplateFile, template_files
from generator.website.print_files import bundled_files, bundles, cutting_archives, project_sheets
from tests.language.small_tutorials import BENCHES
from tests.tutorial.site_tutorials import SHELF, on_shelf

ADDRESS = "https://stall.example/boxes/hinged-box/"
PAPERS = {"a4": (595.276, 841.890), "letter": (612, 792)}       # points: ISO 216, ANSI Y14.1
EDGE = 10 * 72 / 25.4       # points along each side where home printers cannot print (common practice)
LEAST, LARGE = 7.5, 18.0    # points
BESIDE = 0.5                # points by which the box of a letter may be larger than the letter


@dataclass(frozen=True)
class Letter:
    """A letter as PDFium finds it: its height, and its box in points from the lower left corner."""

    size: float
    box: tuple[float, float, float, float]


def letters(page: pypdfium2.PdfPage) -> Iterator[Letter]:
    """Every letter that is seen."""
    text = page.get_textpage()
    sides = [ctypes.c_double() for _ in range(4)]
    for at in range(text.count_chars()):
        if chr(pdfium.FPDFText_GetUnicode(text, at)).strip():
            pdfium.FPDFText_GetCharBox(text, at, *map(ctypes.byref, sides))
            x0, x1, y0, y1 = (side.value for side in sides)
            # on a page whose unit is a mm the size of its letters is told in mm
            yield Letter(pdfium.FPDFText_GetFontSize(text, at) * 72 / 25.4, (x0, y0, x1, y1))


def words(data: bytes) -> str:
    """All that is written in a document, its spaces made one."""
    with pypdfium2.PdfDocument(data) as document:
        return " ".join(" ".join(page.get_textpage().get_text_range() for page in document).split())


def codes(data: bytes) -> list[str]:
    """What the codes of a document lead to."""
    with pypdfium2.PdfDocument(data) as document:
        return [found.text for page in document
                for found in zxingcpp.read_barcodes(page.render(scale=2, grayscale=True).to_pil())]


@cache
def sheets(slug: str, code: str = "en", address: str = ADDRESS) -> dict[str, TemplateFile]:
    """The sheets of a tutorial by edition, paper and manner."""
    return {" ".join(filter(None, (file.system, file.paper, file.face))): file
            for file in project_sheets(told(slug, code), address)}


@cache
def told(slug: str, code: str) -> Tutorial:
    """A tutorial of the shelf in one language."""
    return on_shelf(slug) if code == "en" else load(SHELF[slug], f"{slug}/index.md",
                                                    BENCHES).translations[code]


def plain(text: str) -> str:
    """A text with plain spaces, each alone."""
    return " ".join(text.replace("\u00a0", " ").split())


@pytest.mark.parametrize(("slug", "code"), [("hinged-box", "en"), ("tea-caddy", "de")])
def test_a_sheet_tells_the_whole_tutorial(slug, code):
    """Title, steps, supplies, cautions, credit, licence, address and revision, in its own language."""
    tutorial = told(slug, code)
    for name, file in sheets(slug, code).items():
        text, system = words(file.data), file.system
        titles = [plain("".join(part if isinstance(part, str) else part.wordings[system].text
                                for part in step.heading)) for step in tutorial.steps]
        assert [title for title in titles if title not in text] == [], name
        said = [tutorial.front.title, tutorial.revisions[system], tutorial.front.credit.author,
                tutorial.front.credit.licence, ADDRESS, *(each.title for each in tutorial.cautions)]
        assert [each for each in said if plain(each) not in text] == [], name
        assert text.count("•") == len(tutorial.supplies)
        assert codes(file.data) == [f"{ADDRESS}?units={system}"], name


def assert_clear(slug: str, code: str) -> None:
    """Two pages of the right size, nothing too small, nothing clipped; large letters where asked for."""
    for name, file in sheets(slug, code).items():
        with pypdfium2.PdfDocument(file.data) as document:
            assert len(document) == file.pages and (len(document) == 2 or file.face == "large"), name
            for page in document:
                width, height = page.get_size()
                assert (width, height) == pytest.approx(PAPERS[file.paper], abs=0.01)
                found = list(letters(page))
                assert min(letter.size for letter in found) >= LEAST, name
                for letter in found:
                    x0, y0, x1, y1 = letter.box
                    assert x0 >= EDGE - BESIDE and y0 >= EDGE - BESIDE, (slug, code, name, letter)
                    assert x1 <= width - EDGE + BESIDE and y1 <= height - EDGE + BESIDE, (slug, code, name)
                large = [letter for letter in found if letter.size >= LARGE - 0.01]
                assert file.face != "large" or len(large) > 0.6 * len(found), name


@pytest.mark.parametrize("slug", ["hinged-box", "soap-tray"])
def test_a_sheet_is_two_pages_and_nothing_is_small_or_clipped(slug):
    """In large print letters have 18 points but in the drawings."""
    assert_clear(slug, "en")


@pytest.mark.slow
@pytest.mark.parametrize("code", ["en", "de"])
@pytest.mark.parametrize("slug", SHELF)
def test_so_it_is_of_every_tutorial(slug, code):
    """In both languages."""
    assert_clear(slug, code)


def test_a_step_says_its_short_line_or_else_its_settings():
    """The words of the author come before those that the build puts together."""
    tutorial = told("hinged-box", "en")
    bare = replace(tutorial, steps=tuple(replace(step, short=()) for step in tutorial.steps))
    short = replace(tutorial,
                    steps=tuple(replace(step, short=("Do it as we did.",)) for step in tutorial.steps))
    settings, own = (words(project_sheets(each, "")[0].data) for each in (bare, short))
    assert "Score front line: " in settings and "Do it as we did." not in settings
    assert own.count("Do it as we did.") == len(tutorial.steps) and "Score front line: " not in own


def test_without_an_address_there_is_no_code():
    """A site that does not know where it stands leads nowhere."""
    file = sheets("hinged-box", address="")["mm a4"]
    assert codes(file.data) == [] and "http" not in words(file.data)


def test_the_same_tutorial_gives_the_same_bytes():
    """Sheets, bundles and archives alike."""
    made = [everything.__wrapped__() for _ in range(2)]
    assert made[0] == made[1] and len(made[0]) == 14


@cache
def everything() -> tuple[TemplateFile, ...]:
    """All files of these kinds of one tutorial."""
    tutorial = told("hinged-box", "en")
    found = project_sheets(tutorial, ADDRESS)
    templates = template_files(tutorial).files
    return (*found, *bundles(tutorial, ADDRESS, bundled_files((*found, *templates))),
            *cutting_archives(templates))


def test_a_bundle_holds_all_that_is_printed():
    """Cover, sheet, card, template and guides, each in the outline and in the labels, on the right paper."""
    made = [file for file in everything() if file.kind == "bundle"]
    parts = ["Cover", "Project sheet", "Bench card", "Template at true size", "Guides for curves and holes"]
    assert len(made) == 4
    for file in made:
        with pypdfium2.PdfDocument(file.data) as document:
            assert [mark.get_title() for mark in document.get_toc()] == parts
            starts = [mark.get_dest().get_index() for mark in document.get_toc()]
            labels = [document.get_page_label(at) for at in range(len(document))]
            assert [labels[at] for at in starts] == [f"{part} 1" for part in parts]
            assert starts[:3] == [0, 1, 3] and len(document) == file.pages
            assert len({tuple(sorted(page.get_size())) for page in document}) == 1
            assert document[0].get_size() == pytest.approx(PAPERS[file.paper], abs=0.01)
            cover = " ".join(document[0].get_textpage().get_text_range().split())
        assert all(part in cover for part in parts[1:]) and f"pages {starts[3] + 1} to {starts[4]}" in cover
    assert codes(made[0].data) == [f"{ADDRESS}?units={made[0].system}"] * 2


def test_a_bundle_has_one_layer_for_each_process():
    """Whoever hides the cuts of the template hides those of the guides; nothing is scaled in print."""
    file = next(file for file in everything() if file.kind == "bundle")
    with pikepdf.open(BytesIO(file.data)) as document:
        groups = document.Root.OCProperties.OCGs
        names = [str(group.Name) for group in groups]
        assert len(set(names)) == len(names) > 3
        known = {group.objgen for group in groups}
        used = [each for page in document.pages for each in _layers(page.Resources)]
        assert used and all(each.objgen in known for each in used)
        assert document.Root.ViewerPreferences.PrintScaling == pikepdf.Name("/None")


def _layers(resources: pikepdf.Object) -> Iterator[pikepdf.Object]:
    if "/Properties" in resources:
        yield from resources.Properties.values()
    if "/XObject" in resources:
        for form in resources.XObject.values():
            yield from _layers(form.Resources)


def test_an_archive_holds_the_cutting_files_as_they_are():
    """In the order of their names, each of the same day, so that another build gives the same bytes."""
    tutorial = told("hinged-box", "en")
    wanted = {file.name: file.data for file in template_files(tutorial).files if file.kind == "cutting"}
    held: dict[str, bytes] = {}
    for file in everything():
        if file.format == "zip":
            with ZipFile(BytesIO(file.data)) as archive:
                names = [each.filename for each in archive.infolist()]
                assert names == sorted(names) and {each.date_time for each in archive.infolist()} == {
                    (1980, 1, 1, 0, 0, 0)}
                held |= {name: archive.read(name) for name in names}
    assert held == wanted and len(wanted) == 8

"""The PDF as a file: sound, searchable, in layers that can be switched off."""
from __future__ import annotations

import re
import shutil
import string
import subprocess
from dataclasses import replace
from fractions import Fraction
from io import BytesIO

import pikepdf
import pytest
from fontTools.ttLib import TTFont
from PIL import ImageFont

from generator.drawing.backends.pdf import pdf
from generator.drawing.process_table import PROCESS_LAYERS
from generator.drawing.templates.calibration_pages import (
    A4_ON_LETTER,
    LETTER_ON_A4,
    lookup_rows,
    percent_text,
    scale_percent,
)
from generator.drawing.templates.documents import page_count, template_pages
from generator.drawing.templates.page import TemplateFace
from generator.drawing.templates.plan import true_size_piece
from generator.drawing.typeface import BOLD, REGULAR
from generator.paper.sheet_layouts import MAX_PAGES
from tests.drawing.templates import pdf_reader
from tests.drawing.templates.sample_pieces import caddy_plates, heading, strip

DATA = pdf("Tea caddy", template_pages([*caddy_plates(),
                                        true_size_piece(strip(400, 60, [Fraction(1, 3)]), 0,
                                                        TemplateFace.INSIDE)], heading("letter")))
PDFFONTS, PDFTOTEXT = shutil.which("pdffonts"), shutil.which("pdftotext")
# ISO 19593-1, as the PDF Association models it (check-values, row 22)
STEPS = {"Cut": "/Cutting", "Score": "/Creasing", "Score mountain": "/Creasing", "Score valley": "/Creasing",
         "Tick": "/Creasing", "Punch": "/Punching", "Glue below": "/Gluing"}


def test_the_file_is_sound():
    """The checker of qpdf finds nothing, for any face."""
    for face in TemplateFace:
        with pikepdf.open(BytesIO(pdf("x",
                                      template_pages(caddy_plates(face), heading("a4", face))))) as opened:
            assert opened.check_pdf_syntax() == []


def test_the_file_says_how_it_is_to_be_printed():
    """No scaling; language and title; no date, so that the same plan gives the same bytes."""
    with pikepdf.open(BytesIO(DATA)) as opened:
        assert opened.Root.ViewerPreferences.PrintScaling == "/None"
        assert str(opened.Root.Lang) == "en" and str(opened.docinfo["/Title"]) == "Tea caddy"
        assert set(opened.docinfo.keys()) == {"/Title"}
    assert b"CreationDate" not in DATA and b"ModDate" not in DATA


# Nothing of these pieces is perforated: tests/drawing/test_every_kind.py draws that layer. They are seen from
# the plain side, and their glue is on the printed one.
MADE_LAYERS = [layer.name for layer in PROCESS_LAYERS if layer.name not in ("Perforate", "Glue")]


def test_layers_are_named_and_say_their_process():
    """One optional-content group a process, with its processing step."""
    with pikepdf.open(BytesIO(DATA)) as opened:
        groups = {str(g.Name): g.GTS_Metadata for g in opened.Root.OCProperties.OCGs}
        assert set(groups) == set(MADE_LAYERS)
        for name, kind in STEPS.items():
            assert groups[name].GTS_ProcStepsGroup == "/Structural" and groups[name].GTS_ProcStepsType == kind
        assert opened.Root.OCProperties.D.BaseState == "/ON"


@pytest.mark.parametrize("layer", MADE_LAYERS)
def test_a_layer_that_is_switched_off_vanishes(layer):
    """A viewer then shows less, and nothing that was not there before."""
    page = 3 if layer == "Alignment" else 2         # the strip's first tile; the caddy
    before = pdf_reader.rendered(DATA, page, 150).astype(int)
    with pikepdf.open(BytesIO(DATA)) as opened:
        config = opened.Root.OCProperties.D
        off = [group for group in opened.Root.OCProperties.OCGs if str(group.Name) == layer]
        config.OFF = pikepdf.Array(off)
        config.ON = pikepdf.Array([group for group in opened.Root.OCProperties.OCGs
                                   if str(group.Name) != layer])
        out = BytesIO()
        opened.save(out)
    after = pdf_reader.rendered(out.getvalue(), page, 150).astype(int)
    assert (before - after).sum() > 500 and (after > before + 8).sum() <= (before > after + 8).sum() * 0.2


def test_text_can_be_searched():
    """Titles, marks and measures are text."""
    pages = pdf_reader.read(DATA)
    assert "revision ABC123" in pages[1].text and "40 mm" in pages[1].text
    assert "96 mm" in pages[0].text and "104 %" in pages[0].text


FOREIGN = "Grüße, Ďáblík: Жук à 3 ¼ × ½, Θήκη → Szappantartó ő"


def _titled(title: str) -> bytes:
    return pdf(title, template_pages(caddy_plates(), replace(heading("a4"), title=title)))


def test_every_letter_of_the_font_is_read_back():
    """Latin with all its accents, Greek, Cyrillic, fractions and arrows are text in the PDF, for pdfminer and
    poppler.
    """
    data = _titled(FOREIGN)
    assert FOREIGN in pdf_reader.read(data)[1].text
    if PDFTOTEXT:
        found = subprocess.run([PDFTOTEXT, "-", "-"], input=data, capture_output=True, check=True).stdout
        assert FOREIGN in " ".join(found.decode("utf-8").split())


def test_the_font_is_embedded_as_a_subset():
    """Each font is composite, of fewer glyphs than the whole, and says which letters they are (ISO 32000-1,
    9.7).
    """
    with pikepdf.open(BytesIO(DATA)) as opened:
        fonts = {str(font.BaseFont): font for page in opened.pages for font in page.resources.Font.values()}
        assert {name.partition("+")[2] for name in fonts} == {"Arimo-Regular", "Arimo-Bold"}
        for name, font in fonts.items():
            assert re.fullmatch(r"/[A-Z]{6}\+Arimo-(Regular|Bold)", name)
            assert (font.Subtype, font.Encoding) == ("/Type0", "/Identity-H")
            assert b"beginbfchar" in font.ToUnicode.read_bytes()
            file = TTFont(BytesIO(font.DescendantFonts[0].FontDescriptor.FontFile2.read_bytes()))
            outlined = [glyph for glyph in file.getGlyphOrder() if file["glyf"][glyph].numberOfContours]
            assert 20 < len(outlined) < 120


@pytest.mark.skipif(not PDFFONTS, reason="poppler is not here")
def test_poppler_finds_the_fonts_whole():
    """Columns emb, sub and uni of pdffonts all say yes."""
    lines = subprocess.run([PDFFONTS, "-"], input=DATA, capture_output=True, check=True,
                           text=False).stdout.decode().splitlines()
    assert len(lines) == 4 and all(line.split()[-5:-2] == ["yes", "yes", "yes"] for line in lines[2:])


def test_letters_are_as_wide_in_the_file_as_they_are_measured():
    """The widths in the PDF are those of Pillow, which reads the font by FreeType."""
    with pikepdf.open(BytesIO(DATA)) as opened:
        fonts = {str(font.BaseFont).partition("+")[2]: font for page in opened.pages
                 for font in page.resources.Font.values()}
        for face in (REGULAR, BOLD):
            widths, row = {}, list(fonts[face.name].DescendantFonts[0].W)
            for first, those in zip(row[::2], row[1::2], strict=True):
                widths |= {int(first) + k: int(width) for k, width in enumerate(those)}
            pillow = ImageFont.truetype(face.path, 2048, layout_engine=ImageFont.Layout.BASIC)
            letters = [letter for letter in string.printable if face.glyphs.get(letter) in widths]
            assert len(letters) > 15
            for letter in letters:
                assert widths[face.glyphs[letter]] == pytest.approx(pillow.getlength(letter) / 2.048,
                                                                    abs=0.51)


def test_a_letter_that_the_font_lacks_is_an_empty_box():
    """Never another letter; what stands around it is still read."""
    text = pdf_reader.read(_titled("箱 box"))[1].text
    assert "\N{REPLACEMENT CHARACTER} box" in text


def test_a_page_is_small():
    """At most 60 kB a page."""
    assert len(DATA) / len(pdf_reader.read(DATA)) < 60_000


def test_the_look_up_says_what_to_set():
    """96 mm instead of 100: 104 %. 3 7/8 in instead of 4: 103 %."""
    assert ("96 mm", "104 %") in lookup_rows("mm") and ("3 7/8 in", "103 %") in lookup_rows("in")
    for measured, setting in lookup_rows("mm"):
        size = float(measured.split()[0]) * int(setting.split()[0]) / 100
        assert abs(size - 100) <= 0.56      # half a per cent of what was measured
    assert scale_percent(100, 100) == 100


def test_the_usual_wrong_results_are_those_of_the_two_papers():
    """A4 on Letter 94.1 %, Letter on A4 97.3 % (arithmetic from ISO 216 and ANSI/ASME Y14.1)."""
    (a4w, a4h), (lw, lh) = pdf_reader.A4, pdf_reader.LETTER
    assert min(lw / a4w, lh / a4h) == A4_ON_LETTER and min(a4w / lw, a4h / lh) == LETTER_ON_A4
    assert (percent_text(A4_ON_LETTER), percent_text(LETTER_ON_A4)) == ("94.1 %", "97.3 %")


def test_a_piece_narrower_than_the_overlap_is_printed():
    """A strip of 6 mm by 2 m takes a row of tiles."""
    made = true_size_piece(strip(2000, 6), 0, TemplateFace.INSIDE)
    pages = template_pages([made], heading("a4"))
    assert len(pages) == 1 + page_count([made], "a4") > 7
    assert len(pdf_reader.read(pdf("x", pages))) == len(pages)


def test_a_huge_piece_is_counted_before_it_is_drawn():
    """Nobody sticks 300 pages together."""
    assert page_count([true_size_piece(strip(3500, 3500), 0, TemplateFace.INSIDE)], "a4") >= 250 > MAX_PAGES

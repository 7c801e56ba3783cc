"""The bundled font: what it can show, how wide it is, and what is made of it."""
from __future__ import annotations

from io import BytesIO

import pytest
from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont
from pdfminer.fontmetrics import FONT_METRICS

from generator.drawing.backends.stylesheet import font_faces, web_fonts
from generator.drawing.typeface import BOLD, FOLDER, REGULAR, WEB_FONT_RANGES, displayed, missing_letters
from generator.locale import LANGUAGES
from tests.house.tracked_files import ROOT

WORDS = ROOT / "generator" / "locale" / "words"


@pytest.mark.parametrize(("text", "lacks"), [
    ("Käse ½", ()), ("3 ⁄ 4 → 2′ 5″ × −1", ()), ("Szappantartó ő", ()), ("Doză de ceai", ()),
    ("Жук и ящик", ()),
    ("Θήκη", ()), ("箱 box 箱 匣", ("箱", "匣")), ("a\u00a0b\u202fc\u00add", ()), ("u\u0308ber", ())])
def test_what_the_font_lacks_is_known(text, lacks):
    """Latin, Greek and Cyrillic letters are there, and spaces and accents of every kind; each lack is named
    once.
    """
    assert missing_letters(text) == lacks


def test_a_line_is_shown_with_plain_spaces_and_whole_letters():
    """An accent that follows its letter becomes one with it; soft hyphens are not shown."""
    assert displayed("u\u0308ber\u00a0all\u00aden\u202fE") == "über allen E"


@pytest.mark.parametrize("code", sorted(LANGUAGES))
def test_the_words_of_every_language_can_be_set(code):
    """What the program itself says in pictures, templates and cards is in the font, and in the files for
    pages.
    """
    text = "".join(path.read_text(encoding="utf-8") for path in sorted((WORDS / code).glob("*.yaml")))
    assert len(text) > 1000 and not missing_letters("".join(filter(str.isprintable, text)))
    shipped = {chr(code) for data in web_fonts().values() for code in TTFont(BytesIO(data)).getBestCmap()}
    assert {letter for letter in text if letter.isprintable()} <= shipped


@pytest.mark.parametrize(("face", "name"), [(REGULAR, "Helvetica"), (BOLD, "Helvetica-Bold")])
def test_letters_are_as_wide_as_those_of_the_fonts_that_stand_in(face, name):
    """As Adobe's metrics of Helvetica have them, which pdfminer brings along, but for a few signs."""
    metrics = FONT_METRICS[name][1]
    others = {letter for letter, width in metrics.items() if len(letter) == 1 and letter in face.glyphs
              and abs(face.advances[face.glyphs[letter]] * 1000 - width) > 1}
    assert len(metrics) > 200 and not {letter for letter in others if letter.isalnum()} - set("ƒµďľť")


@pytest.mark.parametrize("face", [REGULAR, BOLD])
@pytest.mark.parametrize("text", ["", "Käse ½ × 3,5", "Жук и ящик: Θήκη", "ǻ ṩ fi …", None])
def test_a_subset_is_what_the_library_makes_of_it(face, text):
    """Byte for byte as fontTools cuts the font down: letters put together from others, and the whole font."""
    glyphs = frozenset(face.glyphs.values() if text is None else face.glyphs_of(text)) | {0}
    font = TTFont(face.path, recalcTimestamp=False, recalcBBoxes=False)
    options = Options(layout_features=[], notdef_outline=True, retain_gids=True, hinting=True)
    options.drop_tables += ["GSUB", "GPOS", "GDEF", "STAT", "gasp", "prep", "OS/2", "name", "post", "cmap"]
    subsetter = Subsetter(options)
    subsetter.populate(gids=sorted(glyphs))
    subsetter.subset(font)
    out = BytesIO()
    font.save(out, reorderTables=None)
    assert face.subset.__wrapped__(face, glyphs) == out.getvalue()


def test_subsets_are_the_same_each_time_and_hold_what_was_asked_for():
    """No dates; the glyphs asked for keep their numbers, all others are empty."""
    wanted = frozenset(REGULAR.glyphs_of("für Ж"))
    data = REGULAR.subset.__wrapped__(REGULAR, wanted)
    assert data == REGULAR.subset.__wrapped__(REGULAR, wanted)
    font = TTFont(BytesIO(data))
    drawn = {number for number, name in enumerate(font.getGlyphOrder())
             if font["glyf"][name].numberOfContours}
    # ü is made of u and dots
    assert {REGULAR.glyphs[letter] for letter in "frЖ"} < drawn and len(drawn) < 12


def test_a_site_ships_files_that_its_stylesheet_names():
    """A file for each range and weight, light enough to wait for, with the range that is said of it."""
    css = font_faces()
    weights = [css.count(f"font-weight:{weight}") for weight in (400, 700)]
    assert weights == [len(WEB_FONT_RANGES)] * 2
    assert len(web_fonts()) == sum(weights) == css.count("@font-face") == css.count("unicode-range")
    for name, data in web_fonts().items():
        assert f"url({name})" in css and len(data) < 40_000 and data[:4] == b"wOFF"


def test_the_licence_lies_beside_the_font():
    """The SIL Open Font License asks for it."""
    assert "SIL OPEN FONT LICENSE Version 1.1" in (FOLDER / "OFL.txt").read_text(encoding="utf-8")
    assert {face.path.parent for face in (REGULAR, BOLD)} == {FOLDER}

"""On every bench card of the shelf each letter stands clear of lines, and no two words lie on each other."""
from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO

import pdfplumber
import pytest
import shapely

from generator.dataclass import replace
from generator.drawing.backends.pdf import pdf
from generator.drawing.templates.bench_card import CARD_VARIANTS, bench_card
from generator.drawing.templates.page import PRINT_PAPERS
from generator.drawing.templates.processes import piece_as_laid, template_pieces
from generator.drawing.templates.scraps import scrap_letters
from generator.tutorial import Tutorial
from generator.units import SYSTEMS
from tests.drawing.templates import pdf_reader
from tests.drawing.templates.sample_pieces import heading
from tests.time_limits import alternating
from tests.tutorial.site_tutorials import SHELF, in_languages

CAP_HEIGHT = 0.716      # em: of Arimo, as wide and as high as Arial (OS/2 table of the font, from memory)
OVERLAP = 0.02          # mm² of two letters that are set beside each other


def lettering_boxes(page: pdfplumber.page.Page) -> Iterator[tuple[str, shapely.Polygon]]:
    """Each letter and what it covers from its base line to the height of capitals, in mm."""
    for char in page.chars:
        if char["text"].strip():
            a, b, _, _, x, y = char["matrix"]
            size, high = char["size"], CAP_HEIGHT * char["size"]
            wide = (char["x1"] - char["x0"]) if abs(a) > abs(b) else (char["bottom"] - char["top"])
            assert size > 0 and (abs(a) < 1e-6 or abs(b) < 1e-6)
            box = (x, y, x + wide, y + high) if abs(a) > abs(b) else (x - high, y, x, y + wide)
            yield char["text"], shapely.box(*(side / pdf_reader.MM for side in box))


def touching(data: bytes) -> list[str]:
    """The letters of a document that a line crosses, or another letter."""
    found = []
    with pdfplumber.open(BytesIO(data)) as document:
        for page, drawn in zip(document.pages, pdf_reader.read(data), strict=True):
            texts, boxes = zip(*lettering_boxes(page), strict=True)
            lines = [shapely.LineString(path) for path in drawn.paths if len(path) > 1]
            found += [texts[k] for k in shapely.STRtree(lines).query(boxes, "intersects")[0]]
            pairs = shapely.STRtree(boxes).query(boxes, "overlaps").T
            found += [texts[a] + texts[b] for a, b in pairs
                      if a < b and shapely.intersection(boxes[a], boxes[b]).area > OVERLAP]
    return found


def assert_clear(tutorial: Tutorial, variants: dict[str, str]) -> None:
    """Every variant on its paper, in both editions; every letter of what is cut away is there.

    One page, in large print two; the biscuit box, whose blanks are turned for each score, takes three.
    """
    for system in SYSTEMS:
        plan = tutorial.plans[system]
        pieces = [piece_as_laid(plan, info.id) for info in template_pieces(plan)]
        for variant, paper in variants.items():
            top = replace(heading(paper, system=system), locale=tutorial.locale, title=tutorial.front.title)
            pages = bench_card(plan, pieces, top, CARD_VARIANTS[variant])
            assert touching(pdf("x", pages)) == [], (system, paper, variant)
            drawn = {item.arguments[0].words.mm for item in pages[0].drawing.items if item.method == "label"}
            assert set(scrap_letters(plan).values()) <= drawn, (system, paper, variant)
            most = 2 if variant == "large" else 1
            most += tutorial.slug == "biscuit-box" and most == 2
            assert len(pages) <= most, (system, paper, variant)


@pytest.mark.parametrize("slug", ["biscuit-box", "window-carton"])
def test_no_letter_touches_a_line_or_another(slug):
    """Nor does any fall away."""
    assert_clear(in_languages(slug)["en"], {"": "a4"})


def test_nor_does_any_in_long_words():
    """In German the words below a blank are wider than it, in large print twice."""
    assert_clear(in_languages("seed-envelope")["de"], {"large": "letter"})


@pytest.mark.slow
@pytest.mark.parametrize(("slug", "paper"), alternating(sorted(SHELF), PRINT_PAPERS))
def test_so_it_is_on_every_card(slug, paper):
    """In large print and for left hands too, in German on the other paper; the papers take turns."""
    assert_clear(in_languages(slug)["en"], dict.fromkeys(CARD_VARIANTS, paper))
    other = next(each for each in PRINT_PAPERS if each != paper)
    assert_clear(in_languages(slug)["de"], dict.fromkeys(("", "large"), other))

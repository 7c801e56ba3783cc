"""The bench card says everything that is set and done, in one edition, on one page."""
from __future__ import annotations

import re
from io import BytesIO

import pdfplumber
import pytest

from generator.drawing.backends.pdf import pdf
from generator.drawing.templates.bench_card import CARD_VARIANTS, LARGE_SIZE, bench_card
from generator.drawing.templates.bench_rows import card_rows
from generator.drawing.templates.page import PRINT_PAPERS, UNPRINTABLE_EDGE
from generator.drawing.templates.processes import piece_as_laid, processed_piece, template_pieces
from generator.tutorial import load
from generator.units import as_text, display_measure, length
from tests.drawing.sample_plans import Work, caddy
from tests.drawing.templates import pdf_reader
from tests.drawing.templates.sample_pieces import CADDY, heading
from tests.language.small_tutorials import BENCHES
from tests.tutorial.site_tutorials import SHELF, on_shelf

PT = 72 / 25.4


def long_work():
    """Forty scores, each named on its own."""
    work = Work("mm")
    work.next_step()
    work.sheet("strip", length(300), length(100))
    for k in range(40):
        work.upright("score", f"line_{k}", [length(7 * (k + 1))], 0, 100)
    return work.plan()


LONG = long_work()


def said(plan, left=False) -> list[str]:
    """The rows as plain text."""
    return [row.text.replace("\u00a0", " ") for row in card_rows(plan, left)]


def card(manner: str, paper: str = "a4", system: str = "mm") -> bytes:
    """A card of the caddy."""
    plan = caddy(system)
    return pdf("x", bench_card(plan, [processed_piece(plan, 0)], heading(paper, system=system),
                               CARD_VARIANTS[manner]))


@pytest.mark.parametrize("system", ["mm", "in"])
def test_every_mark_is_said(system):
    """Each distance that a mark is set by stands in a row, in the words of the edition."""
    plan = caddy(system)
    text = "\n".join(said(plan))
    for mark in plan.state(0).marks:
        for quantity, _ in mark.positions:
            figures = as_text(display_measure(quantity, system)).rsplit(" ", 1)[0]
            assert figures in text or mark.name == "curves", mark.name
    assert ("Score panels: 30, 60, 90, 120, 150, 180, 210 and 240 mm from the left" in text) == (
        system == "mm")


def test_rows_stand_in_the_order_of_work():
    """The blank first, then scores, cuts, holes, folds, and glue in its order."""
    text = said(CADDY)
    order = [next(k for k, row in enumerate(text) if row.startswith(start))
             for start in ("Strip", "Cut to 252", "Score panels", "Cut feet", "Punch eight holes",
                           "Fold panels",
                           "Glue tab face under walls", "Glue feet in this order: 1, 5", "Thread ribbon")]
    assert order == sorted(order)


def test_what_is_cut_away_is_drawn_and_lettered():
    """A row for each area at its own setting, and its letter on the drawing; alike settings share a row."""
    rows, drawn = [], {}
    for slug in ("hinged-box", "window-carton"):
        plan = on_shelf(slug).plans["mm"]
        rows += [row.text.replace("\u00a0", " ") for row in card_rows(plan)]
        pages = bench_card(plan, [piece_as_laid(plan, info.id) for info in template_pieces(plan)],
                           heading("a4"), CARD_VARIANTS[""])
        drawn[slug] = {item.arguments[0].words.mm for item in pages[0].drawing.items
                       if item.method == "label"}
    # slips of 3 mm at tabs 30 mm wide of a base 100 mm long: (3, 0) to (0, 30), and so on
    assert {"Cut away C: 3 mm from the left; 30 mm from the bottom",
            "Cut away F: 130 and 133 mm from the left; 30 mm from the bottom",
            "Cut away Q, 20 mm across: 80 mm from the left", "Cut away A up to the lines, as drawn",
            "Cut away B and C: 160 mm from the bottom"} <= set(rows)
    assert drawn["hinged-box"] >= set("ABCDEFGHIJKLMNOPQ") and drawn["window-carton"] >= set("ABCDEFGHIJKLM")


def test_nothing_that_is_done_is_left_out():
    """Cuts from both edges, a band round the box with its lap, and what is stamped."""
    hinged, bag = (said(on_shelf(slug).drawn) for slug in ("hinged-box", "biscuit-bag"))
    assert "Cut: 130 mm from the bottom, 30 mm long (2 times)" in hinged
    assert "Lay sash round the box and glue it to itself, over 15 mm" in hinged
    assert "Stamp label" in bag


def test_german_rows_say_a_word_once():
    """A score whose name says so is not called a score again, nor a blank a blank; a fold is told once."""
    told = load(SHELF["hinged-box"], "hinged-box/index.md", BENCHES).translations["de"]
    rows = [row.text for row in card_rows(told.drawn, locale=told.locale)]
    assert "Vordere Rille: 30\u00a0mm von unten" in rows
    assert not [row for row in rows if len(re.findall("rille", row, re.IGNORECASE)) > 1]
    assert not [row for row in rows if len(re.findall("falz", row, re.IGNORECASE)) > 1]
    assert not [row for row in rows if len(re.findall("zuschn", row, re.IGNORECASE)) > 1]


def test_for_left_hands_the_same_figures_are_counted_from_the_right():
    """Nothing else changes; up and down stay."""
    right, left = said(CADDY), said(CADDY, left=True)
    assert [row.replace("from the left", "from the right") for row in right] == left and right != left


@pytest.mark.parametrize("paper", PRINT_PAPERS)
@pytest.mark.parametrize("manner", CARD_VARIANTS)
def test_a_card_is_a_page(paper, manner):
    """One page, in large print too, nothing within 10 mm of its edges, with its revision mark."""
    data = card(manner, paper)
    with pdfplumber.open(BytesIO(data)) as document:
        assert len(document.pages) == 1
        for page in document.pages:
            assert "evision ABC123" in page.extract_text()
            for letter in page.chars:
                assert letter["x0"] >= UNPRINTABLE_EDGE * PT - 0.5 and letter["x1"] <= float(
                    page.width) - UNPRINTABLE_EDGE * PT + 0.5
                assert letter["top"] >= UNPRINTABLE_EDGE * PT - 0.5 and letter["bottom"] <= float(
                    page.height) - UNPRINTABLE_EDGE * PT + 0.5
    assert len(pdf_reader.read(data)) >= 1


def test_a_card_that_goes_on_has_numbers():
    """Where one page cannot hold the work each says which of how many it is."""
    with pdfplumber.open(BytesIO(pdf("x",
                                     bench_card(LONG, [processed_piece(LONG, 0)], heading("letter"),
                                                CARD_VARIANTS["large"])))) as document:
        texts = [page.extract_text() for page in document.pages]
    assert len(texts) >= 2 and all(f"age {n} of {len(texts)}" in text for n,
                                   text in enumerate(texts, start=1))


def test_large_print_is_large():
    """18 points, but for the figures within the drawing."""
    with pdfplumber.open(BytesIO(card("large"))) as document:
        sizes = {round(c["size"], 1) for page in document.pages for c in page.chars if c["upright"]}
    assert min(sizes) >= 11 and 18.0 in {round(LARGE_SIZE * PT, 1)} | sizes


def test_the_drawing_for_left_hands_is_the_mirror_image():
    """The tab, which sticks out on the right, sticks out on the left."""
    spans = {manner: pdf_reader.read(card(manner))[0] for manner in ("", "left")}
    tall = {manner: [p for p in page.paths if len(p) > 6] for manner, page in spans.items()}
    outlines = {manner: max(paths, key=lambda p: p.max(axis=0)[0] - p.min(axis=0)[0]) for manner,
                paths in tall.items()}
    narrow = {m: p[(abs(p[:, 1] - p[:, 1].max()) < 0.01)][:, 0] for m, p in outlines.items()}
    assert abs(narrow[""].min()
               - outlines[""][:, 0].min()) < 0.01 < narrow["left"].min() - outlines["left"][:, 0].min()


def test_two_editions_give_two_cards():
    """Each in its own figures, never both."""
    metric, inch = (pdf_reader.read(card("", system=system))[0].text for system in ("mm", "in"))
    assert " mm " in metric and " in " not in metric.replace(" in this order", "").replace(" in the", "")
    assert " mm" not in inch and "1 1/4" in inch

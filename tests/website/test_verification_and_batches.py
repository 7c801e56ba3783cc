"""The line at a page's head: checked by geometry, made by hand; and the table of what a batch takes."""
from __future__ import annotations

from dataclasses import replace

import pytest
from PIL import Image

from generator.tutorial import load_text
from generator.tutorial.batch_supplies import sheet_plans
from generator.website.prose import InlineMarkdown
from generator.website.rendered_tutorial import filter_values
from generator.website.sheets import batch_table, sheet_view
from generator.website.verification import verification_note
from tests.folding.sample_boxes import changed, source
from tests.language.small_tutorials import BENCHES
from tests.language.small_tutorials import tutorial as small
from tests.website.sample_tutorial import CADDY


@pytest.mark.parametrize(("name", "line"), [
    ("lidded-box", "Checked by geometry"), ("ornament", "Checked by geometry")])
def test_a_box_that_was_folded_says_so(name, line):
    """Every piece of both editions was folded flat panel by flat panel."""
    assert verification_note(small(name)) == line


def test_nothing_is_claimed_of_what_was_not_folded():
    """No folds, no claim."""
    assert verification_note(CADDY) == ""


def test_curved_folds_are_excepted():
    """Where paper beside a curved fold has no place yet, the line says so."""
    caddy = small("caddy")
    unbent = {system: replace(done, pieces=tuple(replace(piece, surface=None) for piece in done.pieces))
              for system, done in caddy.folds.items()}
    assert verification_note(caddy) == "Checked by geometry"
    assert verification_note(replace(caddy, folds=unbent)) == "Checked by geometry, but for its curved folds"


def test_a_batch_is_one_table_of_sheets_and_ribbon():
    """A column for each listed sheet that holds the strip and one for the ribbon, a row for 1, 6, 12, 24 and
    50 boxes.
    """
    tutorial = small("caddy")
    table = batch_table(tutorial,
                        [sheet_view(plan) for plan in sheet_plans(tutorial)],
                        InlineMarkdown())
    assert table.columns == ("A4", "Letter", "12\u00a0× 12\u00a0in", "cord, length")
    assert [boxes for boxes, _ in table.rows] == [1, 6, 12, 24, 50]
    assert [str(cells[2]) for _, cells in table.rows] == ["1", "3", "6", "12",
                                                          "25"] and "24\u00a0m" in table.rows[-1][1][-1]


def test_nothing_bought_makes_no_table():
    """No listed sheet, no ribbon: the table is left out."""
    assert not batch_table(CADDY, (), InlineMarkdown()) and not batch_table(small("tray"), (),
                                                                            InlineMarkdown())


def test_the_gallery_sifts_by_the_folded_size_where_none_is_stated():
    """138 mm is the longest side of the metric tray; the inch one, 5 1/2 in, is the larger (139.7 mm)."""
    text = changed(source("tray"), ("finish(width=long + 2*splay, depth=short + 2*splay, height=rise)\n", ""))
    assert filter_values(load_text(text, "box.md", BENCHES).tutorial).widest == 140


def test_the_log_is_told_and_not_published(project):
    """The page says how often, quotes the words, and links to the photo; the log is no file of the site."""
    log = project.source.with_name("made.yaml")
    log.write_text(
        "boxes:\n  - {on: 2026-05-09, edition: mm, paper: brown card, words: It stands., photo: made.png}\n",
                   encoding="utf-8")
    refused = project.build("--strict")
    assert refused.exit_code == 1 and "tutorials/soap-sleeve/made.yaml:2:" in refused.output
    Image.new("RGB", (40, 30), "tan").save(log.with_name("made.png"))
    assert project.build("--strict").exit_code == 0
    page = project.page("soap-sleeve/index.html")
    told = page.xpath("string(//details[@class='made'])")
    assert "2026-05-09: metric edition; brown card It stands." in " ".join(told.split())
    assert "made by hand (once, last in millimetres)" in page.xpath("string(//p[@class='checked'])").lower()
    link, = page.xpath("//details[@class='made']//a/@href")
    assert link == "made.png" and "soap-sleeve/made.png" in project.files()
    assert not [name for name in project.files() if "made.yaml" in name]
    log.write_text(log.read_text(encoding="utf-8").replace("brown card", "white card"), encoding="utf-8")
    assert project.build("--strict").exit_code == 0
    assert "white card" in project.page("soap-sleeve/index.html").xpath("string(//details[@class='made'])")

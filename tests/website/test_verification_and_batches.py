"""The line at a page's head: checked by geometry, made by hand; and the table of what a batch takes."""
from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from generator.language.source.front_matter_values import AuthorBuild
from generator.locale import locale_for
from generator.tutorial import load_text
from generator.tutorial.batch_supplies import sheet_plans
from generator.website.prose import InlineMarkdown
from generator.website.rendered_tutorial import filter_values
from generator.website.sheets import batch_table, sheet_view
from generator.website.view import verification_note
from tests.folding.sample_boxes import changed, source
from tests.language.small_tutorials import BENCHES
from tests.language.small_tutorials import tutorial as small
from tests.website.sample_tutorial import CADDY


def made(tutorial, edition="mm", day=date(2026, 5, 9)):
    """The same tutorial, of which its author says that it was made by hand."""
    return replace(tutorial, front=replace(tutorial.front, made=AuthorBuild(edition, day)))


@pytest.mark.parametrize(("name", "line"), [
    ("lidded-box", "Checked by geometry"), ("ornament", "Checked by geometry")])
def test_a_box_that_was_folded_says_so(name, line):
    """Every piece of both editions was folded flat panel by flat panel."""
    assert verification_note(small(name)) == line


def test_nothing_is_claimed_of_what_was_not_folded():
    """No folds, no claim; what the author made by hand is said alone, with a capital."""
    assert verification_note(CADDY) == ""
    assert verification_note(made(CADDY, "in")) == (
        'Made by hand from the inch edition on <time datetime="2026-05-09">2026-05-09</time>')


def test_curved_folds_are_excepted():
    """Where paper beside a curved fold has no place yet, the line says so."""
    caddy = small("caddy")
    unbent = {system: replace(done, pieces=tuple(replace(piece, surface=None) for piece in done.pieces))
              for system, done in caddy.folds.items()}
    assert verification_note(caddy) == "Checked by geometry"
    assert verification_note(replace(caddy, folds=unbent)) == "Checked by geometry, but for its curved folds"


def test_both_stand_in_one_line():
    """Checked and made, with the day that the source gives and no other; in German too."""
    box = made(small("lidded-box"))
    assert verification_note(box) == ('Checked by geometry; made by hand from the metric edition on '
                                      '<time datetime="2026-05-09">2026-05-09</time>')
    assert verification_note(box,
                             locale_for("de")).startswith(
                                 "Rechnerisch geprüft; von Hand gemacht nach der metrischen Ausgabe")


def test_the_front_matter_says_when_it_was_made():
    """From the source to the line."""
    text = source("lidded-box").replace("level: easy", "made: {edition: in, on: 2026-03-07}\nlevel: easy")
    found = load_text(text, "box.md", BENCHES)
    assert "from the inch edition" in verification_note(found.tutorial) and "2026-03-07" in verification_note(
        found.tutorial)


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

"""The table of the shelf: against what a person counts, and README against the tutorials."""
from __future__ import annotations

import re
from pathlib import Path

from generator.tutorial.shelf_table import COLUMN_HEADS, ShelfRow, as_markdown, shelf_row
from tests.tutorial.site_tutorials import SHELF, on_shelf

ROOT = Path(__file__).resolve().parents[2]


def test_the_caddy_is_counted_right():
    """One strip; 8 panel scores, 2 across, 8 ticks, 16 curves, 8 cuts and 8 holes, counted in the prose of
    its steps.
    """
    row = shelf_row(on_shelf("tea-caddy"))
    assert (row.slug, row.pieces, row.marks) == ("tea-caddy", 1, 8 + 2 + 8 + 16 + 8 + 8)
    # the metric strip is 252 × 139 mm: one page of A4 turned, less 10 mm all round and its title, holds it
    assert row.pages["a4"] == 1 and row.yields["A4"]["mm"] == 1


def test_editions_that_differ_are_told_apart():
    """A sheet that gives more of one edition names both."""
    row = ShelfRow("x", "A box", 1, 2, {"a4": 3, "letter": 4},
                   {"A4": {"mm": 2, "in": 1}, "Letter": {"mm": 1, "in": 1}})
    assert row.yields_text == "A4: 2 (mm), 1 (in); Letter: 1" and row.pages_text == "3 · 4"
    assert as_markdown([row]).splitlines()[-1] == "| A box | 1 | 2 | 3 · 4 | A4: 2 (mm), 1 (in); Letter: 1 |"


def test_readme_has_the_table_as_it_is():
    """README's table is what ``foldgauge shelf`` prints now, a line for each tutorial."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    found = re.search(rf"(?m)^\| {re.escape(COLUMN_HEADS[0])} \|.*\n(?:\|.*\n)+", readme)
    assert found and found[0] == as_markdown(shelf_row(on_shelf(slug)) for slug in SHELF)

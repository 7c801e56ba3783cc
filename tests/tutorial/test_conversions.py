"""The author's table: drawn, exact conversion, published."""
from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from generator.commands.main import foldgauge
from generator.tutorial.measures import conversion_rows, conversion_table, conversions
from tests.tutorial.small_source import FENCE, source, tutorial

PUBLISHED = [("panel", "30 mm", "1.18 in", "1 1/4 in"), ("wall", "60 mm", "2.36 in", "2 1/2 in"),
             ("tab", "10 mm", "0.39 in", "3/8 in")]


def test_every_length_has_three_faces():
    """30 mm are 1.18 in to the letter (NIST SP 811, B.7.2), and 1 1/4 in is what the page says."""
    rows = [(c.name, c.drawn, c.exact, c.published) for c in conversions(tutorial(source()))]
    assert rows[:3] == PUBLISHED
    assert ("strip width", "130 mm", "5.12 in", "5 3/8 in") in rows
    assert [row[1:] for row in rows[-4:]] == [("30 mm", "1.18 in", "1 1/4 in"),
                                              ("60 mm", "2.36 in", "2 1/2 in"),
                                             ("90 mm", "3.54 in", "3 3/4 in"), ("120 mm", "4.72 in", "5 in")]
    assert [row[0] for row in rows[-4:]] == ["strip: panels", "", "", ""]


def test_what_is_about_stays_about():
    """A length with a root in it is converted as it is shown, and said to be about."""
    row = next(c for c in conversions(tutorial(source(fence=FENCE + "\nlong = hypot(panel, wall)")))
               if c.name == "long")
    assert (row.drawn, row.exact) == ("about 67.1 mm", "about 2.641 in")


def test_from_inches():
    """Drawn in inches, the exact conversion is in millimetres: 1 1/4 in are 31.8 mm, with the figures of
    1.25.
    """
    text = source(
        front="---\ntitle: A sleeve\ndrawn_in: in\ncounts: {sides: 4}\nlengths: {panel: 1 1/4 in, wall: 2 "
              "1/2 in, tab: 3/8 in}\n"
                        "editions: {mm: {panel: 30 mm, wall: 60 mm, tab: 10 mm}}\npapers: {card: {weight: "
                        "200 gsm}}\n---\n")
    rows = {c.name: (c.drawn, c.exact, c.published) for c in conversions(tutorial(text))}
    assert rows["panel"] == ("1 1/4 in", "31.8 mm", "30 mm") and rows["tab"] == ("3/8 in", "9.52 mm", "10 mm")


def test_the_table_is_for_reading_and_the_rows_for_machines():
    """Four columns under a head; as data every row has its name."""
    made = tutorial(source())
    lines = conversion_table(made).split("\n")
    assert lines[0].split() == ["drawn", "(mm)", "exact", "conversion", "published",
                                "(in)"] and set(lines[1]) == {"-"}
    assert lines[2].split() == ["panel", "30", "mm", "1.18", "in", "1", "1/4", "in"]
    assert all(row["name"] for row in conversion_rows(made))
    assert conversion_rows(made)[0] == {"name": "panel", "drawn": "30 mm", "exact_conversion": "1.18 in",
                                        "published": "1 1/4 in"}


@pytest.mark.parametrize("options", [["--drawn"], ["--drawn", "--json"], ["--json"]])
def test_the_command_prints_it(tmp_path, options):
    """The command `foldgauge measures --drawn`, as a table or as data; without it nothing changes."""
    path = tmp_path / "index.md"
    path.write_text(source(), encoding="utf-8")
    result = CliRunner().invoke(foldgauge, ["measures", str(path), *options], catch_exceptions=False)
    assert result.exit_code == 0
    if "--json" in options:
        assert ("conversions" in json.loads(result.stdout)) is ("--drawn" in options)
    else:
        assert "exact conversion" in result.stdout

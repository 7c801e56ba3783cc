"""``foldgauge measures``: the table, and the data exactly in the shape that is promised."""
from __future__ import annotations

import json
import re
from fractions import Fraction
from functools import cache

import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.commands.reports import measures as measures_command
from generator.tutorial.measures import measures_data, measures_table
from generator.units.wording import exact_text
from tests.language.small_tutorials import FOLDER, loaded, tutorial
from tests.time_limits import examples
from tests.tutorial.small_source import FENCE, PROSE, STANDING, front, load, source

NAMES = ("caddy", "lidded-box", "envelope", "ornament", "tray")


@cache
def data_of(name: str) -> dict:
    """The measures of a small source, made once for all tests."""
    return measures_data(loaded(name))


def check_length(found: object) -> None:
    """L is the exact value, as printed, and on, off or about the grid."""
    assert isinstance(found, dict) and list(found) == ["mm", "text", "grid"]
    assert re.fullmatch(r"-?\d+(\.\d+)?|-?\d+/\d+", found["mm"]) and found["grid"] in ("on", "off", "about")
    assert isinstance(found["text"], str) and re.search(r"(mm|in|cm|m)\Z", found["text"])


def check_edition(edition: dict) -> None:
    """Lengths by name; pieces with width, height and groups; steps with title, line and text."""
    assert list(edition) == ["lengths", "pieces", "steps"]
    for found in edition["lengths"].values():
        check_length(found)
    for piece in edition["pieces"].values():
        assert list(piece) == ["width", "height", "groups"]
        check_length(piece["width"])
        check_length(piece["height"])
        for group in piece["groups"].values():
            check_group(group)
    for step in edition["steps"]:
        assert list(step) == ["title", "line", "text"] and isinstance(step["line"],
                                                                      int) and step["title"] and step["text"]


def check_group(group: dict) -> None:
    """Verb and count, marks as lengths, points as pairs of numbers."""
    assert list(group) == ["verb", "count", "marks", "points"] and isinstance(group["count"],
                                                                              int) and group["count"] > 0
    assert group["verb"] in ("score", "tick", "cut", "slit", "punch")
    for found in group["marks"]:
        check_length(found)
    assert group["points"] and all(len(p) == 2 and all(isinstance(x, float) for x in p)
                                   for p in group["points"])


@pytest.mark.parametrize("name", NAMES)
def test_the_data_has_the_promised_shape(name):
    """Exactly the promised keys, all the way down, and it survives JSON."""
    data = data_of(name)
    assert list(data) == ["title", "drawn_in", "editions",
                          "findings"] and json.loads(json.dumps(data)) == data
    assert data["title"] == tutorial(name).front.title and data["drawn_in"] == "mm" and data["findings"] == []
    assert list(data["editions"]) == ["mm", "in"]
    for edition in data["editions"].values():
        check_edition(edition)


def test_findings_have_the_promised_shape():
    """Those of foldgauge check --json; a source with an error has no editions."""
    warned = measures_data(load(source(fence=STANDING, front=front("panel: 30 mm", "panel: 31 mm"))))
    broken = measures_data(load(source(fence=FENCE + "\nu = scroe(strip, x=panel)")))
    for data, severity in ((warned, "warning"), (broken, "error")):
        found, = data["findings"]
        assert list(found) == ["file", "line", "column", "end_line", "end_column", "code", "severity",
                               "message",
                               "hint", "edition"]
        assert (found["severity"], found["file"]) == (severity,
                                                      "sleeve.md") and found["line"] > 10 and found[
                                                          "column"] > 0
    assert broken["editions"] == {} and warned["editions"]["mm"]["pieces"]["strip"]["groups"]["panels"][
        "marks"][0] == {
        "mm": "31", "text": "31 mm", "grid": "off"}


def test_the_caddys_measures():
    """Marks in both editions as printed and exactly, distances from the edge they are measured from."""
    mm, inch = (data_of("caddy")["editions"][s]["pieces"]["strip"] for s in ("mm", "in"))
    assert mm["width"] == {"mm": "252", "text": "252 mm", "grid": "on"}
    assert inch["width"] == {"mm": "266.7", "text": "10 1/2 in", "grid": "on"}
    assert [m["mm"] for m in mm["groups"]["panels"]["marks"]] == [str(30 * k) for k in range(1, 9)]
    assert [m["text"] for m in inch["groups"]["peaks"]["marks"]][:3] == ["5/8 in", "1 7/8 in", "3 1/8 in"]
    assert mm["groups"]["curves"]["count"] == 16 and mm["groups"]["holes"]["verb"] == "punch"
    assert mm["groups"]["holes"]["points"][0] == [15.0,
                                                  112.0] and mm["groups"]["shoulder"]["points"] == [
                                                      [0.0, 100.0],
        [252.0, 100.0]]
    assert mm["groups"]["panels"]["points"][:2] == [[30.0, 0.0], [30.0, 139.0]]
    apothem = data_of("caddy")["editions"]["mm"]["lengths"]["apothem"]
    assert apothem["grid"] == "about" and apothem["text"] == "about 36.2 mm" and abs(
        float(apothem["mm"]) - 36.2132034) < 1e-6


def test_steps_are_plain_words():
    """The prose of a step with its measures, white space folded; titles with their measures too."""
    step = data_of("caddy")["editions"]["in"]["steps"][0]
    assert step["text"].startswith("Cut a strip 10 1/2 in long and 5 5/8 in high") and "\n" not in step[
        "text"]
    assert (FOLDER / "caddy.md").read_text(encoding="utf-8").split("\n")[step["line"]
                                                                         - 1] == f"## {step['title']}"


def test_two_groups_of_one_statement_are_one_group():
    """A call worked for several edges gives one group, counted through."""
    data = measures_data(load(source(fence=FENCE + "\nu = tick(strip, x=panel/2, edge=group(top, bottom))")))
    assert data["editions"]["mm"]["pieces"]["strip"]["groups"]["u"]["count"] == 2


def test_several_pieces_of_one_statement_have_names_of_their_own():
    """The liners of two faces are two pieces of the data."""
    data = measures_data(load(source(fence=FENCE
                                     + "\nf = faces(strip, x=panels[1..2].bays)\nliner = inset(f, "
                                       "by=tab/5)")))
    assert list(data["editions"]["mm"]["pieces"]) == ["strip", "liner", "liner 2"]


@settings(deadline=None, max_examples=examples(200))
@given(st.fractions(-1000, 1000, max_denominator=4096))
def test_exact_values_are_written_so_that_they_can_be_read_back(value):
    """A decimal where it ends, else n/d; read back it is the same number."""
    text = exact_text(value)
    assert Fraction(text) == value
    ends = all(p in (2, 5) for p in range(2, 100) if value.denominator % p == 0
               and all(p % q for q in range(2, p)))
    assert ("/" in text) == (not ends) or value.denominator > 100


@settings(deadline=None, max_examples=examples(100))
@given(st.floats(-1e6, 1e6, allow_nan=False))
def test_inexact_values_are_written_to_nine_decimals(value):
    """To a millionth of a micrometre, without a minus before nothing."""
    text = exact_text(value)
    assert abs(float(text) - value) <= 1e-9 and text != "-0" and not text.endswith(".")


def test_the_table():
    """Title, named lengths, pieces and groups in three columns that line up."""
    rows = measures_table(tutorial("caddy")).split("\n")
    assert rows[0].split() == [*tutorial("caddy").front.title.split(), "millimetres", "inches"]
    columns = (rows[0].index("millimetres"), rows[0].index("inches"))
    panel, = [row for row in rows if row.startswith("  panel ")]
    assert panel[columns[0]:].startswith("30 mm") and panel[columns[1]:] == "1 1/4 in"
    assert any(row.startswith("strip ") and "252 mm by 139 mm" in row and "10 1/2 in by 5 5/8 in" in row
               for row in rows)
    first, = [k for k, row in enumerate(rows) if row.startswith("  panels: 8 × score")]
    assert [row[columns[0]:columns[1]].strip()
            for row in rows[first:first + 8]] == [f"{30 * k} mm" for k in range(1, 9)]


def test_a_corner_on_the_edge_in_one_edition_alone():
    """Six tabs are the wall in millimetres and less in inches: the row says that there is no mark."""
    strip = FENCE.split("\n")[0]
    pane = "pane = score(strip, polygon(at(tab, tab), at(2*tab, tab), at(2*tab, 6*tab)))"
    made = load(source(fence=f"{strip}\n{pane}", prose="Score it.")).tutorial
    rows = measures_table(made).split("\n")
    first, = [k for k, row in enumerate(rows) if row.startswith("  pane: 1 × score")]
    assert any("no mark" in row and "2 1/4 in" in row for row in rows[first:first + 5])


def test_the_command(tmp_path):
    """``foldgauge measures FILE`` prints the table, ``--json`` the data; a broken source ends with 1."""
    good, bad = tmp_path / "good.md", tmp_path / "bad.md"
    good.write_text(source(), encoding="utf-8")
    bad.write_text(
        source(fence="strip = sheet(width=wall, height=nothing)\npanels = score(strip, x=every(panel, 1))",
        prose=PROSE), encoding="utf-8")
    runner = CliRunner()
    plain, data = runner.invoke(measures_command, [str(good)]), runner.invoke(measures_command,
                                                                              [str(good), "--json"])
    assert plain.exit_code == 0 and "panels: 4 × score" in plain.output
    assert data.exit_code == 0 and list(json.loads(data.output)) == ["title", "drawn_in", "editions",
                                                                     "findings"]
    failed = runner.invoke(measures_command, [str(bad), "--json"])
    assert failed.exit_code == 1 and "name-unknown" in {f["code"]
                                                        for f in json.loads(failed.stdout)["findings"]}

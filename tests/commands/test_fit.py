"""``foldgauge fit``: boxes for a thing, worked out by hand from the family's own sums."""
from __future__ import annotations

import json
from fractions import Fraction

import pytest

from generator.paper.sheet_layouts import STOCK_SHEETS
from generator.tutorial.contents_wish import Room
from generator.tutorial.families import family
from generator.tutorial.fit_verification import problems_of, reread
from generator.units import default_bench
from tests.commands.command_runner import run

SOAP = ("--holds", "soap, 60 mm wide, 40 mm deep, 20 mm high", "--slack", "1mm")


def test_a_box_for_a_bar_of_soap_by_hand(here):
    """Card of 0.29 mm, floors within it, and one more beside the thing for a tab behind the wall.

    60 + 2 (1 + 0.29) = 62.58 mm in a floor of long − 0.58: long is 64 mm on a rule, short in the same way
    44 mm; 21 mm in wall − 0.29: wall is 25 mm on a board. The lid is 15 mm high and 2 mm wider each way.
    Bases 64 + 50 by 44 + 50, lids 66 + 30 by 46 + 30: three bases upon each other take 114 × 282 mm of A4,
    three lids 96 × 228 beside them; a fourth pair would be more than its area, 4 · 18 012 > 62 370 mm².
    """
    result = run("fit", *SOAP, "--family", "lidded-box", "--json", "--write", "soap-box")
    assert result.exit_code == 0 and "soap-box/index.md is written, a lidded-box" in result.stderr.replace(
        "\\", "/")
    data = json.loads(result.stdout)
    assert data["sheet"] == "A4" and data["holds"]["room_mm"] == [60, 40, 20]
    metric, inch = (data["families"][0]["editions"][system] for system in ("mm", "in"))
    assert metric["lengths"] == {"long": "64 mm", "short": "44 mm", "wall": "25 mm", "lip": "15 mm",
                                 "ease": "2 mm", "taper": "3 mm"}
    assert metric["blanks"] == ["base, 114 × 94 mm", "lid, 96 × 76 mm"]
    assert (metric["boxes"], metric["waste_percent"]) == (3, 13.4)      # 1 − 54 036 / 62 370
    assert metric["finished"] == "66 by 46 mm, 25 mm high"
    # the next sixteenths above 64 and 44 mm, the next eighth above 25 mm
    assert [inch["lengths"][name] for name in ("long", "short", "wall")] == ["2 9/16 in", "1 3/4 in", "1 in"]
    text = (here / "tutorials" / "soap-box" / "index.md").read_text(encoding="utf-8")
    assert ("holds: {what: 'soap', width: 60 mm, depth: 40 mm, height: 20 mm}" in text
            and "title: Soap box" in text)
    assert run("fit", *SOAP, "--write", "soap-box").exit_code == 2      # nothing is overwritten


def test_what_holds_nothing_says_why(here):
    """An envelope lies flat; where no family is left the exit status is 1."""
    result = run("fit", *SOAP, "--family", "envelope")
    assert result.exit_code == 1 and "No family can hold it" in result.stdout
    assert "envelope: folding finds no floor and walls" in result.stdout


@pytest.mark.parametrize(("arguments", "reason"), [
    (("--slack=-2mm",), "would make the box smaller than what goes in"),
    (("--slack", "some"), "--slack"), (("--sheet", "ltter"), "did you mean letter"),
    (("--holds", "54 mm across"), "how high it is is missing"),
    # the diagonal of Letter is 355 mm; that of A3 514 mm
    (("--holds", "54 mm across, 360 mm high", "--sheet", "letter"), "name a larger one, such as a3"),
    (("--holds", "2 m across, 70 mm high"), "m"),
    (("--holds", "900 mm across, 70 mm high"), "no sheet of the list is as large"),
    (("--write", "Tea Tin"), "cannot be part of an address")])
def test_what_cannot_be_is_refused_in_words(here, arguments, reason):
    """Exit status 2, before anything is folded."""
    result = run("fit", *SOAP, *arguments)
    assert result.exit_code == 2 and reason in result.stderr


def test_the_second_check_finds_what_does_not_fit():
    """The family's own box: 120 × 80 × 40 mm of 0.29 mm card, so 119.42 × 79.42 × 39.71 mm inside.

    Base 200 × 160 mm and lid 162 × 122 mm are 51 764 mm², more than half of A4.
    """
    benches = {system: default_bench(system) for system in ("mm", "in")}
    tutorial, wrong = reread(family("lidded-box").source, "box.md", benches)
    assert tutorial is not None and not wrong

    def problems(width, depth, height, boxes=0):
        room = Room(Fraction(width), depth and Fraction(depth), height and Fraction(height))
        return [*problems_of(tutorial, "mm", room, Fraction(1), STOCK_SHEETS["a4"], boxes)]
    assert problems(76, None, 38) == []                  # 76 + 2.58 is below 79.42, 38 + 1 below 39.71
    assert len(problems(77, None, 38)) == len(problems(76, None, 39)) == 1
    assert problems(116, 76, 38) == [] and problems(76, 116, 38) == []
    assert len(problems(117, 76, 38)) == len(problems(116, 77, 38)) == 1
    assert problems(37, None, None) == [] and len(problems(38, None, None)) == 1
    assert any("boxes take" in each for each in problems(76, None, 38, boxes=2))

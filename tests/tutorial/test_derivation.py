"""Every name can be asked why: its values, its statement, and the names it rests on down to the
front matter.
"""
from __future__ import annotations

from click.testing import CliRunner

from generator.commands.why import why as why_command
from generator.tutorial.derivation import derivation_text
from tests.language.small_tutorials import tutorial as small
from tests.tutorial.small_source import FENCE, source, tutorial

TEXT = source(fence=FENCE
              + "\nhalf_way = midway(panels)\npeaks = tick(strip, x=half_way, edge=top)\ntip = peaks.last\n"
              "over = hypot(panel, tab)\ninner = panels.bays.first\nplace = panels.last - tab")


def told(name: str) -> list[str]:
    """The lines of a chain, without their places in the file."""
    text, findings = derivation_text(tutorial(TEXT), name)
    assert findings == ()
    return text.split("\n")


def test_a_named_length_rests_on_the_front_matter():
    """Both values and the line of the front matter that says so."""
    assert told("panel") == ["panel = 30 mm | 1 1/4 in", "  sleeve.md:5:11: the front matter says so"]


def test_a_mark_rests_on_all_names_down_to_the_front_matter():
    """Number, statement, and then each name of it with its own, indented; nothing is told twice."""
    lines = told("panels")
    assert lines[0] == "panels = 4 marks at 30, 60, 90 and 120 mm | 4 marks at 1 1/4, 2 1/2, 3 3/4 and 5 in"
    assert lines[1] == "  sleeve.md:18:1: panels = score(strip, x=every(panel, sides))"
    assert lines[2].startswith("    strip = ") and lines[3].strip().endswith(
        "strip = sheet(width=sides*panel + tab, height=wall, paper=card)")
    names = [line.strip().split(" = ")[0] for line in lines if " = " in line and "sleeve.md" not in line]
    assert names[:2] == ["panels", "strip"] and set(names) == {"panels", "strip", "sides", "panel", "tab",
                                                               "wall", "card"}
    assert len(names) == len(set(names)) and any(line.strip() == "panel: see above" for line in lines)


def test_the_chain_ends_in_the_source():
    """Every line that names a place gives file, line and column of what is there."""
    rows = TEXT.split("\n")
    for line in told("tip"):
        place = line.strip()
        if place.startswith("sleeve.md:"):
            _, row, column, rest = place.split(":", 3)
            found = rows[int(row) - 1][int(column) - 1:]
            assert found.startswith(rest.strip().split(" ")[0]) or rest.strip() == "the front matter says so"


def test_each_kind_of_value_has_words():
    """Lengths that are about, single marks, bays, places, pieces and counts."""
    assert told("over")[0] == "over = about 31.6 mm | about 1 5/16 in"
    assert told("tip")[0] == "tip = a tick at 105 mm from the left | a tick at 4 3/8 in from the left"
    assert told("inner")[0] == "inner = a bay 30 mm wide | a bay 1 1/4 in wide"
    assert told("place")[0] == "place = the place at 110 mm | the place at 4 5/8 in"
    assert told("strip")[0] == "strip = a piece of paper" and told("sides")[0] == "sides = 4"


def test_every_name_of_every_small_tutorial_can_be_asked():
    """No name leads to anything but words."""
    for name in ("caddy", "lidded-box", "envelope", "ornament", "tray"):
        for asked in small(name).names:
            text, findings = derivation_text(small(name), asked)
            assert not findings and text.startswith(
                f"{asked} = ") and "Quantity" not in text and "(" in text or ":" in text


def test_an_unknown_name_is_answered_with_the_nearest():
    """A finding, not a traceback; the command ends with 1 or 2."""
    text, findings = derivation_text(tutorial(TEXT), "pannel")
    assert text == "" and [f.code for f in findings] == ["name-unknown"] and "'panel'" in findings[0].hint


def test_the_command(tmp_path):
    """``foldgauge why FILE NAME`` prints the chain."""
    file = tmp_path / "index.md"
    file.write_text(TEXT, encoding="utf-8")
    done = CliRunner().invoke(why_command, [str(file), "peaks"])
    assert done.exit_code == 0 and done.output.startswith("peaks = 4 marks at 15, 45, 75 and 105 mm")
    assert CliRunner().invoke(why_command, [str(file), "pannel"]).exit_code in (1, 2)

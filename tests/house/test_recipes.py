"""The recipes of DEVELOPERS.md work: each is followed in a copy of the package, and what it adds is used."""
from __future__ import annotations

import json
import os
import re
import subprocess
import sys

import pytest

from tests.house import recipes
from tests.house.test_developers import PAGE, section
from tests.tutorial.small_source import source

SHEET = "strip = sheet(width=sides*panel + tab, height=wall{paper})\n"
PAPER = SHEET.format(paper=", paper=card")
SOURCES = {
    "call": source(PAPER + "lines = ruled(strip, x=every(panel, sides))", "Rule it."),
    "shape": source("base = panel(square(side=panel), paper=card)", "Cut it out."),
    "mark": source(PAPER + "torn = nick(strip, x=panel)", "Nick it."),
    "part": source(PAPER + "back = spine_score(strip, across=panel)", "Score it."),
    "check": source(SHEET.format(paper="") + "lines = score(strip, x=panel, keep=flat)", "Cut it."),
    "feature": source(PAPER + "line = score(strip, x=panel)\nfold(line, mountain)", "Fold it."),
}
# Runs in the copy; nothing of the tests is imported there.
PROBE = """
import json, sys
from click.testing import CliRunner
import generator
from generator.commands.main import foldgauge
from generator.drawing.steps.step_picture import step_pictures
from generator.drawing.backends.words import WordsPen
from generator.drawing.templates.bench_rows import card_rows
from generator.locale import locale_for
from generator.tutorial import load_text
from generator.tutorial.families import dimension, family, new_source
from generator.units import default_bench

benches = {system: default_bench(system) for system in ("mm", "in")}
loaded = {name: load_text(text, "box.md", benches) for name, text in json.load(sys.stdin).items()}
made = {name: each.tutorial for name, each in loaded.items()}
assert None not in made.values(), [f.message for each in loaded.values() for f in each.findings]
pen = WordsPen()
step_pictures(made["call"].drawn, made["call"].regauged, 1)[0].recording.replay(pen)
strip = family("strip")
def ran(*arguments):
    return CliRunner().invoke(foldgauge, arguments).output
print(json.dumps({
    "where": generator.__file__,
    "codes": {name: [f.code for f in each.findings] for name, each in loaded.items()},
    "marks": {name: [mark.verb for mark in each.drawn.state(0).marks] for name, each in made.items()},
    "sizes": {name: [float(each.drawn.state(0).width.value), float(each.drawn.state(0).height.value)]
              for name, each in made.items()},
    "rows": [row.text for code in ("en", "de")
             for row in card_rows(made["mark"].drawn, False, locale_for(code))],
    "words": pen.words,
    "family": new_source(strip, "A strip", "mm", {"panel": dimension(strip, "panel", "40 mm", "mm")}, benches,
                         "box.md").text,
    "greetings": [locale_for(code).say("website.greeting", name="Ann") for code in ("en", "de", "nl")],
    "calls": {name: ran("calls", name) for name in ("ruled", "square", "nick", "spine_score")},
    "explained": ran("explain", "paper-unsaid"),
    "greet": ran("greet"),
}))
"""


@pytest.fixture(scope="module")
def found(tmp_path_factory):
    """What the copy does, once every recipe is followed in it."""
    folder = tmp_path_factory.mktemp("recipes")
    recipes.follow(recipes.Copy(folder))
    run = subprocess.run([sys.executable, "-c", PROBE], cwd=folder, input=json.dumps(SOURCES), text=True,
                         capture_output=True, env={**os.environ, "PYTHONPATH": str(folder)}, check=False)
    assert run.returncode == 0, run.stderr
    answer = json.loads(run.stdout)
    assert answer["where"].startswith(str(folder))
    return answer


def test_a_call_is_read_from_its_signature(found):
    """A function with kinds, listed in its family, is a call with help, and works on paper."""
    assert found["marks"]["call"] == ["score"] * 4 and found["codes"]["call"] == []
    assert "ruled(piece, x=…)" in found["calls"]["ruled"] and "guide the eye" in found["calls"]["ruled"]


def test_a_shape_is_a_function_that_gives_an_outline(found):
    """Listed in its family, it can be cut out: 30 mm on either side."""
    assert found["sizes"]["shape"] == [30, 30] and "square(side=…)" in found["calls"]["square"]


def test_a_kind_of_mark_is_a_record_a_call_and_words(found):
    """Nothing else is told of it, and the bench card has its row in both languages."""
    assert found["marks"]["mark"] == ["nick"] and found["codes"]["mark"] == []
    rows = [row.replace("\u00a0", " ") for row in found["rows"]]
    assert "Perforate torn: 30 mm from the left" in rows and "Perforieren, torn: 30 mm von links" in rows


def test_a_part_is_a_file(found):
    """It is found by its name, is used like a call, and the reference lists it."""
    assert found["marks"]["part"] == ["score"] and "for a spine" in found["calls"]["spine_score"]


def test_a_family_is_a_file(found):
    """What is asked for is filled in, and what follows from it too."""
    assert re.search(r"panel: 40 mm, wall: 80 mm", found["family"]) and "title: A strip" in found["family"]


def test_a_string_stands_in_every_language(found):
    """Asked for by its key, each language says it; a copied folder is a language of its own."""
    assert found["greetings"] == ["Good folding, Ann (en)", "Good folding, Ann (de)",
                                  "Goed vouwen! Good folding, Ann (en)"]


def test_a_check_of_plans_reports_its_finding(found):
    """A function from plans to findings with a code of its own; where there is nothing it is silent."""
    assert "paper-unsaid" in found["codes"]["check"]
    assert not [name for name, codes in found["codes"].items() if "paper-unsaid" in codes and name != "check"]


def test_a_finding_is_a_code_and_its_explanation(found):
    """The command that explains findings knows it as any other."""
    assert "A recipe." in found["explained"] and "Follow the recipe of paper-unsaid." in found["explained"]


def test_a_check_of_the_folded_box_reads_a_feature(found):
    """It is asked by the whole fold, of pieces that are folded."""
    assert [name for name, codes in found["codes"].items() if "panels-few" in codes] == ["feature"]


def test_a_back_end_is_a_pen(found):
    """It draws what was recorded: the words of the picture, here the places of the scores."""
    assert any("30" in words for words in found["words"]) and len(found["words"]) >= 4


def test_a_command_is_a_file_and_its_name(found):
    """Listed in main.py it runs."""
    assert found["greet"] == "good folding\n"


def test_every_recipe_is_followed():
    """A recipe that is added to the page is followed here, or its reason stands here."""
    elsewhere = {"tutorial": "tests/commands/test_new.py writes one and checks it",
                 "library": "test_packaging.py and test_developers.py hold its three places"}
    named = set(re.findall(r"^- \*\*an? ([\w ]+)\*\*", section("How to add …", PAGE), re.M))
    followed = {"call", "shape", "kind of mark", "part", "family", "string", "language", "finding", "check",
                "feature", "back end", "command"}
    assert named == followed | set(elsewhere)

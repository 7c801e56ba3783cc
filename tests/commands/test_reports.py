"""``foldgauge measures``, ``why`` and ``calls``: where they print, and how they exit."""
from __future__ import annotations

import json
import sys

import pytest

from generator.language.evaluation.registry import REGISTRY
from generator.paper.verbs import VOCABULARY
from tests.commands.command_runner import BROKEN, WARNED, run, write


def test_measures_as_a_table(here):
    """Title, a column for each system, named lengths, pieces, groups with their marks."""
    write(here)
    result = run("measures", "sleeve/index.md")
    rows = [row.split() for row in result.stdout.split("\n")]
    assert result.exit_code == 0 and result.stderr == ""
    assert rows[0] == ["A", "sleeve", "millimetres", "inches"]
    assert ["panel", "30", "mm", "1", "1/4", "in"] in rows
    assert ["strip", "130", "mm", "by", "60", "mm", "5", "3/8", "in", "by", "2", "1/2", "in"] in rows
    assert ["panels:", "4", "×", "score", "30", "mm", "1", "1/4",
            "in"] in rows and ["120", "mm", "5", "in"] in rows


def test_measures_for_machines(here):
    """The data alone on standard output; warnings are among it, and the exit status is 0."""
    write(here, WARNED)
    result = run("measures", "sleeve", "--json")
    data = json.loads(result.stdout)
    assert result.exit_code == 0 and result.stderr == ""
    assert list(data) == ["title", "drawn_in", "editions",
                          "findings"] and list(data["editions"]) == ["mm", "in"]
    assert list(data["editions"]["mm"]) == ["lengths", "pieces", "steps"]
    assert data["editions"]["in"]["lengths"]["panel"] == {"mm": "31.75", "text": "1 1/4 in", "grid": "on"}
    panels = data["editions"]["mm"]["pieces"]["strip"]["groups"]["panels"]
    assert [m["mm"] for m in panels["marks"]] == ["30", "60", "90", "120"] and panels["verb"] == "score"
    assert data["editions"]["in"]["steps"] == [{"title": "Cut and score", "line": 9,
                                                "text": "Cut a strip 5 3/8 in long and score it at 30 mm."}]
    assert [(f["code"], f["severity"], f["file"], f["line"], f["column"]) for f in data["findings"]] == [
        ("measure-typed", "warning", "sleeve/index.md", 11, 52)]


def test_measures_of_a_broken_source(here):
    """Exit 1 with the findings on standard error; with --json they are in the data too, and nothing
    else is.
    """
    write(here, BROKEN)
    plain, machine = run("measures", "sleeve"), run("measures", "sleeve", "--json")
    assert (plain.exit_code, plain.stdout, machine.exit_code) == (1, "", 1)
    assert "[name-unknown]" in plain.stderr
    data = json.loads(machine.stdout)
    assert data["editions"] == {} and [f["code"] for f in data["findings"]] == ["name-unknown"]


def test_why(here):
    """Number, expression, names, lines of the source; an unknown name is told, and what may be meant."""
    write(here)
    result = run("why", "sleeve/index.md", "panels")
    assert result.exit_code == 0 and result.stderr == ""
    assert "sleeve/index.md:15:1: panels = score(strip, x=every(panel, sides))" in result.stdout
    assert "sleeve/index.md:5:11: the front matter says so" in result.stdout
    unknown = run("why", "sleeve/index.md", "pannels")
    assert (unknown.exit_code, unknown.stdout) == (1, "") and "did you mean 'panels'?" in unknown.stderr


def test_why_folds_nothing(here, monkeypatch: pytest.MonkeyPatch):
    """Names are made before anything is folded: the answer does not wait for that."""
    write(here)
    # the room exports a function of the same name as the module
    monkeypatch.setattr(sys.modules["generator.tutorial.load"], "fold_editions",
                        lambda *_: pytest.fail("it was folded"))
    assert run("why", "sleeve", "panels").stdout.startswith("panels = 4 marks at 30, 60, 90 and 120 mm")


def test_why_of_a_broken_source(here):
    """Exit 1, with what is wrong."""
    write(here, BROKEN)
    result = run("why", "sleeve", "panels")
    assert (result.exit_code, result.stdout) == (1, "") and "[name-unknown]" in result.stderr


def test_one_source_at_a_time(here):
    """A folder of several tutorials is a wrong use where one is asked about; a folder of one is that one."""
    write(here / "tutorials", slug="a")
    assert run("measures", "tutorials").exit_code == 0
    write(here / "tutorials", slug="b")
    for arguments in (("measures", "tutorials"), ("why", "tutorials", "panel")):
        result = run(*arguments)
        assert result.exit_code == 2 and "tutorials holds 2 tutorials; name one of them" in result.stderr


def test_all_calls():
    """Every call with its signature and the first sentence of its help, by what it is for; every word of the
    trade.
    """
    result = run("calls")
    assert result.exit_code == 0
    said = " ".join(result.stdout.split())
    for name, entry in REGISTRY.items():
        assert f"{entry.signature()} {' '.join(entry.help.split(chr(10) * 2)[0].split())}" in said, name
    for family in {entry.family for entry in REGISTRY.values()}:
        assert f"\n{family} (" in "\n" + result.stdout
    assert all(word in said.rpartition("words that stand for themselves")[2] for word in VOCABULARY)


def test_one_call():
    """Its signature, its whole help, and what each parameter takes."""
    result = run("calls", "arc")
    assert result.exit_code == 0 and result.stdout.startswith(
        "arc(start, end, [bulge=…], [radius=…], [side=…])\n")
    assert "It bulges to the left of the way from start to end" in result.stdout
    assert "  bulge: a length (may be left out)" in result.stdout and "score(" not in result.stdout
    assert run("calls", "arc", "score").stdout.count("\n\n") >= 2


def test_an_unknown_call():
    """Exit 2, what may be meant on standard error, and the known ones all the same."""
    result = run("calls", "scor", "line")
    assert result.exit_code == 2 and result.stderr == "there is no call 'scor'; did you mean 'score'?\n"
    assert result.stdout.startswith("line(start, end)")

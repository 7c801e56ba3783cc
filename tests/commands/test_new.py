"""``foldgauge new``: a commented first source that builds."""
from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from tests.commands.command_runner import run


def test_it_writes_a_source_that_is_clean(here):
    """The file is there, says its title, has comments, and nothing is wrong with it: not even a warning."""
    result = run("new", "tea-tin")
    source = here / "tutorials" / "tea-tin" / "index.md"
    assert result.exit_code == 0 and "foldgauge check tutorials/tea-tin/index.md" in result.stdout
    text = source.read_text(encoding="utf-8")
    assert yaml.safe_load(text.split("\n---")[0])["title"] == "Tea tin" and text.count("#") > 10
    checked = run("check", source)
    assert (checked.exit_code, checked.stdout) == (0, f"{source}: every measure adds up in both editions\n")


def test_it_shows_what_the_language_can_do(here):
    """Its measures can be printed, and its names asked why."""
    run("new", "tea-tin", "--in", "boxes")
    assert run("measures", "boxes/tea-tin").exit_code == 0
    assert "4 marks at 50, 100, 150 and 200 mm" in run("why", "boxes/tea-tin", "panels").stdout


def test_nothing_is_overwritten(here):
    """A source that is there stays as it is."""
    run("new", "tea-tin")
    source = here / "tutorials" / "tea-tin" / "index.md"
    source.write_text("mine\n", encoding="utf-8")
    result = run("new", "tea-tin")
    assert result.exit_code == 2 and "tutorials/tea-tin/index.md is there already" in result.stderr
    assert source.read_text(encoding="utf-8") == "mine\n"


def test_photos_that_lie_there_already_stay(here):
    """A folder without a source takes one."""
    folder = here / "tutorials" / "tea-tin"
    folder.mkdir(parents=True)
    (folder / "strip.jpg").write_bytes(b"x")
    assert run("new", "tea-tin").exit_code == 0
    assert sorted(p.name for p in folder.iterdir()) == ["index.md", "strip.jpg"]


@pytest.mark.parametrize("slug",
                         ["Tea-Tin", "tea tin", "tea_tin", "-tea", "tea-", "tea--tin", "../tea", "tee-büchse",
                          "", "tea/tin",
                                  "a" * 61, "a" * 5000, "\x00"])
def test_what_cannot_be_part_of_an_address(here, slug):
    """Exit 2 with the way to write it, and nothing is made."""
    result = run("new", "--", slug)
    assert result.exit_code == 2 and "use small letters, digits and hyphens" in result.stderr
    assert list(Path().iterdir()) == []


def test_a_file_in_the_way(here):
    """Where a file has the name of a folder nothing can be written, and the file stays."""
    (here / "tutorials").write_text("a note\n", encoding="utf-8")
    result = run("new", "tea-tin")
    assert result.exit_code == 2 and "tutorials" in result.stderr
    (here / "boxes").mkdir()
    (here / "boxes" / "tea-tin").write_text("a note\n", encoding="utf-8")
    result = run("new", "tea-tin", "--in", "boxes")
    assert result.exit_code == 2 and "boxes/tea-tin is there already" in result.stderr
    assert (here / "boxes" / "tea-tin").read_text(encoding="utf-8") == "a note\n"


def test_a_family_in_dimensions_that_are_set(here):
    """--set gives dimensions, the others stay as the family has them; the source is clean."""
    result = run("new", "soap-tray", "--family", "tray", "--set", "rise=30mm", "--set", "long=150 mm")
    source = here / "tutorials" / "soap-tray" / "index.md"
    assert (result.exit_code, result.stderr) == (0, "") and "is written" in result.stdout
    front = yaml.safe_load(source.read_text(encoding="utf-8").split("\n---")[0])
    assert front["title"] == "Soap tray" and front["drawn_in"] == "mm"
    assert [front["lengths"][n]
            for n in ("long", "short", "rise", "splay")] == ["150 mm", "80 mm", "30 mm", "6 mm"]
    assert set(front["editions"]["in"]) == set(front["lengths"])
    assert run("check", source).stdout == f"{source}: every measure adds up in both editions\n"
    assert sorted(p.name for p in source.parent.iterdir()) == ["index.md"]


def test_a_family_asks_for_its_dimensions(here):
    """Without --set each is asked for, with what the family has; what cannot be read is asked for again."""
    result = run("new", "envelope", "--family", "envelope", "--drawn-in", "in", stdin="seven\n7 in\n")
    assert result.exit_code == 0 and "how long the edges of the square are [8 in]" in result.stdout
    assert "Error" in result.stdout + result.stderr
    text = (here / "tutorials" / "envelope" / "index.md").read_text(encoding="utf-8")
    front = yaml.safe_load(text.split("\n---")[0])
    assert front["drawn_in"] == "in" and front["lengths"]["side"] == "7 in" and "# of the square" in text
    assert list(front["editions"]) == ["mm"] and " mm for " in front["editions"]["mm"]["side"]


@pytest.mark.parametrize(("options", "status", "said"), [
    (["--family", "lidded-box", "--set", "wall=100 mm"], 1, "two tabs lie behind one long wall"),
    (["--family", "lidded-box", "--set", "wall"], 2, "write NAME=VALUE"),
    (["--family", "lidded-box", "--set", "wall=2 in"], 2, "is not in the system"),
    (["--family", "lidded-box", "--set", "hall=20 mm"], 2, "has no 'hall'"),
    (["--family", "lidded-box", "--set", "wall=20 mm", "--set", "wall=30 mm"], 2, "set twice"),
    (["--family", "boat"], 2, "'boat' is not one of"), (["--set", "wall=2 mm"], 2, "go with a --family"),
    (["--drawn-in", "in"], 2, "go with a --family")], ids=str)
def test_a_family_that_cannot_be_made(here, options, status, said):
    """Plain words, the exit status of a wrong source or a wrong use, and neither a file nor a
    folder is left.
    """
    result = run("new", "tea-tin", *options)
    assert result.exit_code == status and said in result.stderr.replace("\n", " "), result.stderr
    assert list(here.iterdir()) == []


def test_a_disk_that_takes_no_more(here, monkeypatch):
    """Where writing fails half-way nothing is left: no part of a file, and no folder that was made for it."""
    def full(*args):
        raise OSError(28, "No space left on device")
    monkeypatch.setattr("os.link", full)
    monkeypatch.setattr("os.rename", full)
    result = run("new", "tea-tin")
    assert result.exit_code == 2 and "no space left on device" in result.stderr
    assert list(here.iterdir()) == []

"""``foldgauge new``: a commented first source that builds."""
from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from tests.commands.running import run


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


@pytest.mark.parametrize("slug", ["Tea-Tin", "tea tin", "tea_tin", "-tea", "tea-", "tea--tin", "../tea", "tee-büchse", "", "tea/tin",
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

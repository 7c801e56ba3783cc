"""README.md and DEVELOPERS.md send their readers to what is there."""
from __future__ import annotations

import re

import pytest

from generator.commands.main import foldgauge
from tests.house.tracked_files import ROOT

PAGES = {name: (ROOT / name).read_text(encoding="utf-8") for name in ("README.md", "DEVELOPERS.md")}
MAKE = set(re.findall(r"^([a-z]+):", (ROOT / "Makefile").read_text(encoding="utf-8"), re.M))
MADE = "tea-tin"        # the tutorial that a reader of README.md is to make


@pytest.mark.parametrize("page", PAGES)
def test_the_files_named_are_there(page):
    """Where a page names a file or folder of the project, there is one."""
    named = set(re.findall(r"`((?:generator|theme|tests|tutorials|\.ci)/[\w./-]*)`", PAGES[page]))
    missing = sorted(name for name in named if not (ROOT / name).exists() and MADE not in name)
    assert named and not missing, missing


def test_every_command_is_in_the_readme():
    """The table of commands has each command of `foldgauge`, and no other."""
    listed = set(re.findall(r"^\| `foldgauge ([a-z-]+)", PAGES["README.md"], re.M))
    assert listed == set(foldgauge.commands)


@pytest.mark.parametrize("page", PAGES)
def test_the_commands_named_are_there(page):
    """Each `foldgauge …` and `make …` that a page names exists."""
    assert set(re.findall(r"\bfoldgauge ([a-z]+)\b", PAGES[page])) <= set(foldgauge.commands)
    assert set(re.findall(r"(?:`|^ *)make ([a-z]+)\b", PAGES[page], re.M)) <= MAKE


@pytest.mark.parametrize("name", ["site", "test"])
def test_the_two_commands_are_in_the_readme(name):
    """A stranger finds both commands on the first page, and the continuous build runs them."""
    assert f"make {name}" in PAGES["README.md"]
    assert re.search(rf"^make {name}$", (ROOT / ".ci/run").read_text(encoding="utf-8"), re.M)

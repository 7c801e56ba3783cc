"""foldgauge publish and changed: a year of a shelf under version control, and what must not happen."""
from __future__ import annotations

import json
import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from tests.commands.command_runner import SLEEVE, run, write
from tests.house.tracked_files import ROOT

SHELF = [f"sleeve-{number}" for number in range(1, 13)]
GIT = {**os.environ, "GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_SYSTEM": os.devnull,
       **{f"GIT_{who}_{what}": value for who in ("AUTHOR", "COMMITTER")
          for what, value in (("NAME", "The market stall"), ("EMAIL", "stall@example.org"))}}


def git(*words: str, at: Path = Path()) -> str:
    """Run git with no settings of this machine."""
    done = subprocess.run(["git", *words], cwd=at, env=GIT, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def edit(slug: str, old: str, new: str, folder: Path = Path("tutorials")) -> None:
    """Exchange a part of a source."""
    path = folder / slug / "index.md"
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def published(day: str, *more: str) -> str:
    """What foldgauge publish says; it must end well."""
    result = run("publish", "--day", day, *more)
    assert result.exit_code == 0, result.output
    return result.stdout


def changes(slug: str, *more: str) -> dict[str, dict]:
    """The editions of a tutorial as foldgauge changed tells them to programs."""
    result = run("changed", slug, "--json", *more)
    assert result.exit_code == 0, result.output
    one, = json.loads(result.stdout)["tutorials"]
    return one["editions"]


def kinds(edition: dict) -> set[str]:
    """In which kinds an edition has changed."""
    return {change["kind"] for change in edition["changes"]}


@pytest.fixture
def shelf(here: Path) -> Path:
    """Twelve sleeves, published on the first day of a year and committed."""
    for slug in SHELF:
        write(here / "tutorials", SLEEVE, slug)
    git("init", "-q", "-b", "main")
    said = published("2026-01-01")
    assert said.count("published, mm ") == len(SHELF)
    git("add", "-A")
    git("commit", "-qm", "Publish twelve sleeves")
    return here


def test_a_year(shelf: Path):
    """A wall in one edition, a word, a paper, a revert, a part of two, two working copies that merge."""
    assert run("changed").stdout.count("nothing has changed since") == len(SHELF)

    # a wall of the inch edition: the metric one has not moved
    edit("sleeve-1", "wall: 2 1/2 in", "wall: 2 3/8 in")
    found = changes("sleeve-1")
    assert not found["mm"]["changes"] and not found["mm"]["plan_moved"]
    assert found["in"]["plan_moved"] and kinds(found["in"]) >= {"measures", "pictures"}
    wall, = (each for each in found["in"]["changes"] if each["name"] == "length wall")
    assert (wall["before"], wall["after"]) == ("2 1/2 in", "2 3/8 in")
    old_mark = found["in"]["old_mark"]
    # the plan has moved, so a reason is asked for, and without one nothing is written
    refused = run("publish", "--day", "2026-02-01")
    assert refused.exit_code == 2 and "say --why" in refused.stderr
    assert git("status", "--porcelain").split() == ["M", "tutorials/sleeve-1/index.md"]
    said = published("2026-02-01", "--why", "The wall is lower, so that packets stand out.")
    assert said.count("published") == 1 and said.count("nothing has changed") == len(SHELF) - 1
    # the diff of the record can be read
    git("add", "-A")
    diff = git("diff", "--cached", "--", "tutorials/sleeve-1/record", "tutorials/published.txt")
    assert "+length wall: 2 3/8 in" in diff and "+why: The wall is lower, so that packets stand out." in diff
    git("commit", "-qm", "A lower wall")

    # a word: no reason is needed, both marks stay
    edit("sleeve-2", "Cut a strip", "Cut one strip")
    found = changes("sleeve-2")
    assert all(kinds(each) == {"words"} and not each["plan_moved"] for each in found.values())
    assert "no line moved; old prints are still good" in run("changed", "sleeve-2").stdout
    published("2026-03-01", "sleeve-2")

    # the old length again: the mark is that of the first plan, whose prints are good again
    edit("sleeve-1", "wall: 2 3/8 in", "wall: 2 1/2 in")
    assert changes("sleeve-1")["in"]["mark"] == old_mark
    published("2026-04-01", "--why", "Back to the first wall")
    assert not changes("sleeve-1", "--since", "2026-01-01")["in"]["changes"]
    assert changes("sleeve-1", "--since", "2026-02-01")["in"]["plan_moved"]
    git("add", "-A")
    git("commit", "-qm", "A word, and the first wall")


def test_two_working_copies(shelf: Path):
    """Both publish other changes of one tutorial, and merge: nothing is lost."""
    git("clone", "-q", ".", "copy")
    copy = shelf / "copy"
    edit("sleeve-3", "tab: 3/8 in", "tab: 7/16 in")
    published("2026-05-01", "--why", "A wider tab")
    git("add", "tutorials")
    git("commit", "-qm", "A wider tab")
    edit("sleeve-3", "title: A sleeve", "title: A sleeve for seeds", copy / "tutorials")
    edit("sleeve-4", "wall: 60 mm", "wall: 65 mm", copy / "tutorials")
    os.chdir(copy)
    published("2026-05-02", "--why", "A higher wall")
    git("add", "-A")
    git("commit", "-qm", "A higher wall")
    git("pull", "-q", "--no-rebase", "--no-edit", "origin", "main")
    # nothing is lost, and what the merge has made is neither of the two
    assert run("check", "tutorials").exit_code == 0
    text = run("changed", "sleeve-3").stdout
    assert "since" not in text.split("\n")[0] and "published on 2026-05-02" in text
    assert "tab: was 3/8 in, is 7/16 in" in text
    published("2026-05-03", "--why", "Both together")
    assert "nothing has changed since" in run("changed", "sleeve-3").stdout
    records = [path.name for path in (copy / "tutorials" / "sleeve-3" / "record").iterdir()]
    assert len(records) == 4
    assert len((copy / "tutorials" / "published.txt").read_text().split("\n")) == len(SHELF) + 4 + 1


def test_a_source_that_is_not_sound_is_not_published(here: Path):
    """Neither it nor its fellows; the finding says where."""
    write(here / "tutorials", SLEEVE, "sound")
    write(here / "tutorials", SLEEVE.replace("every(panel", "every(pannel"), "broken")
    result = run("publish", "--day", "2026-01-01")
    assert result.exit_code == 1 and "tutorials/broken/index.md:15:31: error" in result.output
    assert not list(here.rglob("record")) and not (here / "tutorials" / "published.txt").exists()


@pytest.mark.parametrize("command", [("publish", "--day", "2026-02-01"), ("changed",),
                                     ("check", "tutorials")])
def test_a_record_that_was_edited_is_an_error(here: Path, command):
    """All three commands name the file and the line, and write nothing."""
    write(here / "tutorials", SLEEVE, "sleeve")
    published("2026-01-01")
    path, = (here / "tutorials" / "sleeve" / "record").iterdir()
    path.write_text(path.read_text(encoding="utf-8").replace("wall: 60 mm", "wall: 61 mm"), encoding="utf-8")
    before = sorted(here.rglob("*"))
    result = run(*command)
    assert result.exit_code == 1 and f"tutorials/sleeve/record/{path.name}:7:1: error" in result.output
    assert "[record-edited]" in result.output and sorted(here.rglob("*")) == before


def test_history_is_not_rewritten(here: Path):
    """No day before the last one is taken."""
    write(here / "tutorials", SLEEVE, "sleeve")
    published("2026-03-01")
    edit("sleeve", "wall: 60 mm", "wall: 61 mm")
    result = run("publish", "--day", "2026-02-01", "--why", "A wall")
    assert result.exit_code == 1 and "was published on 2026-03-01 last" in result.output
    assert len(list((here / "tutorials" / "sleeve" / "record").iterdir())) == 1


def test_two_at_the_same_time_lose_nothing(here: Path):
    """Two processes publish different tutorials of one folder at the same instant."""
    slugs = ["one", "two", "three", "four"]
    for slug in slugs:
        write(here / "tutorials", SLEEVE, slug)
    code = ("import sys\nsys.argv[0] = 'foldgauge'\nfrom generator.commands.main import main\nmain()")

    def publish(slug: str) -> int:
        return subprocess.run([sys.executable, "-c", code, "publish", slug, "--day", "2026-01-01"], cwd=here,
                              env={**os.environ, "PYTHONPATH": str(ROOT)}, capture_output=True).returncode
    with ThreadPoolExecutor(len(slugs)) as pool:
        assert list(pool.map(publish, slugs)) == [0] * len(slugs)
    assert run("check", "tutorials").exit_code == 0
    assert sorted(line.split()[-1] for line in
                  (here / "tutorials" / "published.txt").read_text().splitlines()) == sorted(slugs)


def test_a_name_that_stands_for_nothing(here: Path):
    """A wrong use, told in one line."""
    write(here / "tutorials", SLEEVE, "sleeve")
    assert "there is no tutorial tin in tutorials" in run("changed", "tin").stderr
    assert "no tutorial has a revision ABCDEF" in run("changed", "--since", "ABCDEF").stderr
    assert run("changed").stdout == "sleeve: not published yet\n"

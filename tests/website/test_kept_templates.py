"""Templates of older plans stay where they can be had, for as many revisions as the site says."""
from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from tests.commands.command_runner import run
from tests.website.conftest import Project

CREDIT = "credit: {author: a friend, source: a letter, permission: to show it}\n"


def put(project: Project, old: str, new: str, day: str) -> None:
    """Change the source and publish it."""
    text = project.source.read_text(encoding="utf-8")
    assert old in text
    project.source.write_text(text.replace(old, new), encoding="utf-8")
    result = run("publish", "--day", day, "--why", "Another height.")
    assert result.exit_code == 0, result.output


def templates(project: Project) -> dict[str, bytes]:
    """The metric template on A4 of now, and those that bear a mark in their names."""
    assert project.build("--strict").exit_code == 0
    return {name.rpartition("/")[2]: data for name, data in project.files().items()
            if re.fullmatch(r"soap-sleeve/templates/soap-sleeve-mm-a4(-[0-9A-Z]{6})?\.pdf", name)}


@pytest.fixture
def kept(project: Project, monkeypatch: pytest.MonkeyPatch) -> Project:
    """A site that keeps one older template of each edition, published on the first of January."""
    monkeypatch.chdir(project.root)
    config = project.root / "mkdocs.yml"
    config.write_text(config.read_text(encoding="utf-8").replace(
        "[foldgauge]", "[foldgauge: {keep: 1, jobs: 1}]"), encoding="utf-8")
    put(project, "level: easy\n", f"level: easy\n{CREDIT}", "2026-01-01")
    return project


def test_the_last_template_stays_with_its_mark(kept, tmp_path):
    """The very file that was published; only as many as the site keeps, and none of a plan that is good."""
    first = templates(kept)
    own = first["soap-sleeve-mm-a4.pdf"]
    assert len(first) == 1
    put(kept, "high: 80 mm", "high: 81 mm", "2026-02-01")
    old, = (name for name in templates(kept) if name not in first)
    assert templates(kept)[old] == own
    page = kept.page("prints/index.html")
    links = page.xpath(f"//tr[@data-mark='{old[-10:-4]}']//a/@href")
    assert links == [f"../soap-sleeve/templates/{old}",
                     f"../soap-sleeve/templates/{old.replace('-a4-', '-letter-')}"]
    assert len(page.xpath("//tr[@data-mark]//a")) == 2          # the inch edition has not moved
    put(kept, "high: 81 mm", "high: 82 mm", "2026-03-01")
    assert old not in templates(kept)
    # what is kept lies under version control: a copy of the sources alone has it
    copy = Project(tmp_path / "copy")
    copy.root.mkdir()
    for name in ("mkdocs.yml", "tutorials", ".foldgauge"):
        place = kept.root / name
        (shutil.copytree if place.is_dir() else shutil.copy)(place, copy.root / name)
    assert templates(copy) == templates(kept)
    assert not [name for name in kept.files() if "/record/" in name]


def test_what_is_not_allowed_any_more_is_withheld(kept):
    """With another permission nobody can tell whether it holds for the old plan."""
    put(kept, "high: 80 mm", "high: 81 mm", "2026-02-01")
    before = templates(kept)
    put(kept, "permission: to show it", "permission: to show the new one", "2026-03-01")
    assert len(templates(kept)) == len(before) - 1


def test_a_template_that_was_edited_is_an_error(kept):
    """Check and build name it, and publish nothing."""
    path = next((kept.source.parent / "record" / "templates").glob("*-mm-a4-*.pdf"))
    path.write_bytes(path.read_bytes() + b" ")
    for result in (run("check", "tutorials"), kept.build()):
        assert result.exit_code == 1
        assert (f"tutorials/soap-sleeve/record/templates/{path.name}:1:1: error: this "
                "template" in result.output)


def test_nothing_is_set_aside_unless_the_site_keeps_it(project, monkeypatch):
    """Files of a hundred kB for each change are for those who want them."""
    monkeypatch.chdir(project.root)
    put(project, "high: 80 mm", "high: 81 mm", "2026-01-01")
    assert not Path("tutorials/soap-sleeve/record/templates").exists()

"""A year of a small site under version control: what commands, pages, feed and marks say of each change."""
from __future__ import annotations

import json
import shutil
from dataclasses import dataclass
from pathlib import Path

import pytest
from lxml import etree, html

from tests.commands.command_runner import run
from tests.commands.test_publish import git
from tests.commands.test_shared_things import PART
from tests.website.conftest import Project

pytestmark = pytest.mark.slow         # ten builds of a small site

BAND = """---
title: Band for {what}
summary: A band.
drawn_in: mm
lengths: {{panel: 40 mm, high: 30 mm, tab: 10 mm}}
editions: {{in: {{panel: 1 1/2 in, high: 1 1/4 in, tab: 3/8 in}}}}
papers: {{card: {{weight: 200 gsm}}}}
---

It goes round {what}.

## Cut

Cut a strip of {{{{ size(strip) }}}} and score it at {{{{ panels.marks }}}}.

```geometry
strip = sheet(width=2*panel + tab, height=high, paper=card)
panels = score(strip, x=every(panel, 2))
{more}
```
"""


@dataclass
class Stall:
    """The site of the market stall, in a repository of its own."""

    project: Project

    def edit(self, slug: str, old: str, new: str) -> None:
        """Exchange a part of a source, a part or the settings."""
        path = self.project.root / (slug if "." in slug else f"tutorials/{slug}/index.md")
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new), encoding="utf-8")

    def changed(self) -> dict[str, list[str]]:
        """What became of all tutorials since they were published."""
        result = run("changed", "--json")
        assert result.exit_code == 0, result.output
        return {name: slugs for name, slugs in json.loads(result.stdout)["outcomes"].items() if slugs}

    def publish(self, day: str, why: str) -> None:
        """Put it on record, build the site, commit."""
        result = run("publish", "--day", day, "--why", why)
        assert result.exit_code == 0, result.output
        assert self.changed() == {"unmoved": sorted(path.parent.name
                                                    for path in Path("tutorials").glob("*/index.md"))}
        self.build()
        git("add", "-A")
        git("commit", "-qm", why)

    def build(self) -> str:
        built = self.project.build("--strict")
        assert built.exit_code == 0, built.output
        return built.output

    def worth(self, title: str) -> list[list[str]]:
        """Of each mark on the page of prints below a title: the edition and what a print of it is worth."""
        page = self.project.page("prints/index.html")
        return [[" ".join(cell.split())
                 for cell in row.xpath("td/node()[not(self::ul)]/descendant-or-self::text()"
                                                                " | td/ul/li/text()") if cell.strip()]
                for row in page.xpath(f"//section[h2/a='{title}']//tr[@data-mark]")]

    def news(self) -> list[tuple[str, str]]:
        """The feed: of each entry the id and the day, the newest first."""
        feed = etree.fromstring(self.project.files()["feed.xml"])
        space = {"a": "http://www.w3.org/2005/Atom"}
        return [(each.findtext("a:id",
                               namespaces=space).split("/boxes/")[1].split("-")[0].split("#revision")[0],
                 each.findtext("a:updated", namespaces=space)[:10])
                 for each in feed.findall("a:entry", space)]

    def history(self, slug: str) -> str:
        """What stands under "What changed" on a tutorial's page."""
        text = self.project.page(f"{slug}/index.html").xpath(
            "string(//section[@aria-labelledby='the-changes'])")
        return " ".join(text.replace("\u00a0", " ").split())


@pytest.fixture
def stall(project: Project, monkeypatch: pytest.MonkeyPatch) -> Stall:
    """Three bands, of which two use a part; published on the first day of the year."""
    made, folder = Stall(project), project.root
    shutil.rmtree(made.project.source.parent)
    for slug, what, more in (("apples", "apples", ""), ("beans", "beans", "slots = slot(strip, at=panel/2)"),
                             ("candles", "candles", "slots = slot(strip, at=panel/4)")):
        (folder / "tutorials" / slug).mkdir()
        (folder / "tutorials" / slug / "index.md").write_text(BAND.format(what=what, more=more),
                                                                encoding="utf-8")
    (folder / "tutorials" / "parts").mkdir()
    (folder / "tutorials" / "parts" / "slot.md").write_text(PART, encoding="utf-8")
    (folder / ".gitignore").write_text(".foldgauge\nsite\n", encoding="utf-8")
    monkeypatch.chdir(folder)
    made.edit("mkdocs.yml", "plugins: [foldgauge]", "plugins:\n  - foldgauge: {jobs: 1}")
    git("init", "-q", "-b", "main")
    made.publish("2026-01-01", "first published")
    return made


CURRENT = "current since 2026-01-01"


def joined(rows: list[list[str]]) -> list[str]:
    """Rows in one line each."""
    return [" ".join(row).replace("\u00a0", " ") for row in rows]


def test_a_year(stall: Stall):
    """A wall, a weight, a word, a part, a revert, a new name, a bench; each told in all its places."""
    assert joined(stall.worth("Band for apples")) == [f"inches {CURRENT}", f"millimetres {CURRENT}"]
    assert [slug for slug, _ in stall.news()] == ["candles/", "beans/", "apples/"]

    # the height of one edition
    stall.edit("apples", "high: 1 1/4 in", "high: 1 1/8 in")
    assert stall.changed() == {"plan_moved": ["apples"], "unmoved": ["beans", "candles"]}
    assert "apples is not what is on record: since 2026-01-01 in the inch edition" in stall.build()
    stall.publish("2026-02-01", "Large apples.")
    assert joined(stall.worth("Band for apples")) == [
        "inches current since 2026-02-01",
        "inches no longer good, since these are elsewhere now since 2026-01-01 high: was 1 1/4 in, is 1 1/8 "
        "in "
        "strip: was 3 3/8 in × 1 1/4 in, is 3 3/8 in × 1 1/8 in", f"millimetres {CURRENT}"]
    assert stall.history("apples").startswith(
        "What changed 2026-02-01 Large apples. Inches: high: was 1 1/4 in")
    assert stall.news()[0] == ("apples/", "2026-02-01")

    # a weight and a word: nothing to cut anew
    stall.edit("beans", "200 gsm", "220 gsm")
    stall.edit("candles", "It goes round candles.", "It goes round all candles.")
    assert stall.changed() == {"print_moved": ["beans", "candles"], "unmoved": ["apples"]}
    stall.build()
    good = "still good: only words, paper or supplies have changed, no line moved since 2026-01-01"
    assert joined(stall.worth("Band for beans")) == [f"inches {good}", f"millimetres {good}"]
    stall.publish("2026-03-01", "Heavier card.")
    assert stall.history("beans") == (
        "What changed 2026-03-01 Heavier card. No line moved; old prints are still "
                                      "good.")
    assert [day for _, day in stall.news()] == ["2026-03-01"] * 2 + ["2026-02-01"] + ["2026-01-01"] * 3

    # a part moves those that use it, and no other
    stall.edit("tutorials/parts/slot.md", "edge=top", "edge=bottom")
    assert stall.changed() == {"plan_moved": ["beans", "candles"], "unmoved": ["apples"]}
    stall.publish("2026-04-01", "Slots below.")
    assert [len(stall.worth(f"Band for {what}")) for what in ("apples", "beans", "candles")] == [3, 4, 4]

    another_name_and_bench(stall)


def another_name_and_bench(stall: Stall) -> None:
    """The rest of the year."""
    # the first height again: its prints are good again, those in between are not
    stall.edit("apples", "high: 1 1/8 in", "high: 1 1/4 in")
    stall.publish("2026-05-01", "Small apples again.")
    assert joined(stall.worth("Band for apples"))[:2] == [
        f"inches {CURRENT}", "inches no longer good, since these are elsewhere now since 2026-02-01 high: "
                             "was "
        "1 1/8 in, is 1 1/4 in strip: was 3 3/8 in × 1 1/8 in, is 3 3/8 in × 1 1/4 in"]

    # another name: without a word of it the record is missed, with it everything goes on
    git("mv", "tutorials/apples", "tutorials/pears")
    refused = run("changed")
    assert refused.exit_code == 1 and "aliases: [apples]" in refused.stderr
    stall.edit("pears", "summary:", "aliases: [apples]\nsummary:")
    assert stall.changed() == {"unmoved": ["beans", "candles", "pears"]}
    stall.build()
    assert len(stall.worth("Band for apples")) == 3         # its title is as it was
    moved = html.fromstring(stall.project.files()["apples/index.html"])
    assert moved.xpath("//link[@rel='canonical']/@href") == ["https://stall.example/boxes/pears/"]
    assert moved.xpath("//meta[@http-equiv='refresh']/@content") == ["0; url=../pears/"]
    assert moved.xpath("//body//a/@href") == ["../pears/"] and not moved.xpath("//script")
    assert html.fromstring(stall.project.files()["apples/print/index.html"]).xpath("//a/@href") == [
        "../../pears/print/"]
    assert {ident for ident, _ in stall.news()} == {"apples/", "beans/", "candles/"}     # ids never change
    git("add", "-A")
    git("commit", "-qm", "Another name")

    # grooves farther apart: what does not fit them is named, the others are compared
    stall.edit("mkdocs.yml", "{jobs: 1}", "{jobs: 1, benches: {in: {board: 1 in}}}")
    result = run("changed")
    assert result.exit_code == 1 and "not sound, so not compared: beans, candles, pears" in result.stderr


def test_two_working_copies_merge(stall: Stall, monkeypatch: pytest.MonkeyPatch):
    """Each publishes another tutorial; after the merge both are on record, and the site has both."""
    git("clone", "-q", ".", "copy")
    shutil.copytree(".foldgauge", "copy/.foldgauge")
    copy = Stall(Project(stall.project.root / "copy"))
    stall.edit("apples", "tab: 3/8 in", "tab: 7/16 in")
    stall.publish("2026-06-01", "A wider tab.")
    monkeypatch.chdir(copy.project.root)
    copy.edit("beans", "high: 30 mm", "high: 32 mm")
    assert run("publish", "--day", "2026-06-02", "--why", "Higher beans.").exit_code == 0
    git("add", "-A")
    git("commit", "-qm", "Higher beans")
    git("pull", "-q", "--no-rebase", "--no-edit", "origin", "main")
    assert copy.changed() == {"unmoved": ["apples", "beans", "candles"]}
    copy.build()
    assert "2026-06-01 A wider tab." in copy.history("apples") and "2026-06-02 Higher beans." in copy.history(
        "beans")
    assert [day for _, day in copy.news()][:2] == ["2026-06-02", "2026-06-01"]

"""What a build has finished the next one takes as it is, unless anything that it is made from has changed."""
from __future__ import annotations

import json
import random
import shutil
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace

from PIL import Image

from generator.findings import Finding, Severity, Span
from generator.units import data_of, value_of
from generator.website.filters import FilterValues
from generator.website.finished import (
    FinishedPage,
    FinishedText,
    GalleryCard,
    SourcePack,
    TutorialEntry,
    contents_bytes,
    contents_from_bytes,
)
from generator.website.navigation import links_in

GERMAN = """\
---
title: Hülle für ein Stück Seife
summary: Eine Hülle mit einer Naht, die niemand sieht.
---

Seife will Luft.

## Den Streifen schneiden

Einen Streifen von {{ size(strip) }} schneiden.

## Die Flächen rillen

Bei {{ panels.marks }} rillen.

![Der Streifen auf dem Brett.](strip.png "Zwei Rillen")
"""
STORE = ".foldgauge/cache"


def test_a_pack_reads_back():
    """All kinds of fields, signs that no encoding has, and none at all."""
    span = Span("a/index.md", 3, 5, 2)
    pack = SourcePack(
        (Finding("off-grid", Severity.WARNING, "falls \ud800 between", span, "", "in"),),
        {"a/index.md": "text\x00"},
        (TutorialEntry("a/index.md", "Tüte", "s", changed="2026-05-02", steps=(("cut", "Cut"),),
                       photos=(("x.png", span),), files=("a/templates/a.pdf",)),),
        {"a/index.md": {"de": GalleryCard("<li>", "<tr>",
                                          FilterValues("easy", None, 90, (("rule", "Rule"),), 4,
                                                       (("A4", "A4"),),
                                                       ("", "20|30 40")), (40.5, 22.0))}},
        "facts", ("b/",))
    assert value_of(data_of(pack)) == pack
    page = FinishedPage("tutorial", "", "<p>\u2028", howto="{\ue010}")
    assert value_of(data_of(page)) == page
    text = FinishedText("<p>\udcff", (["A", "a", 1, []],), ("a",), {"b.md": {"x": "b.md#x"}})
    assert value_of(data_of(text)) == text
    files = {"a": b"\n\x00", "b/ü": b"", "c": b"[1]"}
    assert contents_from_bytes(contents_bytes(files)) == files


def test_whole_addresses_are_of_this_site(project):
    """What was finished for one address tells that of another, or of none, as soon as the settings say so."""
    config = project.root / "mkdocs.yml"
    text = config.read_text(encoding="utf-8")
    for site in ("https://stall.example/boxes/", "https://other.example/", ""):
        config.write_text(text.replace("https://stall.example/boxes/", site), encoding="utf-8")
        assert project.build("--strict").exit_code == 0
        page, printed = project.page("soap-sleeve/index.html"), project.page("soap-sleeve/print/index.html")
        own = [f"{site}soap-sleeve/"] if site else []
        assert page.xpath("//link[@rel='canonical']/@href") == own
        assert printed.xpath("//link[@rel='canonical']/@href") == own
        told = json.loads(page.xpath("//script[@type='application/ld+json']/text()")[0])
        assert (told.get("url"), told.get("image")) == (
            (own[0], f"{own[0]}share.png") if own else (None, None))
        assert [step.get("url", "").partition("#")[0] for step in told["step"]] == [*own, *own] or not own
        assert page.xpath("//meta[@property='og:image']/@content") == [f"{each}share.png" for each in own]
        line = printed.xpath("//dl[@class='colophon']/div")[-1]
        assert line.findtext("dd") == (own[0] if own else "../")
        assert ("hidden" in line.attrib) is not bool(own)


def test_links_are_addresses_below_the_site():
    """Anchors, whole addresses and pictures are none."""
    html = ('<a href="../about/#x">a</a> <a class="b" href="../../">b</a> <a href="https://x.example/">c</a> '
            '<a href="#d">d</a> <img src="e.png"> <a href="mailto:f">f</a>')
    assert list(links_in(html, "shelf/box/")) == ["shelf/about/", "./"]


def taken_as_it_is(root) -> tuple[int, str]:
    """A build in a process of its own: its status, and what it had loaded that only making pages needs."""
    code = ("import sys\nfrom mkdocs.__main__ import cli\n"
            f"cli(['build', '--strict', '-q', '-f', {str(root / 'mkdocs.yml')!r}],\n"
            "    standalone_mode=False)\n"
            "heavy = {'numpy', 'shapely', 'pydantic', 'svgwrite', 'pikepdf', 'fontTools'}\n"
            "print(sorted(heavy & set(sys.modules)))")
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    return done.returncode, done.stdout.strip()


def test_a_site_with_nothing_changed_is_taken_as_it_is(project, tmp_path_factory):
    """The same bytes, and neither plans nor pictures nor front matter have anybody to read them.

    Also in another folder to which the store went along, as where a site is built by a server for that.
    """
    assert project.build("--strict").exit_code == 0
    first = project.files()
    assert taken_as_it_is(project.root) == (0, "[]")
    assert project.files() == first
    moved = replace(project, root=tmp_path_factory.mktemp("elsewhere") / "checkout")
    shutil.copytree(project.root, moved.root)
    shutil.rmtree(moved.site)
    assert taken_as_it_is(moved.root) == (0, "[]")
    assert {name: data for name, data in moved.files().items() if not name.startswith("sitemap")} == {
        name: data for name, data in first.items() if not name.startswith("sitemap")}


def cold(project) -> dict[str, bytes]:
    """The site without anything from earlier builds."""
    store, aside = project.root / STORE, project.root / "aside"
    store.rename(aside)
    assert project.build("--strict").exit_code == 0
    for path in store.iterdir():
        path.unlink()
    store.rmdir()
    aside.rename(store)
    return project.files()


def edits(project) -> list[Callable[[], object]]:
    """Changes of everything that a page is made from; each may be done again and again."""
    source, config, folder = project.source, project.root / "mkdocs.yml", project.root / "tutorials"
    turn = iter(range(1000))

    def replaced(path, old, new):
        def change():
            text = path.read_text(encoding="utf-8")
            for a, b in ((old, new), (new, old)):
                if a in text:
                    path.write_text(text.replace(a, b), encoding="utf-8")
                    return
        return change

    def toggled(path, text):
        return lambda: path.unlink() if path.exists() else path.write_text(text, encoding="utf-8")

    return [
        replaced(source, "Soap wants air", "Soap needs air"),
        replaced(source, "panel: 60 mm", "panel: 62 mm"),
        replaced(source, "title: Sleeve", "title: Wrapper"), replaced(source, "level: easy", "level: hard"),
        replaced(source, "time: 20 min", "time: 25 min"),
        replaced(config, "The Saturday stall", "The stall"),
        replaced(config, "plugins: [foldgauge]", "plugins: [{foldgauge: {benches: {mm: {board: 10 mm}}}}]"),
        toggled(source.parent / "index.de.md", GERMAN),
        toggled(folder / "glossary.md", "# Our words\n\nTea.\n"),
        toggled(folder / "print-at-true-size.md", "# True size\n\nNo scaling.\n"),
        toggled(folder / "other.de.md", "# Anderes\n\nTee.\n"),
        lambda: Image.new("RGB", (40, 30 + next(turn)), "tan").save(source.parent / "strip.png"),
        replaced(folder / "about.md", "# The stall", "# Our stall"),
    ]


def test_whatever_changes_the_site_is_as_if_made_anew(project):
    """Fifty changes one after the other: each site has the bytes of one without anything kept."""
    assert project.build("--strict").exit_code == 0
    draw, found = random.Random(15), edits(project)
    for number in range(50):
        change = draw.choice(found)
        change()
        assert project.build("--strict").exit_code == 0, number
        warm = project.files()
        if number % 5 == 4:
            assert warm == cold(project), number


def test_a_changed_word_folds_draws_and_prints_nothing(project, monkeypatch):
    """English or German, with all that follows in other lines: only prose and pages are made anew."""
    german = project.source.parent / "index.de.md"
    german.write_text(GERMAN, encoding="utf-8")
    assert project.build("--strict").exit_code == 0
    for work in ("tutorial.folded_editions.fold", "tutorial.template_files.pdf",
                 "tutorial.template_files.cutting_svg", "website.print_files.pdf",
                 "website.print_files.pdf_bundle", "website.pictures.step_pictures",
                 "website.pictures.overview_picture", "website.pictures.fold_pictures",
                 "website.share_picture.share_picture", "tutorial.troubleshooting.analyse_tolerances",
                 "tutorial.batch_supplies.sheet_pictures"):
        monkeypatch.setattr(f"generator.{work}", None)
    for path, old, new in ((project.source, "Soap wants air", "Time passes.\n\nSoap needs air"),
                           (german, "Seife will Luft", "Es braucht Zeit.\n\nSeife braucht Luft")):
        path.write_text(path.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")
        result = project.build("--strict")
        assert result.exit_code == 0, result.output
    monkeypatch.undo()
    assert project.files() == cold(project)


def test_damage_to_the_store_changes_nothing(project):
    """A byte of each entry flipped, each cut off, each emptied, and each in the place of its neighbour."""
    assert project.build("--strict").exit_code == 0
    first, draw = project.files(), random.Random(7)
    for damage in ("flipped", "cut", "empty", "exchanged"):
        entries = sorted((project.root / STORE).iterdir())
        assert len(entries) > 6
        held = [entry.read_bytes() for entry in entries]
        for entry, data, other in zip(entries, held, held[1:] + held[:1], strict=True):
            at = draw.randrange(len(data))
            entry.write_bytes({"flipped": data[:at] + bytes([data[at] ^ 1 << draw.randrange(8)])
                               + data[at + 1:],
                               "cut": data[:at], "empty": b"", "exchanged": other}[damage])
        assert project.build("--strict").exit_code == 0, damage
        assert project.files() == first, damage


def test_a_page_in_which_fault_was_found_is_judged_again(project, edited):
    """A link that leads nowhere fails a strict build, and the next one too."""
    edited("../about.md", "../abut.md")
    assert project.build().exit_code == 0
    assert project.build("--strict").exit_code != 0
    assert project.build("--strict").exit_code != 0


def test_a_link_is_judged_again_where_its_target_goes(project):
    """The page was finished while about.md was there."""
    assert project.build("--strict").exit_code == 0
    (project.root / "tutorials" / "about.md").unlink()
    assert project.build("--strict").exit_code != 0


def test_a_hook_that_writes_in_texts_is_asked_each_time(project):
    """What a hook puts into pages may come from anywhere, so nothing is taken as finished."""
    hook = project.root / "hook.py"
    hook.write_text("import pathlib\nDAY = pathlib.Path(__file__).with_name('day.txt')\n"
                    "def on_page_markdown(markdown, **_):\n"
                    "    return markdown.replace('Soap', DAY.read_text())\n",
                    encoding="utf-8")
    config = project.root / "mkdocs.yml"
    config.write_text(config.read_text(encoding="utf-8") + "hooks: [hook.py]\n", encoding="utf-8")
    for day in ("Monday", "Tuesday"):
        (project.root / "day.txt").write_text(day, encoding="utf-8")
        assert project.build("--strict").exit_code == 0
        assert f"{day} wants air" in (project.site / "soap-sleeve" / "index.html").read_text(encoding="utf-8")

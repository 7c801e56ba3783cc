"""Sources that checked clean and then broke the build, or were published unreadable: each has its place."""
from __future__ import annotations

import pytest
from PIL import Image

from generator.findings import Span
from generator.language.source.files_beside import photo_fault, photo_findings
from generator.language.source.portable_names import folder_name_fault
from generator.locale import LANGUAGES
from generator.tutorial import load_text
from generator.units import default_bench
from generator.website.data_pages import DATA_PAGES
from tests.commands.command_runner import run
from tests.website.conftest import SLEEVE, THEME

BENCHES = {system: default_bench(system) for system in ("mm", "in")}
INTRO = "Soap wants air"
TITLE = "title: Sleeve for a bar of soap"
REFUSED = {
    "an address with half a bracket": (INTRO, "See [x](http://[x).\n\n", "link-refused", 12),
    "a list nested without end": (INTRO, "- " * 500 + "a\n\n", "too-deep", 12),
    "a list indented without end": (INTRO, "\t" * 500 + "- a\n\n", "too-deep", 12),
    "64 kB of links never closed": (INTRO, "[a](" * 16_000 + "\n\n", "too-much", 11),
    "tags never closed": (INTRO, "<a \n\n" * 10_000, "too-much", 11),
    "text that turns": (INTRO, "\u202e", "character-hidden", 12),
    "a bell": (INTRO, "\x07", "character-hidden", 12),
}


@pytest.mark.parametrize(("before", "added", "code", "line"), REFUSED.values(), ids=list(REFUSED))
def test_what_cannot_be_built_is_found(before, added, code, line):
    """One finding at its line; of 16,000 places at most three."""
    found = load_text(SLEEVE.replace(before, added + before), "box.md", BENCHES).findings
    assert {(each.code, each.line) for each in found} == {(code, line)}


def test_a_decoded_control_character_is_found():
    """What an escape in quotes stands for is looked at as it will be shown."""
    text = SLEEVE.replace(TITLE, 'title: "Sleeve \\x01 for \\u202e soap"')
    (found,) = load_text(text, "box.md", BENCHES).findings
    assert (found.code, found.line, found.column) == ("character-hidden", 2, 8)


@pytest.mark.parametrize("name", ["templates", "css", "js", "search", "con", "con.txt", "com1", "box.",
                                  ".box", "Box", "käse", "a b", "a" * 61, "de", "parts"])
def test_a_folder_that_no_page_can_stand_at(name):
    """Names of the site's own, of Windows' devices, and such as become another on another system."""
    assert folder_name_fault(name)


@pytest.mark.parametrize("name", ["tea-caddy", "box_2", "v1.2", "a", "0", "console", "com10"])
def test_a_folder_that_a_page_can_stand_at(name):
    """Small letters, digits, and hyphens, points or bars between them."""
    assert not folder_name_fault(name)


@pytest.mark.parametrize("name", ["con.md", "lid./a.md", "About.md", "soap-sleeve/con.png", "soap-sleeve.md",
                                  "käse/index.md", "con/index.md", "Soap-sleeve/index.md", "box./index.md",
                                  "a" * 61 + "/index.md", f"{'a' * 90}/{'b' * 90}.md", "lid/Index.md"])
def test_check_and_build_refuse_the_same_names(project, monkeypatch, name):
    """In the same words, at the same place: pages, photos, folders of tutorials, long paths."""
    place = project.root / "tutorials" / name
    place.parent.mkdir(exist_ok=True)
    place.write_bytes((project.source.parent / "strip.png").read_bytes() if place.suffix == ".png"
                      else project.source.read_bytes())
    monkeypatch.chdir(project.root)
    checked, built = run("check", "tutorials"), project.build()
    line, *_ = (row for row in checked.stdout.splitlines() if "-name]" in row)
    assert checked.exit_code == built.exit_code == 1 and not project.site.exists()
    assert line.split("error: ")[1] in built.output.replace("\n", " ") or line in built.output


def test_the_site_s_own_names_are_all_refused():
    """What stands at the root of the site beside the tutorials."""
    own = {*(page.name for page in DATA_PAGES), *(path.name for path in THEME.iterdir() if path.is_dir()),
           *LANGUAGES}
    assert not [name for name in own if not folder_name_fault(name)]


@pytest.mark.parametrize(("size", "kind"), [
    ((1, 65_000), "PNG"), ((6000, 5000), "PNG"), ((5100, 5000), "WEBP")])
def test_a_picture_that_no_page_can_show(tmp_path, size, kind):
    """As thin as a thread, longer than WebP knows, or more pixels than can be held twice."""
    path = tmp_path / f"photo.{kind.lower()}"
    Image.new("RGB", size).save(path, kind)
    fault = photo_fault(path)
    assert fault is not None and f"{size[0]} × {size[1]} pixels" in fault[0]


def test_photos_have_one_budget(tmp_path):
    """Each is small enough; the one with which they become too much together is named."""
    named = {tmp_path / f"{k}.png": Span("index.md", k + 1) for k in range(5)}
    for path in named:
        Image.new("L", (5000, 5000)).save(path)
    (found,) = photo_findings(named)
    assert (found.code, found.line) == ("photo-wrong", 4) and "100 million pixels together" in found.message


def test_settings_with_hidden_characters_are_refused(project):
    """They would stand in the feed, which then is no XML; and the site's own name has its place."""
    config = project.root / "mkdocs.yml"
    config.write_text(config.read_text(encoding="utf-8").replace(
        "site_name: The Saturday stall", 'site_name: "The \\x01 stall"'), encoding="utf-8")
    result = project.build()
    assert result.exit_code == 1 and "mkdocs.yml: site_name holds U+0001, which nobody sees" in result.output


def test_a_typed_measure_fails_a_strict_build_alone(project, edited):
    """In a preview it is a hint; what goes out says no measure that nothing computes."""
    edited("Soap wants air", "Soap of 60 mm wants air")
    assert project.build().exit_code == 0
    result = project.build("--strict")
    assert result.exit_code == 1 and "error: " in result.output and "[measure-typed]" in result.output

"""Of a tutorial's folder its pages and named photos are published, and nothing of the rest of the machine."""
from __future__ import annotations

import os
from pathlib import Path

import pytest
from PIL import Image

SECRET = b"the price of Rosa's kitchen"
BESIDE = ("notes.md", "costs.xlsx", "x.html", "x.js", "drawing.svg", "index.md~", "README.txt", "own.css",
          "raw/7.tif",
          "raw/index.html", "raw/notes.md", "feed.xml", "strip.png.bak",
          "data.json",
          "con.pdf", "space here.md", "print.html")


def lay(path: Path, data: bytes = SECRET) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)


def photo(path: Path, colour: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    Image.new("RGB", (40, 30), colour).save(path)


def test_what_lies_beside_a_source_stays_there(project):
    """Notes, tables, scripts, pages, copies: the site is to the byte as without them."""
    assert project.build("--strict").exit_code == 0
    before = project.files()
    for name in BESIDE:
        lay(project.source.parent / name)
    photo(project.source.parent / "blurred.png", "red")
    photo(project.source.parent / "raw" / "strip.png", "red")
    result = project.build("--strict")
    assert result.exit_code == 0, result.output
    assert project.files() == before


def test_named_photos_are_published_wherever_in_the_folder_they_lie(project, edited):
    """In folders of their own, within a sentence, with spaces, named by the German telling alone."""
    for name in ("photos/one.png", "two.jpg", "three here.webp", "four.png"):
        photo(project.source.parent / name, "tan")
    edited("Soap wants air:",
           "![One](photos/one.png)\n\nSoap ![Two](two.jpg) wants air ![3](<three here.webp>):")
    text = project.source.read_text(encoding="utf-8")
    head, rest = text.split("\nSoap", 1)[0].split("![One]")[0], text[text.index("## Cut"):]
    german = f"{head}\n![Vier](four.png)\n\n{rest}"
    german = "\n".join(row for row in german.split("\n")
                       if row.startswith(("---", "title", "summary", "![", "##")))
    (project.source.parent / "index.de.md").write_text(german, encoding="utf-8")
    result = project.build()
    assert result.exit_code == 0, result.output
    assert {"soap-sleeve/photos/one.png", "soap-sleeve/two.jpg", "soap-sleeve/three here.webp",
            "soap-sleeve/four.png", "soap-sleeve/strip.png"} <= set(project.files())


def test_a_link_to_what_is_not_published_is_told(project, edited):
    """A strict build does not pass, with the name in its message: no page leads nowhere."""
    lay(project.source.parent / "costs.xlsx")
    edited("../about.md", "costs.xlsx")
    result = project.build("--strict")
    assert result.exit_code == 1 and "costs.xlsx" in result.output and not project.site.exists()


@pytest.mark.parametrize("name", ["strip.svg", "strip.avif", "strip.tiff", "strip.jfif", "strip.gif"])
def test_a_picture_that_is_no_photo_is_refused_where_it_is_named(project, edited, name):
    """What is not made anew from its pixels may hold scripts and places."""
    lay(project.source.parent / name)
    edited("strip.png", name)
    result = project.build()
    assert (result.exit_code == 1
            and f"“{name}”: pages show no picture of this kind [photo-wrong]" in result.output)
    assert "soap-sleeve/index.md:2" in result.output and not project.site.exists()


def test_a_photo_that_is_not_published_may_be_broken(project):
    """Nobody is kept from building by what nobody sees."""
    lay(project.source.parent / "torn.jpg")
    assert project.build("--strict").exit_code == 0


@pytest.mark.parametrize("place", ["soap-sleeve/strip.png", "soap-sleeve/index.md", "soap-sleeve/index.de.md",
                                   "soap-sleeve/notes.txt", "about.md", "other", "soap-sleeve/raw",
                                   "css/own.css",
                                   "parts/own.md", "parts"])
@pytest.mark.parametrize("target", ["file", "folder", "nothing", "inside"])
def test_no_link_is_followed(project, tmp_path_factory, place, target):
    """A link to a file or folder of the machine, to nothing, to another file of the site: an error at its
    name, and not a byte of what it leads to in what is printed or published.
    """
    elsewhere = tmp_path_factory.mktemp("machine")
    lay(elsewhere / "index.md", b"---\ntitle: " + SECRET + b"\n---\n\n# " + SECRET)
    leads = {"file": elsewhere / "index.md", "folder": elsewhere, "nothing": elsewhere / "none",
             "inside": Path(os.path.relpath(project.root / "mkdocs.yml",
                                            (project.source.parents[1] / place).parent))}
    link = project.source.parents[1] / place
    link.parent.mkdir(exist_ok=True)
    link.unlink(missing_ok=True)
    link.symlink_to(leads[target])
    result = project.build()
    assert result.exit_code == 1 and f"tutorials/{place}:1:1: error: “{link.name}” is a link" in result.output
    assert SECRET.decode() not in result.output and not project.site.exists()


def test_a_link_that_is_left_out_stays(project, tmp_path_factory):
    """What mkdocs.yml keeps out of the site, and hidden files such as those of editors, may be links."""
    lay(tmp_path_factory.mktemp("machine") / "x.html")
    (project.source.parent / "raw").symlink_to(tmp_path_factory.getbasetemp() / "machine0")
    (project.source.parent / ".#index.md").symlink_to("rosa@stall.4711")
    with (project.root / "mkdocs.yml").open("a", encoding="utf-8") as config:
        config.write("exclude_docs: raw\n")
    assert project.build("--strict").exit_code == 0
    assert not [name for name in project.files() if "raw" in name.split("/")]

"""What lies beside a source is judged by ``foldgauge check`` as the build judges it."""
from __future__ import annotations

import pytest
from PIL import Image

from tests.commands.command_runner import SLEEVE, run, write

PHOTO = "\n![The strip on the board](strip.png)\n"
SITE = "site_name: Boxes\ndocs_dir: tutorials\nexclude_docs: /sleeve/notes.txt\n"


@pytest.fixture
def source(here):
    """A tutorial that shows a photo, in a project."""
    (here / "mkdocs.yml").write_text(SITE, encoding="utf-8")
    path = write(here / "tutorials", SLEEVE + PHOTO)
    Image.new("RGB", (40, 30), "tan").save(path.parent / "strip.png")
    return path


@pytest.mark.parametrize("paths", [["tutorials"], ["tutorials/sleeve"], ["tutorials/sleeve/index.md"]])
def test_what_is_sound_passes(source, paths):
    """A photo that is one, and a link that stays out of the site."""
    (source.parent / "notes.txt").symlink_to("../../mkdocs.yml")
    assert run("check", *paths).exit_code == 0


@pytest.mark.parametrize("paths", [["tutorials"], ["tutorials/sleeve"], ["tutorials/sleeve/index.md"]])
def test_a_photo_that_is_none_is_found_where_it_is_named(source, paths):
    """With the line that shows it."""
    (source.parent / "strip.png").write_bytes(b"This is no picture.")
    result = run("check", *paths)
    assert result.exit_code == 1
    assert ("tutorials/sleeve/index.md:18:1: error: “strip.png”: this file cannot be read as a photo "
            "[photo-wrong]") in result.stdout and "![The strip on the board]" in result.stdout


def test_a_picture_of_another_kind_is_found(source):
    """By its name alone."""
    source.write_text(SLEEVE + PHOTO.replace("png", "svg"), encoding="utf-8")
    (source.parent / "strip.svg").write_text("<svg/>", encoding="utf-8")
    assert "pages show no picture of this kind [photo-wrong]" in run("check", "tutorials").stdout


@pytest.mark.parametrize("name", ["sleeve/costs.txt", "sleeve/strip.png", "sleeve/more", "parts"])
def test_a_link_to_another_place_is_found(source, name):
    """A file, the photo itself, a folder, and the folder of parts of the site's own."""
    place = source.parents[1] / name
    place.unlink(missing_ok=True)
    (source.parents[2] / "album").mkdir()
    place.symlink_to(source.parents[2] / ("album" if "." not in name else "mkdocs.yml"))
    result = run("check", "tutorials/sleeve")
    assert result.exit_code == 1
    assert (f"tutorials/{name}:1:1: error: “{place.name}” is a link to another place [file-linked]"
            in result.stdout)


def test_links_of_other_tutorials_and_of_no_project_are_left_alone(source):
    """What is asked for is judged, and nothing is published from where there is no site."""
    write(source.parents[1], slug="tray").with_name("costs.txt").symlink_to("../../mkdocs.yml")
    assert run("check", "tutorials/sleeve").exit_code == 0 and run("check", "tutorials").exit_code == 1
    (source.parents[2] / "mkdocs.yml").unlink()
    assert run("check", "tutorials").exit_code == 0

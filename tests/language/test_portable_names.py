"""Names are judged alike on every system: what one cannot hold, or tell from another, none may have."""
from __future__ import annotations

import unicodedata
from pathlib import Path

import pytest

from generator.language.source.portable_names import holds_file, name_fault, name_findings
from generator.tutorial import load
from tests.commands.command_runner import SLEEVE, write
from tests.language.small_tutorials import BENCHES

COMPOSED, APART = unicodedata.normalize("NFC", "tür.md"), unicodedata.normalize("NFD", "tür.md")


# learn.microsoft.com, "Naming Files, Paths, and Namespaces": devices with any ending, nine signs, final
# points
@pytest.mark.parametrize("name", [
    "con", "CON.md", "aux.tar.gz", "Nul.png", "com1.md", "LPT9", "com¹", "box.", "box ", " box.md", "a:b.jpg",
    "a?.md", "a*.md", "a\"b", "a|b", "a<b", "a>b", "a\\b", "a\x07b", "a\udcff.md", "é" * 61, "a" * 121,
    "Index.md", "INDEX.MD", "index.DE.md"])
def test_names_that_some_system_cannot_hold(name):
    """Devices, signs and endings of Windows, names that grow too long, a source in capitals."""
    assert name_fault(name)


@pytest.mark.parametrize("name",
                         ["about.md", "Käse und Brot.jpg", "console.md", "com10.md", "v1.2.png", "README.md",
                                  "index.de.md", "a" * 120, "é" * 60, "con-tent", "nul_1.jpg"])
def test_names_that_every_system_holds(name):
    """Letters of any writing, spaces within, capitals."""
    assert not name_fault(name)


def told(folder: Path, *names: str) -> list[tuple[str, str]]:
    """Make these files; what is said of them, by file."""
    for name in names:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text("text")
    found = name_findings(folder, lambda path: path.relative_to(folder).as_posix(),
                          lambda uri: "left" not in uri)
    return [(each.file, each.message) for each in found]


@pytest.mark.parametrize(("names", "file", "message"), [
    (("About.md", "about.md"), "about.md", "“about.md” is one with “About.md” on some systems"),
    ((APART, COMPOSED), COMPOSED, "is one with"),
    (("Guides/a.md", "guides/b.md"), "guides", "“guides” is one with “Guides” on some systems"),
    (("lid/index.md", "lid.md"), "lid/index.md", "“index.md” has the address of “lid.md”"),
    (("lid/index.md", "Lid.md"), "lid/index.md", "“index.md” has the address of “Lid.md”"),
    (("aux/a.md", "aux/b.md"), "aux", "“aux” is a name that no Windows computer can give"),
    (("lid/index.md", "lid/con.jpg"), "lid/con.jpg", "“con.jpg” is a name that no Windows computer can give"),
    (("parts/nul.md",), "parts/nul.md", "“nul.md” is a name that no Windows computer can give"),
    (("lid/Index.md",), "lid/Index.md", "since it is written with capitals"),
    (("a" * 90 + "/" + "b" * 90 + ".md",), "a" * 90 + "/" + "b" * 90 + ".md", "more than 160 signs"),
])
def test_each_is_told_once_at_its_file(tmp_path, names, file, message):
    """The second of two that are alike; a folder once, whatever lies in it."""
    (found,) = told(tmp_path, *names)
    assert found[0] == file and message in found[1]


def test_what_is_not_read_is_not_judged(tmp_path):
    """Notes beside a source, what settings leave out, hidden files, the folders of tutorials themselves."""
    assert told(tmp_path, "lid/index.md", "lid/notes?.txt", "lid/Notes?.txt", "lid/About.md", "lid/about.md",
                "left/con.md", ".git/aux", "con/index.md", "guides/index.md", "guides.txt") == []


def test_a_photo_is_there_under_its_very_name(tmp_path, monkeypatch):
    """On a disk that takes capitals for small letters too, where the system finds it under any."""
    write(tmp_path, SLEEVE + "\n![The strip](photos/Strip.png)\n")
    place = tmp_path / "sleeve" / "photos"
    place.mkdir()
    (place / "strip.png").write_bytes(b"")
    monkeypatch.setattr(Path, "is_file", lambda path: path.exists()
                        or path.with_name(path.name.lower()).exists())
    assert (place / "Strip.png").is_file()
    found = load(tmp_path / "sleeve" / "index.md", "index.md", BENCHES).findings
    assert [each.code for each in found] == ["photo-missing"]
    assert holds_file(place.parent, "photos/strip.png") and not holds_file(place.parent, "Photos/strip.png")

"""What is older than its tutorial is said where it is: photos, and steps of translations."""
from __future__ import annotations

from pathlib import Path

import pytest

from generator.tutorial import load
from generator.tutorial.records import Photo, Tutorial
from tests.commands.command_runner import here as here
from tests.commands.command_runner import run
from tests.tutorial.small_source import BENCHES, STANDING, source

FRONT = """---
title: A sleeve
summary: It holds seeds.
drawn_in: mm
counts: {sides: 4}
lengths: {panel: 30 mm, wall: 60 mm, tab: 10 mm}
tools: {hole: {mm: 3 mm, in: 1/8 in}}
editions: {in: {panel: 1 1/4 in, wall: 2 1/2 in, tab: 3/8 in}}
papers: {card: {weight: 200 gsm, thickness: 0.26 mm}}
photos: {done.jpg: {sides: 4, wall: 2 1/2 in, hole: 3 mm}}
---
"""
FENCE = STANDING + "\nhole_row = punch(strip, x=panel/2, y=wall/2, diameter=hole)"
PROSE = 'Cut the sleeve {{ size(strip) }}.\n\n![The sleeve](done.jpg "It stands.")'
GERMAN = """---
title: Eine Hülse
summary: Sie fasst Samen.
names: {strip: Streifen, panels: Felder, hole_row: Loch}
---

Sie fasst Samen.

## Mach sie

Schneide die Hülse {{ size(strip) }}.

![Die Hülse](done.jpg)
"""


def write(folder: Path, front: str = FRONT, prose: str = PROSE, german: str | None = GERMAN) -> Path:
    """The sleeve with its photo in a folder of tutorials."""
    place = folder / "tutorials" / "sleeve"
    place.mkdir(parents=True, exist_ok=True)
    (place / "index.md").write_text(source(FENCE, prose, front), encoding="utf-8")
    (place / "done.jpg").write_bytes(b"")
    if german is not None:
        (place / "index.de.md").write_text(german, encoding="utf-8")
    return place / "index.md"


def loaded(path: Path) -> tuple[list[tuple[str, str]], Tutorial, Tutorial]:
    """What is found of staleness, the tutorial, and the same in German."""
    found = load(path, "index.md", BENCHES)
    assert found.tutorial is not None, found.findings
    return ([(str(each.span), each.message) for each in found.findings if "stale" in each.code],
            found.tutorial,
            found.translations["de"])


def caption(tutorial: Tutorial) -> str:
    photo, = (part for part in tutorial.steps[0].prose if isinstance(part, Photo))
    return photo.title


def test_a_photo_of_now_has_its_own_caption(tmp_path):
    """Counts, lengths and sizes of tools are as they were."""
    found, english, german = loaded(write(tmp_path))
    assert not found and caption(english) == "It stands." and caption(german) == ""


@pytest.mark.parametrize(("old", "new", "place", "message", "english", "german"), [
    ("sides: 4}", "sides: 5}", "10:28", "“sides” 4, which is now 5", "sides at 4, now 5", "sides 4, jetzt 5"),
    ("wall: 2 1/2 in, tab", "wall: 2 3/8 in, tab", "10:37", "“wall” 2 1/2 in, which is now 2 3/8 in",
     "wall at 2 1/2 in, now 2 3/8 in", "wall 2 1/2 Zoll, jetzt 2 3/8 Zoll"),
    ("mm: 3 mm, in", "mm: 4 mm, in", "10:53", "“hole” 3 mm, which is now 4 mm", "hole at 3 mm, now 4 mm",
     "hole 3 mm, jetzt 4 mm")])
def test_an_old_photo_says_what_it_shows(tmp_path, old, new, place, message, english, german):
    """A warning at the value, and a caption in each language."""
    assert old in FRONT
    found, own, translated = loaded(write(tmp_path, FRONT.replace(old, new)))
    assert found == [(f"index.md:{place}", f"the photo “done.jpg” shows {message}")]
    assert caption(own) == f"It stands. The photo still shows {english}."
    assert caption(translated) == f"Auf dem Foto ist noch {german}."


def test_a_number_without_a_unit_is_no_length(tmp_path):
    """Of counts alone numbers are known."""
    path = write(tmp_path, FRONT.replace("wall: 2 1/2 in, hole", "wall: 60, hole"))
    found, = (each for each in load(path, "index.md", BENCHES).findings if each.code == "name-unknown")
    assert found.message == "“wall” is a length, and 60 alone has no unit"


def test_a_translation_follows_the_words_of_now(here):
    """Unnoted nothing is known; once noted, a changed step is found and said, until it is noted again."""
    path = write(here)
    write(here, prose=PROSE.replace("Cut the", "Now cut the"))
    assert loaded(path)[0] == []
    write(here)
    before = path.with_name("index.de.md").read_text(encoding="utf-8")
    result = run("translated", "sleeve")
    assert result.exit_code == 0 and result.stdout == ("tutorials/sleeve/index.de.md: follows the words of "
                                                       "now\n")
    noted = path.with_name("index.de.md").read_text(encoding="utf-8")
    kept = [line for line in noted.split("\n") if not line.startswith("follows:")]
    assert kept == before.split("\n") and loaded(path)[0] == []
    # a measure is computed in each language; a word is not
    write(here, FRONT.replace("wall: 60 mm", "wall: 62 mm"), german=None)
    assert loaded(path)[0] == []
    write(here, FRONT.replace("It holds seeds.", "It holds all seeds."),
          PROSE.replace("Cut the", "Now cut the"),
          german=None)
    found, english, german = loaded(path)
    assert found == [
        ("index.de.md:1:1", "title, summary, supplies or introduction of the tutorial has changed since this "
                            "was "
                            "translated"),
        ("index.de.md:10:1", "step 1 “Make it” of the tutorial has changed since this was translated")]
    assert german.steps[0].notes[0] == (
        "Dieser Schritt ist auf Englisch geändert worden, seit er übersetzt wurde.",)
    assert german.intro[0] == "Der englische Text ist geändert worden, seit dies übersetzt wurde.\n\n"
    assert not english.steps[0].notes
    assert run("translated", "sleeve", "--language", "de").exit_code == 0 and loaded(path)[0] == []


def test_a_translation_that_is_not_there(here):
    """A wrong use."""
    write(here, german=None)
    assert run("translated", "sleeve").exit_code == 2
    assert "has no translation into fr" in run("translated", "sleeve", "--language", "fr").stderr


def test_an_author_may_refuse_what_is_stale(here):
    """With the option the warning is an error of check, as of the build."""
    write(here, FRONT.replace("sides: 4}", "sides: 5}"))
    (here / "mkdocs.yml").write_text("docs_dir: tutorials\nplugins: [foldgauge: {stale: error}]\n",
                                     encoding="utf-8")
    (here / "tutorials" / "sleeve" / "done.jpg").unlink()
    result = run("check", "tutorials")
    assert result.exit_code == 1 and "error: the photo “done.jpg” shows" in result.stdout

"""A tutorial in two languages stands on one geometry: the same plans, the same numbers, the same links."""
from __future__ import annotations

import re
from pathlib import Path

import pytest

from generator.drawing.steps.step_picture import step_pictures
from generator.tutorial import ComputedValue, load, load_text
from generator.tutorial.prose_evaluation import plain_text
from generator.tutorial.translation import TranslationSource
from generator.website.pictures import overview
from tests.tutorial.small_source import BENCHES, STANDING, source

TUTORIALS = Path(__file__).parents[2] / "tutorials"
CADDY = TUTORIALS / "tea-caddy" / "index.md"
FRONT = "---\ntitle: Eine Hülle\nnames: {strip: Streifen, panels: Rillen, card: Karton}\n---\n\nFür Samen.\n"
STEP = ("\n## Mach sie\n\nSchneide {{ size(strip) }}, rille bei {{ panels.marks }}: {{ words(sides) }} "
        "Seiten, Lasche {{ tab }}.\n")


@pytest.fixture(scope="module")
def caddy():
    """The tea caddy with its translations."""
    found = load(CADDY, "caddy/index.md", BENCHES)
    assert found.tutorial is not None, found.findings
    return found


def told(text: str, code: str = "de"):
    """The small source with one translation."""
    return load_text(source(STANDING), "box/index.md", BENCHES,
                     translations=(TranslationSource(code, f"box/index.{code}.md", text),))


def _figures(text: str) -> list[str]:
    return re.findall(r"\d+(?: \d+/\d+|/\d+)?", text.replace(",", "."))


def test_both_languages_stand_on_the_same_plans(caddy):
    """The translation has the very same plans, folds, revision mark and anchors."""
    english, german = caddy.tutorial, caddy.translations["de"]
    assert (german.plans is english.plans and german.folds is english.folds
            and german.revisions == english.revisions)
    assert [s.anchor for s in german.steps] == [s.anchor for s in english.steps]
    assert [s.title for s in german.steps] != [s.title for s in english.steps]
    assert german.front.title != english.front.title and german.locale.code == "de"


@pytest.mark.parametrize("folder", sorted(path.parent.name for path in TUTORIALS.glob("*/index.de.md")))
def test_both_languages_say_the_same_numbers(folder):
    """Nothing is wrong, every step quotes the same expressions, and each says the same figures in both
    systems.
    """
    found = load(TUTORIALS / folder / "index.md", f"{folder}/index.md", BENCHES)
    assert not [f for f in found.findings if f.file.endswith(".de.md")]
    for mine, theirs in zip(found.tutorial.steps, found.translations["de"].steps, strict=True):
        first, second = ({part.expression: part for part in step.prose if isinstance(part, ComputedValue)}
                         for step in (mine, theirs))
        assert first.keys() == second.keys(), mine.title
        for expression, inlay in first.items():
            for system in ("mm", "in"):
                assert (_figures(inlay.wordings[system].text)
                        == _figures(second[expression].wordings[system].text.replace("Zoll", ""))), expression


def test_everything_that_is_said_of_the_plans_is_german(caddy):
    """Facts, supplies, tools, cautions and pictures: with the same figures, and no word of English."""
    english, german = caddy.tutorial, caddy.translations["de"]
    assert german.tools[0].name == "Rillbrett" and german.cautions[0].title == "Klingen"
    assert [f.label for f in german.facts][0] == "Fertige Größe"
    assert "Zoll" in plain_text(german.supplies[0], "in")
    assert "200\N{NO-BREAK SPACE}g/m²" in plain_text(german.supplies[0], "mm")    # DIN 5008 (from memory)
    for picture, same in zip(overview(german), overview(english), strict=True):
        assert (picture.key == same.key and "Streifen" in picture.title
                and "strip" not in picture.description.lower())
        assert all(_figures(picture.told[system]) == _figures(same.told[system]) for system in ("mm", "in"))
    assert "acht Rillen" in step_pictures(german.drawn, german.regauged, 2, german.locale)[0].title


def test_a_sound_translation_is_made():
    """Nothing is found, and the German words are there."""
    loaded = told(FRONT + STEP)
    assert [f.code for f in loaded.findings] == []
    made = loaded.translations["de"]
    assert plain_text(made.steps[0].prose, "mm").split() == (
        "Schneide 130 mm × 60 mm, rille bei 30, 60, 90 und 120 mm: vier Seiten, Lasche 10 mm.".split())


@pytest.mark.parametrize(("text", "code", "line"), [
    (FRONT, "translation-steps", 6),
    (FRONT + STEP + "\n## Zu viel\n\nNoch mehr.\n", "translation-steps", 12),
    (FRONT + STEP + "\n```geometry\nx = 2*panel\n```\n", "translation-geometry", 12),
    (FRONT + STEP.replace("{{ tab }}", "{{ tabb }}"), "name-unknown", 10),
    (FRONT.replace("title:", "lengths: {a: 1 mm}\ntitle:") + STEP, "front-key", 2),
    (FRONT.replace("card: Karton", "card: Karton, cord: Kordel") + STEP, "name-unknown", 3),
    (FRONT.replace(", card: Karton", "") + STEP, "translation-names", 3),
    (FRONT + STEP.replace("{{ tab }}", "10 mm"), "measure-typed", 10),
    (FRONT + STEP.replace("{{ tab }}", "1,5 cm"), "measure-typed", 10),
    (FRONT + STEP.replace("{{ tab }}", "2 Zoll"), "measure-typed", 10),
    (FRONT + STEP.replace("{{ tab }}", "12 Millimeter"), "measure-typed", 10),
    (FRONT.replace("title: Eine Hülle\n", "") + STEP, "front-value", 1)])
def test_what_is_wrong_is_found_in_its_file(text, code, line):
    """At its line in the file of the translation, and nothing else is found."""
    loaded = told(text)
    assert [(f.code, f.file, f.line)
            for f in loaded.findings] == [(code, "box/index.de.md", line)], loaded.findings


TRAY = """tray = tray_blank(panel, panel, tab, paper=card)
rim = turned_scores(tray, tab)
fold(rim.lines, mountain)
finish(width=panel, height=tab)"""
TRAY_FRONT = FRONT.replace("strip: Streifen, panels: Rillen", "tray: Schale, NAMES")
TRAY_STEP = "\n## Mach sie\n\nSchneide {{ size(tray) }}, rille bei {{ rim.front.marks }}.\n"


@pytest.mark.parametrize(("names", "codes"), [
    ("left_side: links, front: vorne, right_side: rechts, back: hinten", []),
    ("rim.left_side: links, rim.front: vorne, rim.right_side: rechts, back: hinten", []),
    ("left_side: links, front: vorne, right_side: rechts", ["translation-names"]),
    ("left_side: links, front: vorne, right_side: rechts, back: hinten, rim.middle: Mitte",
     ["name-unknown"])])
def test_what_a_part_makes_has_words_too(names, codes):
    """By its whole name or by its last word; which is also what pictures say."""
    loaded = load_text(source(TRAY, "Cut the tray {{ size(tray) }}, score it at {{ rim.front.marks }}."),
                       "box/index.md", BENCHES,
                       translations=(TranslationSource("de", "box/index.de.md",
                                               TRAY_FRONT.replace("NAMES", names) + TRAY_STEP),))
    assert [f.code for f in loaded.findings if f.file.endswith(".de.md")] == codes, loaded.findings
    if not codes:
        assert loaded.translations["de"].locale.name("rim.front") == "vorne"


def test_a_language_without_words_is_refused():
    """A page in it would be half English."""
    loaded = told(FRONT + STEP, "fr")
    assert [f.code for f in loaded.findings] == ["translation-language"] and loaded.tutorial is None


def test_problems_of_both_files_come_in_one_run():
    """A wrong word in the source hides nothing of the translation."""
    broken = source(prose="Cut {{ size(stripp) }}.")
    loaded = load_text(broken, "box/index.md", BENCHES,
                       translations=(TranslationSource("de", "box/index.de.md", FRONT),))
    assert {f.file for f in loaded.findings} == {"box/index.md", "box/index.de.md"}
    front = broken.replace("title: A sleeve", "titel: A sleeve").replace("drawn_in: mm\n", "")
    loaded = load_text(front, "box/index.md", BENCHES,
                       translations=(TranslationSource("de", "box/index.de.md",
                                               FRONT + STEP + "\n```geometry\nx = 1\n```\n"),))
    assert {f.file for f in loaded.findings} == {"box/index.md", "box/index.de.md"}


def test_the_missing_step_is_named(caddy):
    """By its title and its line in the tutorial, and where it belongs: told by what the steps around it
    quote.
    """
    text = CADDY.with_name("index.de.md").read_text(encoding="utf-8")
    lines = text.split("\n")
    start, end = (next(i for i, row in enumerate(lines) if row.startswith(f"## {title}"))
                  for title in ("Loche", "Falze"))
    shorter = "\n".join([*lines[:start], *lines[end:]])
    loaded = load_text(CADDY.read_text(encoding="utf-8"), "caddy/index.md", BENCHES,
                       translations=(TranslationSource("de", "caddy/index.de.md", shorter),))
    missing, = (f for f in loaded.findings if f.code == "translation-steps")
    assert ("“Punch the holes” (index.md:" in missing.message
            and "before “Falze und falze nach”" in missing.message)
    assert missing.line == start + 1

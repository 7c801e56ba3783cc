"""The German pages of the built site: nothing of them is left in English (test_pages holds that they fit)."""
from __future__ import annotations

import re
from pathlib import Path
from string import Formatter

from lxml import html

from generator.locale import ENGLISH, locale_for
from tests.site.page_kinds import german

GERMAN = locale_for("de")
SAID = ("alt", "aria-label", "title", "content", "placeholder", "summary")
LEAST = 6       # letters of a stretch that is looked for; shorter ones stand in words of any language


def _stretches(language) -> set[str]:
    """What the catalogue says, without the places of values."""
    found = set()
    for key, entry in language.entries.items():
        if key.startswith("grammar.") or key.endswith(".found"):
            continue
        for text in [entry] if isinstance(entry, str) else entry.values():
            found |= {re.sub(r"^\W+|\W+$", "", part) for part, *_ in Formatter().parse(text)}
    return {text for text in found if len(re.sub(r"[^A-Za-z]", "", text)) >= LEAST}


def _words(page: Path) -> str:
    """Everything a page says in its own language: text, attributes, data for scripts."""
    tree = html.parse(page).getroot()
    for other in tree.xpath("//*[@lang and not(@lang='de')]|//script|//style|//code"):
        if other is not tree:
            other.drop_tree()
    attributes = [value for element in tree.iter() if isinstance(element.tag, str) for name,
                  value in element.attrib.items()
                  if name in SAID or name.startswith("data-") and " " in value]
    return " ".join([tree.text_content(), *attributes])


def test_there_are_german_pages(built_site):
    """The caddy with its print view, the gallery, and the pages made from data."""
    assert {"de/", "tea-caddy/de/", "tea-caddy/de/print/", "glossary/de/", "bench/de/", "rules/de/",
            "search/de/"} <= set(german(built_site))


def test_nothing_is_left_in_english(built_site):
    """No stretch of the English catalogue stands on a German page, unless the German one has it too."""
    theirs = " ".join(text for entry in GERMAN.entries.values()
                      for text in ([entry] if isinstance(entry, str) else entry.values()))
    sought = sorted(text for text in _stretches(ENGLISH) if text not in theirs)
    assert len(sought) > 150
    pattern = re.compile(rf"(?<![\w-])(?:{'|'.join(map(re.escape, sought))})(?![\w-])")
    left = {}
    for address in german(built_site):
        text = " ".join(_words(built_site / address / "index.html").split())
        if found := sorted(set(pattern.findall(text))):
            left[address] = found
    assert not left


def test_no_sentence_is_english(built_site):
    """None of the words without which English makes no sentence, in whatever the page says.

    What was never in the catalogue would be found by them.
    """
    left = {}
    for address in german(built_site):
        text = " ".join(_words(built_site / address / "index.html").split())
        if found := re.findall(r".{0,40}\b(?:the|and|with|from|this|of|by|to|is|are|your|it)\b.{0,40}", text):
            left[address] = found
    assert not left


def test_the_search_for_english_would_find_it(built_site):
    """The check above could fail: an English page is full of such stretches."""
    text = " ".join(_words(built_site / "tea-caddy" / "index.html").split())
    assert sum(stretch in text for stretch in _stretches(ENGLISH)) > 40


def test_german_words_may_be_hyphenated(page):
    """The language is set, and the style lets words break; the switch leads to English and back to the same
    step.
    """
    page.goto("tea-caddy/de/")
    assert page.evaluate("getComputedStyle(document.querySelector('main p')).hyphens") == "auto"
    page.goto("tea-caddy/")
    assert page.evaluate("getComputedStyle(document.querySelector('main p')).hyphens") != "auto"
    page.locator(".top .tongues a").click()
    assert page.url.endswith("/tea-caddy/de/") and page.locator("html").get_attribute("lang") == "de"


def test_steps_ticked_in_one_language_are_ticked_in_the_other(page):
    """They are kept by the tutorial and its places, which have no language."""
    page.goto("tea-caddy/de/")
    page.get_by_label("erledigt").first.check()
    page.goto("tea-caddy/")
    assert page.get_by_label("done").first.is_checked()


def test_scripts_speak_german(page):
    """What scripts say comes from the page: the table view and the search."""
    page.goto("tea-caddy/de/?table")
    assert page.get_by_role("button", name="Weiter").is_visible()
    page.goto("search/de/")
    page.get_by_label("Titel, Schritt oder Wort").fill("Kuppel")
    page.locator("#the-results a").first.wait_for()
    assert "gefunden" in page.locator("#the-found").inner_text()
    assert page.locator("#the-results a").first.get_attribute("href").endswith("tea-caddy/de/")

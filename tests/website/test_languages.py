"""A tutorial in two languages gives pages in both, which know of each other; one in a single language stays
as it is.
"""
from __future__ import annotations

import json

import pytest
from lxml import etree
from mkdocs.config import load_config

from generator.locale import locale_for
from tests.website.conftest import THEME

RETOLD = """\
---
title: Hülle für ein Stück Seife
summary: Eine Hülle mit einer Naht, die niemand sieht.
names: {strip: Streifen, panels: Rillen}
---

Seife braucht Luft: Die Hülle ist an beiden Enden offen.

## Schneide den Streifen

Schneide einen Streifen von {{ size(strip) }}. Siehe [der Stand](../about.md).

## Rille die Felder

Rille bei {{ panels.marks }}.

![Der Streifen auf dem Brett.](strip.png "Zwei Rillen")
"""
ENGLISH, GERMAN = "https://stall.example/boxes/soap-sleeve/", "https://stall.example/boxes/soap-sleeve/de/"


@pytest.fixture
def retold(project):
    """The project with its tutorial in German too, built."""
    (project.source.parent / "index.de.md").write_text(RETOLD, encoding="utf-8")
    text = project.source.read_text(encoding="utf-8")
    project.source.write_text(text.replace("level: easy", "level: easy\npublished: 2026-05-09"),
                              encoding="utf-8")
    built = project.build("--strict")
    assert built.exit_code == 0, built.output
    return project


def test_the_pages_know_of_each_other(retold):
    """The language of each; hreflang both ways and for all others (HTML, 4.6.7.1; x-default: from memory); a
    switch on the page.
    """
    pages = {"en": retold.page("soap-sleeve/index.html"), "de": retold.page("soap-sleeve/de/index.html")}
    for code, page in pages.items():
        assert page.get("lang") == code
        links = {link.get("hreflang"): link.get("href")
                 for link in page.xpath("//head/link[@rel='alternate'][@hreflang]")}
        assert links == {"en": ENGLISH, "de": GERMAN, "x-default": ENGLISH}
        assert page.xpath("string(//link[@rel='canonical']/@href)") == {"en": ENGLISH, "de": GERMAN}[code]
        switch, = page.xpath("//nav[contains(@class, 'tongues')]//a")
        other = "de" if code == "en" else "en"
        assert switch.get("hreflang") == switch.get("lang") == other
        assert switch.text == locale_for(other).say("grammar.name")


def test_the_german_page_is_german_with_the_same_places(retold):
    """Title, description, steps, data for machines; the anchors are those of the English page."""
    english, german = retold.page("soap-sleeve/index.html"), retold.page("soap-sleeve/de/index.html")
    assert german.xpath("string(//h1)") == "Hülle für ein Stück Seife"
    assert german.xpath("//section[@class='task']/@id") == english.xpath("//section[@class='task']/@id")
    data = json.loads(german.xpath("string(//script[@type='application/ld+json'])"))
    assert data["inLanguage"] == "de" and data["url"] == GERMAN and data["step"][0][
        "name"] == "Schneide den Streifen"
    assert german.xpath("//img/@src")[0].startswith("../strip")
    assert "Zoll" in german.text_content() and " in high" not in german.text_content()


def test_print_view_letter_files_and_search_are_german_too(retold):
    """Each of them has an address of its own below the German page, or a name of its own."""
    print_view = retold.page("soap-sleeve/de/print/index.html")
    assert print_view.get("lang") == "de" and print_view.xpath("string(//h1)") == "Hülle für ein Stück Seife"
    assert print_view.xpath("//img/@src")[0].startswith("../../strip")
    assert "Zoll" in (retold.site / "soap-sleeve/de/measures.txt").read_text(encoding="utf-8")
    assert (retold.site / "soap-sleeve/templates/soap-sleeve-de-mm-a4.pdf").is_file()
    found = json.loads((retold.site / "search.de.json").read_text(encoding="utf-8"))
    assert found["pages"][0][:2] == ["soap-sleeve/de/", "Hülle für ein Stück Seife"]


def test_the_companions_follow(retold):
    """Gallery, words, bench, rules and search are there in German, and lead to each other."""
    home = retold.page("de/index.html")
    assert home.get("lang") == "de" and home.xpath("//li[@class='card']//h3/a/@href") == [
        "../soap-sleeve/de/"]
    doors = home.xpath("//nav[@class='more']//a/@href")
    assert doors == ["../glossary/de/", "../bench/de/", "../rules/de/", "../shelf/de/", "../prints/de/",
                     "../search/de/",
                     "../calls/",
                     "../findings/"]
    assert home.xpath("//nav[@class='more']//a[@hreflang]/@lang") == ["en", "en"]
    words = retold.page("glossary/de/index.html")
    assert "Talfalz" in words.text_content() and words.get("lang") == "de"
    assert retold.page("glossary/index.html").xpath("//nav[contains(@class, 'tongues')]//a/@href") == ["de/"]


def test_the_gallery_says_what_is_not_in_its_language(retold, project):
    """A tutorial without a German telling stands in the German gallery in English, and says so."""
    card, = retold.page("index.html").xpath("//li[@class='card']")
    assert not card.xpath(".//p[contains(@class, 'tongues')]")
    other = project.root / "tutorials" / "tray"
    other.mkdir()
    (other / "index.md").write_text(
        project.source.read_text(encoding="utf-8").replace("Sleeve for", "Tray for")
                                    .replace("![The strip on the board.](strip.png \"Two scores\")", ""),
                                    encoding="utf-8")
    assert project.build().exit_code == 0
    cards = project.page("de/index.html").xpath("//li[@class='card']")
    assert [card.get("lang") for card in cards] == [None, "en"]
    assert cards[1].xpath(".//h3/a/@href") == ["../tray/"]
    assert [card.xpath("string(.//p[contains(@class, 'tongues')])") for card in cards] == [
        "", "bisher nur auf Englisch"]


def test_feed_and_sitemap_know_both(retold):
    """The feed's entry links both (RFC 4287, 4.1.2), the sitemap lists both with the day of the
    last change.
    """
    atom = {"a": "http://www.w3.org/2005/Atom"}
    entry, = etree.parse(retold.site / "feed.xml").xpath("//a:entry", namespaces=atom)
    assert dict(zip(entry.xpath("a:link/@hreflang", namespaces=atom),
                    entry.xpath("a:link/@href", namespaces=atom),
                    strict=True)) == {"en": ENGLISH, "de": GERMAN}
    site = {"s": "http://www.sitemaps.org/schemas/sitemap/0.9"}
    urls = {u.findtext("s:loc", namespaces=site): u.findtext("s:lastmod", namespaces=site)
            for u in etree.parse(retold.site / "sitemap.xml").getroot()}
    assert urls[ENGLISH] == urls[GERMAN] == "2026-05-09" and urls[
        "https://stall.example/boxes/glossary/de/"] is None


def test_without_an_address_of_its_own_a_site_names_none(retold, project):
    """No whole addresses, no feed, no sitemap; the switch is there all the same."""
    settings = project.root / "mkdocs.yml"
    settings.write_text(
        settings.read_text(encoding="utf-8").replace("site_url: https://stall.example/boxes/\n",
                                                     "site_url: \"\"\n"),
                        encoding="utf-8")
    assert project.build("--strict").exit_code == 0
    page = project.page("soap-sleeve/de/index.html")
    assert not page.xpath("//head/link[@rel='alternate' or @rel='canonical']")
    assert page.xpath("//nav[contains(@class, 'tongues')]//a/@href") == ["../"]
    assert not (project.site / "feed.xml").exists()
    sitemap = project.site / "sitemap.xml"
    assert not sitemap.exists() or not sitemap.read_text(encoding="utf-8").strip()


def test_flat_addresses_work_too(retold, project):
    """With use_directory_urls off, pages and files of both languages keep apart."""
    settings = project.root / "mkdocs.yml"
    settings.write_text(settings.read_text(encoding="utf-8") + "use_directory_urls: false\n",
                        encoding="utf-8")
    built = project.build("--strict")
    assert built.exit_code == 0, built.output
    page = project.page("soap-sleeve/index.de.html")
    assert page.get("lang") == "de"
    letter, = page.xpath("//a[contains(@href, 'measures')]/@href")
    assert (project.site / "soap-sleeve" / letter).is_file() and letter != "measures.txt"
    for link in page.xpath("//a[contains(@href, '.pdf')]/@href"):
        assert (project.site / "soap-sleeve" / link).resolve().is_file(), link


def test_a_site_in_one_language_has_no_other_pages(project):
    """No switch, no German gallery."""
    assert project.build("--strict").exit_code == 0
    assert not project.page("soap-sleeve/index.html").xpath("//nav[contains(@class, 'tongues')]")
    assert not (project.site / "de").exists() and not (project.site / "glossary/de").exists()


def test_a_wrong_translation_stops_the_build(project):
    """With its file, line and a caret; nothing is written."""
    (project.source.parent / "index.de.md").write_text(RETOLD.replace("{{ panels.marks }}",
                                                                      "{{ panel.marks }}"), encoding="utf-8")
    built = project.build()
    assert built.exit_code != 0 and not project.site.exists()


def test_two_pages_at_one_address_are_refused(retold, project):
    """A tutorial whose folder is called "de" would stand where the German gallery stands."""
    project.source.parent.rename(project.root / "tutorials" / "de")
    built = project.build()
    assert built.exit_code != 0


@pytest.mark.parametrize("address", ["", "https://stall.example/boxes/"])
def test_our_own_site_learns_its_address_from_the_environment(monkeypatch, address):
    """mkdocs.yml needs no change for publishing; without the variable the site has no address."""
    monkeypatch.setenv("FOLDGAUGE_SITE_URL", address)
    assert (load_config(str(THEME.parent / "mkdocs.yml")).site_url or "") == address

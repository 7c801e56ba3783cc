"""One fact has one answer: what page, print view, text, bench card and template say of a box agrees.

Everything is read back from the built site, in each language and each system, and held against each other.
"""
from __future__ import annotations

import re
from collections.abc import Iterator
from copy import deepcopy
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pdfplumber
import pypdfium2
import pytest
from lxml import html

from tests.site.page_kinds import tutorials

SYSTEMS = ("mm", "in")
ORDER = re.compile(r"(?:in this order|in dieser Reihenfolge): ((?:\d+, )+\d+)")
NUMBER = re.compile(r"(?:no\.|Nr\.) (\d+)")
IDENTIFIER = re.compile(r"\b[a-zA-Z]\w*_\w+\b")
TOP_LABELS = ("Gathered top", "Gerafftes Oberteil")      # a fact at a glance
METRIC = re.compile(r"\d+(?:[.,]\d+)?(?= mm\b)")


@dataclass(frozen=True)
class Published:
    """What the site says of one tutorial in one language."""

    site: Path
    slug: str
    language: str

    @property
    def folder(self) -> Path:
        return self.site / self.slug / ("" if self.language == "en" else self.language)

    def pdf(self, system: str, kind: str = "", paper: str = "a4") -> Path:
        """One of its files for a printer."""
        language = "" if self.language == "en" else f"-{self.language}"
        return self.site / self.slug / "templates" / f"{self.slug}{language}-{system}-{paper}{kind}.pdf"


def published(site: Path) -> Iterator[Published]:
    """Every tutorial in every language it is told in."""
    for address in tutorials(site):
        slug = address.strip("/")
        yield from (Published(site, slug, language) for language in ("en", "de")
                    if language == "en" or (site / slug / language / "index.html").is_file())


@cache
def page(told: Published, view: str, system: str) -> html.HtmlElement:
    """A page as readers of one system see it, without what is only spoken."""
    root = deepcopy(_page(told.folder / view / "index.html"))
    other = next(each for each in SYSTEMS if each != system)
    gone = (f"//script|//style|//a[@class='anchor']|//*[@class='or' or @class='{other}' or "
            f"@class='{other} spoken']|//*[not(self::p)][@class='spoken' or @class='{system} spoken']")
    for element in root.xpath(gone):
        element.drop_tree()
    return root


@cache
def _page(path: Path) -> html.HtmlElement:
    return html.parse(path).getroot()


@cache
def pdf_text(path: Path) -> str:
    """All words of a document in one line, without those that run upwards."""
    with pdfplumber.open(path) as document:
        level = (each.filter(lambda item: item.get("upright", True)) for each in document.pages)
        return " ".join(_plain(each.extract_text()) for each in level)


@cache
def raw_text(path: Path) -> str:
    """All words of a document as they lie in the file, those that run upwards too; quick."""
    document = pypdfium2.PdfDocument(path)
    try:
        return " ".join(_plain(each.get_textpage().get_text_range()) for each in document)
    finally:
        document.close()


def _plain(text: str) -> str:
    """One space between words, fractions as templates set them."""
    return re.sub(r"\s+", " ", text.replace("\u00a0", " ").replace("⁄", "/")).strip()


def facts(told: Published, view: str, system: str) -> dict[str, str]:
    """Its facts at a glance by their labels."""
    return {_plain(term.text_content()): _plain(term.getnext().text_content())
            for term in page(told, view, system).xpath("//dt[following-sibling::*[1][self::dd]]")}


@pytest.fixture(scope="module")
def told(built_site: Path) -> tuple[Published, ...]:
    """All that is published."""
    found = tuple(published(built_site))
    assert len(found) >= 12
    return found


def test_the_print_view_and_the_text_tell_the_facts_of_the_page(told):
    """Every fact at a glance stands in the print view and in the text to copy, word for word."""
    faults = []
    for each in told:
        text = _plain((each.folder / "measures.txt").read_text(encoding="utf-8-sig"))
        for system in SYSTEMS:
            mine, printed = facts(each, "", system), facts(each, "print", system)
            faults += [(each.slug, each.language, label, value, printed[label])
                       for label, value in mine.items() if label in printed and printed[label] != value]
            size = next(iter(printed.items()))
            if f"{size[0]}: {size[1]}" not in text:
                faults.append((each.slug, each.language, *size, "measures.txt"))
    assert not faults


def test_bench_cards_tell_the_finished_size_of_the_page(told):
    """Where a card says how large the box comes out, the page says it in the same words."""
    cards = 0
    for each in told:
        for system in SYSTEMS:
            card = pdf_text(each.pdf(system, "-bench-card"))
            if match := re.search(r"(?:Finished|Fertig) (.*?)\. Revision", card):
                cards += 1
                assert match[1] in facts(each, "", system).values(), (each.slug, each.language, match[1])
    assert cards > 20


def test_a_dome_stands_equally_high_everywhere(told):
    """The height over the shoulder in the facts is that of the table of what to do and of the notes."""
    found = 0
    for each in told:
        for system in SYSTEMS:
            root = page(each, "", system)
            rows = root.xpath("//tr[@id='if-top-flat']/th")
            tops = [value for label, value in facts(each, "", system).items()
                    if label in TOP_LABELS]
            measure = re.compile(r"[\d/., ]*\d(?= (?:mm|in|Zoll)\b)")
            if rows and tops:
                found += 1
                height = measure.search(tops[0])[0].strip()
                assert measure.search(_plain(rows[0].text_content()))[0].strip() == height, each.slug
                for note in root.xpath("//*[contains(text(), 'Before you go on, check')]"):
                    if match := re.search(r"instead of about ([\d/. ]+)", _plain(note.text_content())):
                        assert match[1].strip() == height, each.slug
    assert found >= 4


def test_flaps_are_numbered_once_and_their_order_is_one_list(told):
    """Card, template and picture give one order, of numbers that the template shows."""
    orders = 0
    for each in told:
        for system in SYSTEMS:
            card = ORDER.findall(pdf_text(each.pdf(system, "-bench-card")))
            template = pdf_text(each.pdf(system))
            if not card:
                continue
            orders += 1
            listed, shown = card[0].split(", "), set(NUMBER.findall(template))
            assert sorted(map(int, listed)) == list(range(1, len(listed) + 1))
            assert shown <= set(listed), (each.slug, shown)
            pictures = _plain(" ".join(page(each, "", system).itertext()))
            told_again = ORDER.findall(template) + ORDER.findall(pictures)
            assert set(told_again) == set(card), (each.slug, each.language, told_again, card)
    assert orders >= 8


THREADED = re.compile(r"(?:Thread ribbon|Band), ((?:about |etwa )?[\d /.,]+ \w+) (?:long|lang),")


def ribbon_faults(card: str, supplies: str) -> list[str]:
    """Lengths that a card threads and the supplies do not ask for."""
    return [length for length in THREADED.findall(card)
            if not re.search(rf"(?:Ribbon|Band): {re.escape(length)} (?:long|lang)", supplies)]


def test_a_ribbon_has_one_length(told):
    """What the supplies ask for is what the bench card threads; a card that threads more is seen."""
    threaded = 0
    for each in told:
        for system in SYSTEMS:
            card = pdf_text(each.pdf(system, "-bench-card"))
            supplies = _plain(" ".join(item.text_content() for item in page(each, "", system).xpath(
                "//ul[contains(@class, 'supplies')]/li")))
            assert not ribbon_faults(card, supplies), (each.slug, each.language)
            if length := THREADED.search(card):
                threaded += 1
                spoilt = card.replace(length[1], f"1{length[1]}")
                assert ribbon_faults(spoilt, supplies), (each.slug, each.language)
    assert threaded >= 16


def test_no_measure_of_a_bench_card_is_without_origin(told):
    """Every millimetre figure of a card stands on the page too, in its words or in its pictures.

    Only of what is cut, and cut away, a card says more, for those who work without a template.
    """
    faults = {}
    for each in told:
        if each.language == "en":
            card = re.sub(r"Cut away [A-Z][^:]*: [^A-Z]*|, \S+ mm long", "",
                          pdf_text(each.pdf("mm", "-bench-card")))
            text = " ".join(_page(each.folder / "index.html").itertext())
            lost = set(METRIC.findall(card)) - set(re.findall(r"\d+(?:[.,]\d+)?", text))
            faults |= {each.slug: lost} if lost else {}
    assert not faults


def test_no_identifier_reaches_a_reader(told):
    """Nothing that is read, printed or looked at is called by a name with bars."""
    for each in told:
        texts = {view or "page": _plain(" ".join(page(each, view, "mm").itertext()))
                 for view in ("", "print")}
        texts["text"] = (each.folder / "measures.txt").read_text(encoding="utf-8-sig")
        texts |= {kind: pdf_text(each.pdf("mm", kind)) for kind in ("", "-bench-card")}
        for place, text in texts.items():
            assert not IDENTIFIER.findall(text), (each.slug, each.language, place)

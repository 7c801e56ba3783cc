"""Every figure and name that is published has its origin in the plan, in every file that tells it.

Pages, print views, texts, data, cutting files, templates and cards are read back from the built site and held
against the plan and against each other. Each check is tried on a copy in which one place is made to disagree.
"""
from __future__ import annotations

import json
import re
import shutil
from collections import Counter
from collections.abc import Callable
from itertools import product
from pathlib import Path

import ezdxf
import pypdfium2
import pytest
import yaml
from lxml import etree, html

from generator.geometry import Circle
from tests.house.tracked_files import ROOT
from tests.site import published_checks
from tests.site.published_checks import modelspace, worded
from tests.site.test_one_fact import (
    SYSTEMS,
    Published,
    _page,
    _plain,
    facts,
    page,
    pdf_text,
    published,
    raw_text,
)
from tests.tutorial.site_tutorials import SHELF, on_shelf

FIGURE = re.compile(r"\d+(?:[.,]\d+)?(?: \d+/\d+|/\d+)?(?=\s(?:mm|in|Zoll)\b)")
SHEET_NAMES = re.compile(r"12 × 12 (?:in|Zoll)")
READ_ALOUD = ("alt", "title", "aria-label", "content", "placeholder")
ADDRESSES = ("url", "@type", "@context", "image", "license")
FILES = ("", "-mirrored", "-ticks", "-guides", "-bench-card", "-bench-card-large", "-bench-card-left")


@pytest.fixture(scope="module")
def told(built_site: Path) -> tuple[Published, ...]:
    """All that is published."""
    return tuple(published(built_site))


def figures(text: str) -> set[str]:
    """The figures that have a unit, as they are written, with a plain bar."""
    level = re.sub(r"(?<=\d)\s*[⁄/]\s*(?=\d)", "/", SHEET_NAMES.sub("", text))
    return {each.replace(",", ".") for each in FIGURE.findall(level)}


def holes_fault(one: Published) -> list[str]:
    """Where a cutting file has other punched holes than the plan: as many of each size, in SVG and DXF."""
    found = []
    for system in SYSTEMS:
        plan = on_shelf(one.slug).plans[system]
        wanted = Counter(round(2 * float(mark.whole[0].radius), 2) for info in plan.pieces
                         for mark in plan.final_state(info.id).marks
                         if mark.kind.is_hole and mark.runs and isinstance(mark.whole[0], Circle))
        language = "" if one.language == "en" else f"-{one.language}"
        stem = f"{one.slug}{language}-{system}-cutting*"
        drawn: dict[str, Counter] = {"dxf": Counter(), "svg": Counter()}
        for path in (one.site / one.slug / "templates").glob(f"{stem}.dxf"):
            drawn["dxf"] += Counter(round(2 * each.dxf.radius, 2)
                                    for each in modelspace(path).query("CIRCLE[layer=='5_PUNCH']"))
        for path in (one.site / one.slug / "templates").glob(f"{stem}.svg"):
            paths = etree.parse(path).xpath("//*[@id='punch']/*/@d")
            drawn["svg"] += Counter(round(2 * float(re.search(r"A([\d.]+)", each)[1]), 2) for each in paths)
        found += [f"{one.slug} {system} {kind}: {dict(had)}, not {dict(wanted)}"
                  for kind, had in drawn.items() if had != wanted]
    return found


def blank_faults(one: Published) -> list[str]:
    """Where page, print view, text, card, data and the sheets' cuts tell another size of a blank."""
    found = []
    text = _plain((one.folder / "measures.txt").read_text(encoding="utf-8-sig"))
    for system in SYSTEMS:
        plan, words = on_shelf(one.slug).plans[system], facts(one, "", system)
        sheets = figures(_plain(" ".join(page(one, "", system).itertext())))
        for info in plan.pieces:
            state = plan.final_state(info.id)
            if info.is_ribbon:
                continue
            size = {worded(side, system) for side in (state.width, state.height)}
            named = [value for value in words.values() if figures(value) == size and "×" in value]
            if not named:
                found.append(f"{one.slug} {one.language} {system}: no fact says {size} of {info.name}")
                continue
            for place, said in (("print", _plain(" ".join(page(one, "print", system).itertext()))),
                                ("text", text), ("card", pdf_text(one.pdf(system, "-bench-card")))):
                if not size <= figures(said):
                    found.append(f"{one.slug} {one.language} {system} {place}: {size} of {info.name}")
            if not size <= sheets:
                found.append(f"{one.slug} {one.language} {system} sheets: {size} of {info.name}")
    return found


def paper_faults(one: Published) -> list[str]:
    """Where the guides tell other figures on Letter than on A4, the ticks along the edges left out."""
    return [f"{one.slug} {one.language} {system} guides: {sorted(different)}" for system in SYSTEMS
            if one.pdf(system, "-guides").is_file()
            and (different := figures(_within_ticks(one.pdf(system, "-guides"))) ^ figures(
                _within_ticks(one.pdf(system, "-guides", "letter"))))]


def _within_ticks(path: Path) -> str:
    """The words of a document without the figures along its edges, which go as far as the paper."""
    document, band = pypdfium2.PdfDocument(path), 14 / 25.4 * 72
    try:
        return " ".join(_plain(each.get_textpage().get_text_bounded(band, band, *each.get_size()))
                        for each in document)
    finally:
        document.close()


def front_matter(one: Published) -> dict:
    """What stands above the source of its language."""
    file = "index.md" if one.language == "en" else f"index.{one.language}.md"
    return yaml.safe_load(SHELF[one.slug].with_name(file).read_text(encoding="utf-8").split("---")[1])


def name_faults(one: Published) -> list[str]:
    """Where a piece is not called by one name: facts, supplies of page, print, text, data; card; prose."""
    found = []
    names, root = front_matter(one).get("names", {}), page(one, "", "mm")
    supplies = {view or "page": _plain(" ".join(page(one, view, "mm").xpath(
        "//ul[contains(@class, 'supplies')]//text()"))) for view in ("", "print")}
    supplies["text"] = _plain((one.folder / "measures.txt").read_text(encoding="utf-8-sig"))
    supplies["data"] = _plain(" ".join(strings_in([json.loads(each) for each in _page(
        one.folder / "index.html").xpath("//script[@type='application/ld+json']/text()")])))
    prose = _plain(" ".join(root.xpath(
        "//div[contains(@class, 'prose')]//text()|//article//h2//text()|//article//h3//text()")))
    for info in on_shelf(one.slug).plans["mm"].pieces:
        name = names.get(info.name, info.name.replace("_", " "))
        label = name[0].upper() + name[1:]
        said = f"{label}:" if info.is_ribbon else f"({name})"
        found += [f"{one.slug} {one.language} {place}: no {said}" for place, text in supplies.items()
                  if said not in text]
        if not info.is_ribbon and label not in facts(one, "", "mm"):
            found.append(f"{one.slug} {one.language} facts: no {label}")
        heading = re.compile(rf"\b{label}(?:[,:]| Cut to| Auf )")
        found += [f"{one.slug} {one.language} card {paper}: no {label}" for paper in ("a4", "letter")
                  if not heading.search(raw_text(one.pdf("mm", "-bench-card", paper)))]
        if not re.search(rf"\b{re.escape(name)}", prose, re.IGNORECASE):
            found.append(f"{one.slug} {one.language} prose: no {name}")
    return found


def sheet_faults(one: Published) -> list[str]:
    """Where facts, the sections on sheets and the table of batches differ in what a sheet gives."""
    found = []
    for system in SYSTEMS:
        root = page(one, "", system)
        said = next(value for label, value in facts(one, "", system).items()
                    if label in ("Boxes a sheet gives", "Schachteln aus einem Bogen"))
        gives = {name: int(n) for name, n in re.findall(r"([^:;]+): (\d+)", said)}
        (table,) = root.xpath("//table[.//th[normalize-space()='boxes' or normalize-space()='Schachteln']]")
        for row in table.xpath(".//tbody/tr"):
            cells = [_plain(cell.text_content()) for cell in row.xpath("./th|./td")]
            boxes, counts = int(cells[0]), [int(cell) for cell in cells[1:] if cell.isdigit()]
            # of several papers a sheet gives more of the one than of the other
            few = len(counts) == len(gives) and any(n * (sets + 1) < boxes for n, sets in
                                                    zip(counts, gives.values(), strict=True))
            if few or any(n > boxes for n in counts):
                found.append(f"{one.slug} {one.language} {system}: {cells} against {gives}")
    return found


def origin_faults(one: Published) -> list[str]:
    """Figures with a unit in steps, supplies, facts and troubles that no expression has worked out."""
    root = html.fromstring(html.tostring(_page(one.folder / "index.html")))
    for element in root.xpath("//*[contains(@class, 'measure') or contains(@class, 'spoken')]"
                              "|//*[@class='in' or @class='mm']|//svg|//script|//style|//nav|//header"
                              "|//section[@class='downloads']"):
        element.drop_tree()
    places = root.xpath("//article//p|//ul[@class='supplies']/li|//tr[starts-with(@id, 'if-')]|//dd"
                        "|//section[starts-with(@id, 'step')]//p")
    return [f"{one.slug} {one.language}: {sorted(lost)} in {_plain(place.text_content())[:60]}"
            for place in places if (lost := figures(_plain(place.text_content())))]


def data_faults(one: Published) -> list[str]:
    """Figures of the data for search engines that the page does not tell."""
    root = _page(one.folder / "index.html")
    shown = figures(_plain(" ".join(root.xpath("//body//text()[not(ancestor::script)]"))))
    data = " ".join(root.xpath("//script[@type='application/ld+json']/text()"))
    lost = {each for each in figures(" ".join(strings_in(json.loads(data)))) if each not in shown}
    return [f"{one.slug} {one.language} data: {sorted(lost)}"] if lost else []


def strings_in(data) -> list[str]:
    """All texts of a JSON value, addresses left out."""
    if isinstance(data, dict):
        return [text for key, each in data.items() if key not in ADDRESSES for text in strings_in(each)]
    if isinstance(data, list):
        return [text for each in data for text in strings_in(each)]
    return [data] if isinstance(data, str) else []


STANDS = re.compile(r"(?:stands|is|ist) ((?:(?:about |etwa )?[\d., /⁄]+ (?:mm|in|Zoll) "
                    r"(?:high|wide|deep|hoch|breit|tief)(?:, | and | und |\b)){2,3})")


def finish_faults(one: Published) -> list[str]:
    """Where a step tells another finished size than the facts at a glance."""
    found = []
    for system in SYSTEMS:
        known = figures(" ".join(facts(one, "", system).values()))
        told_of = STANDS.findall(_plain(page(one, "", system).text_content()))
        found += [f"{one.slug} {one.language} {system}: {said}" for said in told_of if figures(said) - known]
    return found


CHECKS = (holes_fault, blank_faults, sheet_faults, origin_faults, data_faults, finish_faults,
          paper_faults, name_faults, *published_checks.CHECKS)


@pytest.mark.parametrize("check", CHECKS)
def test_what_is_published_has_its_origin_in_the_plan(told, check):
    """Each check on every tutorial in every language: nothing disagrees."""
    faults = [fault for one in told for fault in check(one)]
    assert not faults, faults


def test_there_is_something_to_check(told):
    """Steps of several tutorials tell how large the box comes out."""
    assert sum(bool(STANDS.search(_plain(page(one, "", "mm").text_content()))) for one in told) >= 6


SPOILT: list[tuple[Callable, str, str, str]] = [
    (holes_fault, "templates/tea-caddy-mm-cutting.svg", r"A1\.5 1\.5", "A1.6 1.6"),
    (blank_faults, "measures.txt", "252", "253"),
    (blank_faults, "print/index.html", "252", "253"),
    (name_faults, "measures.txt", "Ribbon:", "Lace:"),
    (name_faults, "print/index.html", r"\(strip\)", "(blank)"),
    (name_faults, "index.html", "ribbon", "cord"),
    (sheet_faults, "index.html", r'(<th scope="row">50</th>\s*<td[^>]*>)50', r"\g<1>5"),
    (origin_faults, "index.html", "Tick lightly", "Tick 3 mm lightly"),
    (finish_faults, "index.html", r"72\.4\smm</i>", "72.9 mm</i>"),
    (published_checks.dome_faults, "index.html", r'(id="if-top-flat".*?)13\.8', r"\g<1>14.5"),
    (published_checks.flap_faults, "index.html", "in this order: 1, 5, 2,", "in this order: 1, 2, 5,"),
    (published_checks.flap_faults, "print/index.html", "2, 6, 3, 7, 4, 8", "2, 6, 3, 7, 4, 9"),
    (published_checks.ribbon_length_faults, "print/index.html", r"(<li>Ribbon: .*?)600", r"\g<1>610"),
    (published_checks.sheet_name_faults, "index.html", '<th scope="col">Letter</th>',
     '<th scope="col">Legal</th>'),
    (published_checks.sheet_name_faults, "print/index.html", r"(<h3[^>]*>\s*)A4", r"\g<1>A3"),
    (published_checks.guide_faults, "print/index.html", r"219\.2(\smm)", r"218.2\1"),
    (published_checks.trouble_faults, "index.html", r'(id="if-top-flat".*?)139(\smm)', r"\g<1>138\2"),
    (published_checks.length_faults, "templates/tea-caddy-mm-cutting.svg", "M100 0L100 240",
     "M100 0L100 235"),
    (published_checks.picture_faults, "index.html", r"(In millimetres: strip[^<]*?)139(\smm)",
     r"\g<1>137\2"),
    (published_checks.colour_faults, "index.html", "is drawn in colour", "is drawn in red"),
    (published_checks.home_faults, "../index.html", r"(One strip of card becomes a caddy)", r"\1 today"),
    (published_checks.home_faults, "../index.html", r"73\.8(\smm</i>)", r"73.9\1"),
    (published_checks.titled_faults, "index.html", r'(aria-label=")Strip', r"\1Blank"),
    (published_checks.home_faults, "../search.json", "Eight-sided tea caddy", "Tea caddy"),
    (data_faults, "index.html", r'("HowToSupply","name":"[^"]*?)252', r"\g<1>251.7"),
]


@pytest.mark.parametrize(("check", "file", "old", "new"), SPOILT)
def test_a_check_sees_one_place_that_disagrees(told, tmp_path, check, file, old, new):
    """A copy of the caddy in which a single file says something else."""
    whole = next(one for one in told if (one.slug, one.language) == ("tea-caddy", "en"))
    shutil.copytree(whole.folder, tmp_path / "tea-caddy")
    for name in ("index.html", "search.json"):
        shutil.copyfile(whole.site / name, tmp_path / name)
    assert not check(Published(tmp_path, "tea-caddy", "en"))
    path = tmp_path / "tea-caddy" / file
    text = path.read_text(encoding="utf-8")
    spoilt = re.sub(old, new, text, flags=re.DOTALL)
    assert spoilt != text
    path.write_text(spoilt, encoding="utf-8")
    _page.cache_clear()
    page.cache_clear()
    assert check(Published(tmp_path, "tea-caddy", "en"))


def test_guides_that_tell_other_figures_are_seen(told, tmp_path):
    """Those of the inch edition in the place of the metric ones."""
    whole = next(one for one in told if (one.slug, one.language) == ("tea-caddy", "en"))
    shutil.copytree(whole.folder, tmp_path / "tea-caddy")
    spoilt = Published(tmp_path, "tea-caddy", "en")
    shutil.copyfile(whole.pdf("in", "-guides", "letter"), spoilt.pdf("mm", "-guides", "letter"))
    assert paper_faults(spoilt) and not paper_faults(whole)


@pytest.mark.parametrize("check", [published_checks.card_length_faults,
                                   published_checks.ribbon_length_faults])
def test_a_card_that_tells_other_lengths_is_seen(told, tmp_path, check):
    """That of the inch edition in the place of the metric one."""
    whole = next(one for one in told if (one.slug, one.language) == ("tea-caddy", "en"))
    shutil.copytree(whole.folder, tmp_path / "tea-caddy")
    spoilt = Published(tmp_path, "tea-caddy", "en")
    shutil.copyfile(whole.pdf("in", "-bench-card"), spoilt.pdf("mm", "-bench-card"))
    assert check(spoilt) and not check(whole)


def identifiers(slug: str, language: str) -> set[str]:
    """Names of a plan that are no words of the reader: with bars, or called otherwise under ``names:``.

    One that the words of the site, or the author's own, use as a word is none.
    """
    tutorial = on_shelf(slug)
    source = SHELF[slug].with_name("index.md" if language == "en" else f"index.{language}.md").read_text(
        encoding="utf-8")
    front = yaml.safe_load(source.split("---")[1])
    prose = re.sub(r"```geometry.*?```|\{\{.*?\}\}", " ", source.split("---", 2)[2], flags=re.DOTALL)
    site = " ".join(path.read_text(encoding="utf-8") for path in
                    (ROOT / "generator/locale/words" / language).glob("*.yaml"))
    said = f"{prose} {re.sub(r'^ *[a-z_-]+:', ' ', site, flags=re.MULTILINE)} {front.get('title', '')}"
    known = {*re.findall(r"\w+", said), *re.findall(r"\w+", " ".join(front.get("names", {}).values()))}
    named = {name for name in front.get("names", {}) if "." not in name}
    return {name for name in {*tutorial.names, *named} if "_" in name or name in named and name not in known}


def test_nothing_that_is_called_with_bars_is_read_anywhere(built_site):
    """In no page of the site but those for authors, whose words of the language are such."""
    pages = [path for path in built_site.rglob("*.html")
             if path.relative_to(built_site).parts[0] not in ("calls", "findings")]
    found = {}
    for path in pages:
        root = _page(path)
        told = " ".join([*root.xpath("//text()[not(ancestor::script or ancestor::style or ancestor::code)]"),
                         *(value for name in READ_ALOUD for value in root.xpath(f"//@{name}"))])
        found |= {str(path): bars} if (bars := re.findall(r"(?<![\w./#-])[a-zA-Z]\w*_\w+\b", told)) else {}
    assert len(pages) > 50 and not found


@pytest.mark.parametrize("slug", SHELF)
def test_no_name_of_the_source_reaches_a_reader(told, slug):
    """Neither in what is read nor in what is read aloud, in pages, texts, data, templates, cards, guides,
    cutting files and their layers, in each language.
    """
    for one in (each for each in told if each.slug == slug):
        texts = {"measures.txt": (one.folder / "measures.txt").read_text(encoding="utf-8-sig")}
        for view in ("", "print"):
            root = _page(one.folder / view / "index.html")
            texts[view or "page"] = " ".join(
                [*root.xpath("//text()[not(ancestor::script or ancestor::style)]"),
                 *(value for name in READ_ALOUD for value in root.xpath(f"//@{name}"))])
            texts[f"{view} data"] = " ".join(strings_in([json.loads(each) for each in root.xpath(
                "//script[@type='application/ld+json']/text()")]))
        for kind, system, paper in product(FILES, SYSTEMS, ("a4", "letter")):
            if one.pdf(system, kind, paper).is_file():
                texts[f"template-{system}-{paper}{kind}"] = raw_text(one.pdf(system, kind, paper))
        language = "" if one.language == "en" else f"-{one.language}"
        for path in (one.site / slug / "templates").glob(f"{slug}{language}-mm-cutting*"):
            if path.suffix == ".svg":
                texts[path.name] = " ".join(etree.parse(path).xpath("//text()"))
            else:
                document = ezdxf.readfile(path)
                assert not document.modelspace().query("TEXT MTEXT")
                texts[path.name] = " ".join(layer.dxf.name for layer in document.layers)
        words = "|".join(sorted(identifiers(slug, one.language)) or ["¤"])
        names = re.compile(rf"(?<![\w.-])(?:{words})(?![\w-])")
        found = {(place, name) for place, text in texts.items() for name in names.findall(text)}
        assert not found, (slug, one.language, found)

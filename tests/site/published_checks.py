"""Checks of published figures: guides, trouble tables, lengths of cuts and scores, words of pictures, sheets.

Each takes a tutorial in one language and gives what disagrees, one line a place.
"""
from __future__ import annotations

import json
import math
import re
from collections import defaultdict
from collections.abc import Iterator
from fractions import Fraction
from functools import cache

import ezdxf
import yaml
from lxml import etree

from tests.site.test_one_fact import ORDER, SYSTEMS, Published, _page, _plain, facts, page, raw_text
from tests.tutorial.site_tutorials import SHELF, on_shelf

SHEET_NAMES = re.compile(r"12 × 12 (?:in|Zoll)")
NUMBER = r"\d+(?:[.,]\d+)?(?: \d+/\d+|/\d+)?"
LISTED = re.compile(rf"((?:{NUMBER}(?: ×|,| and| und| by| mal| bis| to)? )*{NUMBER})\s(?:mm|in|Zoll)\b")
GIVES = ("Boxes a sheet gives", "Schachteln aus einem Bogen")
INCH = Fraction(127, 5)
TOLD_ONCE = re.compile(r"(?:with a crown of|mit einer Krone von|the ridge of each petal runs|"
                       r"Grat jedes Blattes, von der Spitze) [^;]*?\d(?: mm| in| Zoll)\b")
LENGTH_TOLERANCE = 1.0      # mm, of all cuts or all scores of a file: coordinates have two decimals


def listed(text: str) -> set[str]:
    """Figures with a unit, those of a list that has one unit at its end among them, with a plain bar."""
    level = re.sub(r"(?<=\d)\s*[⁄/]\s*(?=\d)", "/", SHEET_NAMES.sub("", text))
    return {each.replace(",", ".") for run in LISTED.findall(level) for each in re.findall(NUMBER, run)}


def guide_faults(one: Published) -> list[str]:
    """Where the ovals and circles of the print view or of the guides differ from those of the page.

    A circle fits a curve of c mm from end to end and b mm high where it is c²/4b + b across; the stylus runs
    outside its edge.
    """
    found = []
    for system in SYSTEMS:
        texts = {view: _plain(" ".join(page(one, view, system).xpath(
            "//section[@aria-labelledby='the-guides']//text()"))) for view in ("", "print")}
        if texts[""] != texts["print"]:
            found.append(f"{one.slug} {one.language} {system}: the guides of page and print view differ")
        if system == "mm":
            found += [f"{one.slug} {one.language}: {span} long, {high} high, {across} across"
                      for span, high, across in _circles(texts[""])
                      if not -0.7 < span ** 2 / (4 * high) + high - across < 1.7]
        if one.pdf(system, "-guides").is_file():
            told = re.findall(rf"({NUMBER}) (?:mm|in|Zoll) (?:from end to end|von Ende zu Ende), ({NUMBER})",
                              _level(raw_text(one.pdf(system, "-guides"))))
            lost = {each.replace(",", ".") for pair in told for each in pair} - listed(texts[""])
            found += [f"{one.slug} {one.language} {system} guides: {sorted(lost)}"] if lost else []
    return found


def _circles(text: str) -> Iterator[tuple[float, float, float]]:
    for match in re.finditer(rf"({NUMBER}) mm (?:from end to end|von Ende zu Ende), ({NUMBER}) mm .*?"
                             rf"(?:circle|Kreis)\D*({NUMBER}) mm", _level(text)):
        yield tuple(float(each.replace(",", ".")) for each in match.groups())


def _level(text: str) -> str:
    return re.sub(r"(?<=\d)\s*[⁄/]\s*(?=\d)", "/", text)


def trouble_faults(one: Published) -> list[str]:
    """Figures of the table of what to do that no step, fact or picture tells.

    But for the crown at which a top would lie flat and how long the ridge of a petal is, which folding works
    out for this table alone.
    """
    found = []
    for system in SYSTEMS:
        root = page(one, "", system)
        known = listed(_plain(" ".join(root.xpath(
            "//body//text()[not(ancestor::section[@aria-labelledby='the-trouble'])]"))))
        for row in root.xpath("//tr[starts-with(@id, 'if-')]"):
            lost = listed(TOLD_ONCE.sub("", _plain(row.text_content()))) - known
            found += [f"{one.slug} {one.language} {system} {row.get('id')}: {sorted(lost)}"] if lost else []
    return found


def length_faults(one: Published) -> list[str]:
    """Where cutting files hold more or less to score than the plan, or SVG and DXF to cut than each other."""
    found = []
    language = "" if one.language == "en" else f"-{one.language}"
    for system in SYSTEMS:
        drawn: dict[str, dict[str, float]] = {kind: defaultdict(float) for kind in ("svg", "dxf")}
        for path in (one.site / one.slug / "templates").glob(f"{one.slug}{language}-{system}-cutting*"):
            for process, length in (_dxf_lengths if path.suffix == ".dxf" else _svg_lengths)(path):
                drawn[path.suffix[1:]][process] += length
        plan = on_shelf(one.slug).plans[system]
        planned = sum(float(run.length()) for info in plan.pieces if not info.is_ribbon
                      for mark in plan.final_state(info.id).marks if mark.kind.must_fold for run in mark.runs)
        found += [f"{one.slug} {one.language} {system} {kind}: {had['score']:.1f} to score, not {planned:.1f}"
                  for kind, had in drawn.items() if abs(had["score"] - planned) > LENGTH_TOLERANCE]
        found += [f"{one.slug} {one.language} {system} {process}: {drawn['svg'][process]:.1f} in SVG, "
                  f"{drawn['dxf'][process]:.1f} in DXF" for process in {*drawn["svg"], *drawn["dxf"]}
                  if abs(drawn["svg"][process] - drawn["dxf"][process]) > LENGTH_TOLERANCE]
    return found


def _dxf_lengths(path) -> Iterator[tuple[str, float]]:
    for each in modelspace(path):
        kind, dxf = each.dxftype(), each.dxf
        if kind == "LINE":
            length = dxf.start.distance(dxf.end)
        elif kind == "LWPOLYLINE":
            points = list(each.get_points("xyb"))
            pairs = zip(points, [*points[1:], points[0]], strict=True)
            length = sum(math.dist(a[:2], b[:2]) * (_arc_ratio(4 * math.atan(a[2])) if a[2] else 1.0)
                         for a, b in list(pairs)[:len(points) if each.closed else -1])
        else:
            turn = (dxf.end_angle - dxf.start_angle) % 360 if kind == "ARC" else 360
            length = math.radians(turn) * dxf.radius
        yield _process(dxf.layer.split("_", 1)[1]), length


@cache
def modelspace(path):
    """What a cutting file in DXF draws."""
    return ezdxf.readfile(path).modelspace()


def _arc_ratio(turn: float) -> float:
    """How much longer an arc is than its chord (elementary geometry)."""
    return abs(turn) / 2 / math.sin(abs(turn) / 2)


def _svg_lengths(path) -> Iterator[tuple[str, float]]:
    for group in etree.parse(path).xpath("//*[@id]"):
        for data in group.xpath("./*/@d"):
            yield _process(group.get("id")), path_length(data)


def _process(name: str) -> str:
    plain = name.lower().replace("_", "-")
    return "score" if plain.startswith("score") else plain


def path_length(data: str) -> float:
    """How long a path of lines and circular arcs is (SVG 2, 9.3: absolute M, L, A and Z)."""
    total, at, start = 0.0, (0.0, 0.0), (0.0, 0.0)
    for command, rest in re.findall(r"([MLAZ])([^MLAZ]*)", data):
        numbers = [float(each) for each in re.findall(r"-?[\d.]+", rest)]
        to = start if command == "Z" else (numbers[-2], numbers[-1])
        chord = math.dist(at, to)
        if command == "A":
            assert numbers[0] == numbers[1]
            turn = 2 * math.asin(min(1.0, chord / 2 / numbers[0]))
            total += numbers[0] * (2 * math.pi - turn if numbers[3] else turn)
        elif command != "M":
            total += chord
        at, start = to, to if command == "M" else start
    return total


def card_length_faults(one: Published) -> list[str]:
    """Lengths of cuts and ribbons on a bench card that are none of the plan's."""
    found = []
    for system in SYSTEMS:
        plan = on_shelf(one.slug).plans[system]
        known = {worded(mark.length, system) for info in plan.pieces
                 for mark in plan.final_state(info.id).marks if mark.length is not None}
        known |= {worded(plan.final_state(info.id).width, system) for info in plan.pieces if info.is_ribbon}
        card = _level(raw_text(one.pdf(system, "-bench-card")))
        told = re.findall(rf"({NUMBER}) (?:mm|in|Zoll) (?:long|lang)", card)
        lost = {each.replace(",", ".") for each in told} - known
        found += [f"{one.slug} {one.language} {system} card: {sorted(lost)} long"] if lost else []
    return found


def worded(side, system: str) -> str:
    """A length in the words of the trade: tenths of a millimetre, or sixteenths of an inch."""
    if system == "mm":
        return f"{round(float(side.value) + 1e-9, 1):g}"
    whole, rest = divmod(round(Fraction(side.value) / INCH * 16), 16)
    return " ".join(filter(None, (str(whole) if whole or not rest else "", str(Fraction(rest, 16)) if rest
                                  else "")))


def picture_faults(one: Published) -> list[str]:
    """Figures in the words of a picture, for those who do not see it, that the page does not show.

    What is heard of a picture is compared with what is seen on the page in the same system, and with how
    large the piece is at any time.
    """
    found = []
    for system in SYSTEMS:
        root, plan = page(one, "", system), on_shelf(one.slug).plans[system]
        seen = {each.replace(",", ".") for each in re.findall(NUMBER, _level(_plain(" ".join(root.xpath(
            "//body//text()[not(ancestor::p[contains(@class, 'spoken')])]")))))}
        seen |= {worded(side, system) for states in plan.states.values() for _, state in states
                 for side in (state.width, state.height)}
        for told in root.xpath("//p[contains(@class, 'spoken')]"):
            words = _plain(told.text_content())
            lost = listed(words) - seen
            found += [f"{one.slug} {one.language} {system}: {sorted(lost)} in {words[:60]}"] if lost else []
    return found


def sheet_name_faults(one: Published) -> list[str]:
    """Where facts, sections on sheets and the table of batches name other sheets, on page or print view."""
    found = []
    for view in ("", "print"):
        root = page(one, view, "mm")
        said = next(value for label, value in facts(one, view, "mm").items() if label in GIVES)
        wanted = [name for name, _ in re.findall(r"([^:;]+): (\d+)(?:; )?", said)]
        (table,) = root.xpath("//table[.//th[normalize-space()='boxes' or normalize-space()='Schachteln']]")
        heads = [_plain(each.text_content()) for each in table.xpath(".//thead//th")]
        titles = [_plain(each.text_content()) for each in root.xpath(
            "//section[@aria-labelledby='the-sheets']//*[self::summary or self::h3]")]
        for place, names in (("table", heads), ("section", titles)):
            had = {re.split(r"[,:]", name)[0] for name in names
                   if re.match(r"(?:A\d|Letter|Legal|Tabloid|\d+ × \d+)", name)}
            if had != {name.strip() for name in wanted}:
                found.append(f"{one.slug} {one.language} {view} {place}: {sorted(had)}, not {wanted}")
    return found


def dome_faults(one: Published) -> list[str]:
    """Where a top stands higher or lower in the table of what to do, or in a check, than in the facts."""
    found = []
    measure = re.compile(rf"({NUMBER}) (?:mm|in|Zoll)\b")
    for system in SYSTEMS:
        rows = page(one, "", system).xpath("//tr[@id='if-top-flat']/th")
        tops = [value for label, value in facts(one, "", system).items()
                if label in ("Gathered top", "Gerafftes Oberteil")]
        heights = {measure.search(_level(_plain(text)))[1] for text in
                   (*tops, *(row.text_content() for row in rows))} if rows and tops else set()
        if len(heights) > 1:
            found.append(f"{one.slug} {one.language} {system} top: {sorted(heights)}")
    return found


def flap_faults(one: Published) -> list[str]:
    """Where card, template, pictures and what is told of them give another order of numbered flaps."""
    found = []
    for system in SYSTEMS:
        orders = {place: set(ORDER.findall(text)) for place, text in (
            ("card", raw_text(one.pdf(system, "-bench-card"))), ("template", raw_text(one.pdf(system))),
            ("page", _plain(" ".join(page(one, "", system).itertext()))),
            ("print", _plain(" ".join(page(one, "print", system).itertext()))))}
        if len({frozenset(each) for each in orders.values() if each}) > 1 or any(
                sorted(map(int, each.split(", "))) != list(range(1, each.count(",") + 2))
                for each in set().union(*orders.values())):
            found.append(f"{one.slug} {one.language} {system}: {orders}")
    return found


def ribbon_length_faults(one: Published) -> list[str]:
    """Ribbon lengths of card, supplies of page, print view and text that are not the plan's."""
    found = []
    for system in SYSTEMS:
        plan = on_shelf(one.slug).plans[system]
        wanted = {worded(plan.final_state(info.id).width, system) for info in plan.pieces if info.is_ribbon}
        places = {view or "page": " ".join(page(one, view, system).xpath(
            "//ul[contains(@class, 'supplies')]//text()")) for view in ("", "print")}
        places["card"] = raw_text(one.pdf(system, "-bench-card"))
        for place, text in places.items():
            told = set(re.findall(rf"(?:Ribbon|Band): (?:about |etwa )?({NUMBER}) \w+ (?:long|lang)",
                                  _level(_plain(text))))
            if {each.replace(",", ".") for each in told} != wanted:
                found.append(f"{one.slug} {one.language} {system} {place}: {sorted(told)}, not {wanted}")
    return found


def home_faults(one: Published) -> list[str]:
    """Where gallery or search call it otherwise, or tell a figure or a sheet that the page does not."""
    home = one.site if one.language == "en" else one.site / one.language
    root, mine = _page(home / "index.html"), _page(one.folder / "index.html")
    title, summary = (_plain(mine.xpath(path)[0].text_content())
                      for path in ("//h1", "//p[@class='summary']"))
    mine_alone = re.compile(rf"(?:\.\./)?{one.slug}/(?:{one.language}/)?")
    cards = [card for card in root.xpath("//li[@data-sheets]")
             if any(map(mine_alone.fullmatch, card.xpath(".//a/@href")))]
    if len(cards) != 1:
        return [f"{one.slug} {one.language}: {len(cards)} cards in the gallery"]
    text = _plain(cards[0].text_content())
    found = [f"{one.slug} {one.language} gallery: no {said!r}" for said in (title, summary)
             if said not in text]
    shown = listed(_plain(" ".join(mine.xpath("//dl[@class='facts']//text()"))))
    told = listed(_plain(" ".join(cards[0].xpath(".//p[@class='three']//text()"))))
    found += [f"{one.slug} {one.language} gallery: {sorted(told - shown)}"] if told - shown else []
    said = next(value for label, value in facts(one, "", "mm").items() if label in GIVES)
    # by one name in all languages
    if [name.strip().replace("Zoll", "in") for name,
        _ in re.findall(r"([^:;]+): (\d+)(?:; )?", said)] != cards[
            0].get("data-sheets").split("|"):
        found.append(f"{one.slug} {one.language} gallery: {cards[0].get('data-sheets')}")
    pages = json.loads((one.site / ("search.json" if one.language == "en" else f"search.{one.language}.json"))
                       .read_text(encoding="utf-8"))["pages"]
    if not any(entry[1:3] == [title, summary] for entry in pages):
        found.append(f"{one.slug} {one.language} search: no {title!r}")
    return found


def colour_faults(one: Published) -> list[str]:
    """Where it is not said once on the page, or more than once in print, what colour means in pictures."""
    words = re.compile("what a step does is drawn in colour|ist farbig, was ein Schritt tut")
    told = {view: len(words.findall(_plain(page(one, view, "mm").text_content()))) for view in ("", "print")}
    return [f"{one.slug} {one.language}: {told}"] if told[""] != 1 or told["print"] > 1 else []


def titled_faults(one: Published) -> list[str]:
    """Where a piece is called otherwise in what is heard of the pictures or on the plan of a template."""
    front = yaml.safe_load(SHELF[one.slug].with_name(
        "index.md" if one.language == "en" else f"index.{one.language}.md").read_text(
            encoding="utf-8").split("---")[1])
    names = {info: re.escape(front.get("names", {}).get(info.name, info.name.replace("_", " ")))
             for info in on_shelf(one.slug).plans["mm"].pieces}
    any_name = re.compile("|".join(rf"\b{name}\b" for name in names.values()), re.IGNORECASE)
    titles = _page(one.folder / "index.html").xpath(
        "//ol[@class='steps']//*[local-name()='svg']/@aria-label")
    found = [f"{one.slug} {one.language} picture: {title}" for title in titles if not any_name.search(title)]
    for info, name in names.items():
        found += [f"{one.slug} {one.language} template {paper}{kind}: no {name}"
                  for kind in ("", "-mirrored", "-ticks") for paper in ("a4", "letter")
                  if not info.is_ribbon
                  and not re.search(rf"\b{name}\b", raw_text(one.pdf("mm", kind, paper)))]
    return found


CHECKS = (guide_faults, trouble_faults, length_faults, card_length_faults, picture_faults, sheet_name_faults,
          dome_faults, flap_faults, ribbon_length_faults, home_faults, colour_faults,
          titled_faults)

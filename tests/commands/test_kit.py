"""``foldgauge kit``: sheets, cuts by setting of the fence, supplies, bags; by hand for one of the shelf."""
from __future__ import annotations

import json

import pdfplumber
import pytest

from tests.commands.command_runner import BROKEN, run, write
from tests.house.tracked_files import ROOT

CADDY = ROOT / "tutorials" / "tea-caddy"
STRIP = """---
title: A sleeve
drawn_in: mm
lengths: {panel: 30 mm, wall: 60 mm, lace_length: 400 mm}
editions: {in: {panel: 1 1/4 in, wall: 2 1/2 in, lace_length: 15 in}}
papers: {card: {weight: 200 gsm}}
sheets: [a4, letter]
time: 10 min
supplies:
  - Wet glue
---

## Cut

Cut a strip {{ strip.width }} long.

```geometry
strip = sheet(width=4*panel, height=wall, paper=card)
```

## Score

Score it at {{ panels.marks }}.

```geometry
panels = score(strip, x=every(panel, 3))
```

## Tie

Tie it.

```geometry
lace = ribbon(length=lace_length)
```
"""


def kit_json(*arguments: str) -> dict:
    """The data of a kit that is sound."""
    result = run("kit", *arguments, "--json")
    assert (result.exit_code, result.stderr) == (0, "")
    return json.loads(result.stdout)


def test_a_dozen_caddies_by_hand(here):
    """Strips 10 1/2 by 5 5/8 in: one a sheet of Letter, two out of 12 in; the ribbon is 24 in a box."""
    letter = kit_json(f"{CADDY}=12", "--edition", "in", "--sheet", "letter")
    square = kit_json(f"{CADDY}=12", "--edition", "in", "--sheet", "12x12 in")
    assert [(p["sheets"], p["settings"], p["cuts"]) for p in letter["papers"]] == [(12, 2, 24)]
    assert [(p["sheets"], p["settings"], p["cuts"]) for p in square["papers"]] == [(6, 2, 18)]
    assert [(s["text"], s["cuts"]) for s in square["settings"]] == [("10 1/2 in", 6), ("5 5/8 in", 12)]
    assert letter["orders"][0]["ribbons"] == [{"name": "ribbon", "length": "8 yd"}]
    assert letter["bags"] == 12 and letter["findings"] == []


def test_what_is_printed(here):
    """Strips 120 × 60 mm for eight boxes and four to spare, made up to their second step."""
    write(here, STRIP)
    printed = run("kit", "sleeve=8", "--spare", "50%", "--stop-after", "score").stdout
    # out of A4: four upon each other, 120 by 240 mm; beside them two turned, 60 by 240. 279.4 mm do as well
    assert "8 boxes of A sleeve, cut for 12" in printed
    assert "2 × A4 of card (200 g/m²" in printed and "of Letter it would take 2" in printed
    assert "Wet glue" in printed and "without amounts for 12" in printed
    assert "half-made, up to the end of step 2, Score; still to do:\n      3 Tie" in printed
    assert "strip, 120 × 60 mm, of card: as it is after step 2" in printed
    assert "to spare, in no bag: 4 boxes" in printed
    assert "10 min a box, 80 min for 8" in printed


def test_one_paper_of_two_tutorials_is_cut_together(here):
    """Two sleeves of the same card share their sheets; a setting for both is made once."""
    write(here, STRIP)
    write(here, STRIP.replace("A sleeve", "Another"), "other")
    data = kit_json("sleeve=2", "other=2")
    assert [(p["sheets"], p["blanks"]) for p in data["papers"]] == [
        (1, {"sleeve/strip": 2, "other/strip": 2})]


def test_mixed_papers_are_told(here):
    """One name for two papers: both are counted, a warning says so, and the exit status stays 0."""
    write(here, STRIP)
    write(here, STRIP.replace("200 gsm", "280 gsm"), "other")
    result = run("kit", "sleeve=2", "other=2")
    assert result.exit_code == 0 and "[papers-mixed]" in result.stderr and "to mend it:" in result.stderr
    assert "card of 200 g/m²" in result.stdout and "card of 280 g/m²" in result.stdout
    assert "1. 120 mm" in result.stdout or "1. 60 mm" in result.stdout


def test_a_sheet_too_small_is_told_with_those_that_will_do(here):
    """Exit status 1, the blank's line, and which listed sheets hold it."""
    write(here, STRIP)
    result = run("kit", "sleeve=2", "--sheet", "100x100 mm")
    assert (result.exit_code, result.stdout) == (1, "")
    assert "sleeve/index.md:18:9: error:" in result.stderr and "[sheet-small]" in result.stderr
    assert "take a sheet that holds it, as A4 or Letter does" in result.stderr


@pytest.mark.parametrize(("arguments", "said"), (
    (["sleeve=0"], "no number of boxes"), (["sleeve=many"], "no number of boxes"),
    (["sleeve=501"], "500 at most"), (["sleeve", "sleeve=2"], "asked for twice"),
    (["sleeve", "--spare", "10"], "write 10%"), (["sleeve", "--sheet", "a44"], "did you mean"),
    (["sleeve", "--stop-after", "Paint"], "its steps are 1 Cut; 2 Score; 3 Tie")))
def test_wrong_uses(here, arguments, said):
    """Exit status 2, and what would be right."""
    write(here, STRIP)
    result = run("kit", *arguments)
    assert result.exit_code == 2 and said in result.stderr


def test_two_tutorials_of_one_name(here):
    """Their blanks could not be told apart."""
    write(here / "a", STRIP)
    write(here / "b", STRIP)
    result = run("kit", "a/sleeve", "b/sleeve")
    assert result.exit_code == 2 and "two tutorials are called sleeve" in result.stderr


def test_a_broken_source(here):
    """Its findings, and exit status 1."""
    write(here, BROKEN)
    result = run("kit", "sleeve=3")
    assert (result.exit_code, result.stdout) == (1, "") and "[name-unknown]" in result.stderr


def test_labels_read_back(here):
    """Letters of 18 points at least, all on the part of A4 that prints; a label a bag, the first marked."""
    write(here, STRIP)
    write(here, STRIP.replace("A sleeve", "Another"), "other")
    result = run("kit", "sleeve=5", "other=2", "--left", "1", "--stop-after", "sleeve=1", "--pdf",
                 "kit.pdf")
    assert result.exit_code == 0 and "for left-handed people: bag 1" in result.stdout
    with pdfplumber.open(here / "kit.pdf") as document:
        letters = [letter for page in document.pages for letter in page.chars]
        text = "\n".join(page.extract_text() for page in document.pages)
        assert {(round(page.width), round(page.height)) for page in document.pages} == {(595, 842)}
    assert {round(letter["size"], 1) for letter in letters} == {18.0, 36.0}
    margin = 10 * 72 / 25.4
    assert all(letter["x0"] >= margin - 0.1 and letter["x1"] <= 595.3 - margin + 0.1
               and letter["top"] >= margin - 1 and letter["bottom"] <= 841.9 - margin + 1
               for letter in letters)
    assert [f"Bag {number}" in text for number in range(1, 7)] == [True] * 5 + [False]
    assert text.count("left-handed") == 2       # in the list, and on one label
    labels = text[text.index("Bag 1"):].partition("2 Score\n")[0]
    assert labels.count("A sleeve\n") - 1 == 5 and labels.count("Another\n") == 2, "a hand-out follows"
    assert labels.count("made up to step 1; 2 steps to do") == 5


def test_more_left_hands_than_bags(here):
    """That is no kit."""
    write(here, STRIP)
    result = run("kit", "sleeve=2", "--left", "3")
    assert result.exit_code == 2 and "there are 2 bags" in result.stderr


def test_many_boxes_of_several_tutorials(here):
    """What cannot be tried to the end is planned too, in no more sheets than each box from its own."""
    write(here, STRIP)
    sizes = ((41, 67, "1 5/8", "2 5/8"), (37, 83, "1 1/2", "3 1/4"), (29, 101, "1 1/8", "4"),
             (48, 71, "1 7/8", "2 3/4"))
    for number, (panel, wall, short, long) in enumerate(sizes):
        write(here, STRIP.replace("panel: 30 mm, wall: 60 mm", f"panel: {panel} mm, wall: {wall} mm").replace(
            "panel: 1 1/4 in, wall: 2 1/2 in", f"panel: {short} in, wall: {long} in"), f"box-{number}")
    data = kit_json("sleeve=60", *(f"box-{number}=60" for number in range(4)), "--sheet", "a4",
                    "--edition", "mm")
    paper = data["papers"][0]
    alone = sum(kit_json(f"{slug}=60", "--sheet", "a4", "--edition", "mm")["papers"][0]["sheets"]
                for slug in ("sleeve", *(f"box-{number}" for number in range(4))))
    area = sum(4 * panel * wall for panel, wall in ((30, 60), *(each[:2] for each in sizes))) * 60
    assert area / (210 * 297) <= paper["sheets"] <= alone
    assert all(count >= 60 for count in paper["blanks"].values())


PRICES = """currency: EUR
sheets: {card: {a4: 0.30, letter: 9}, card 280 gsm: {a4: 0.45}}
ribbon: {metre: 1.20}
other: {glue: 2.50}
"""


def test_costs(here):
    """Twelve strips are two sheets of A4 of each card, 4.8 m of ribbon each, and glue once."""
    write(here, STRIP)
    write(here, STRIP.replace("200 gsm", "280 gsm"), "other")
    (here / "prices.yml").write_text(PRICES)
    result = run("kit", "sleeve=12", "other=12", "--costs", "prices.yml")
    # 2 · 0.30 + 2 · 0.45 + 9.6 · 1.20 + 2.50 = 15.52, by 24
    assert "in all 15.52 EUR; 0.65 EUR a box" in result.stdout
    data = kit_json("sleeve=12", "--costs", "prices.yml", "--edition", "in")["costs"]
    assert data == {"currency": "EUR", "total": "41/2", "items": [
        {"what": "2 × Letter of card", "price": "18"}, {"what": "ribbon", "price": None},
        {"what": "glue", "price": "5/2"}]}, "no price of a yard is given"


@pytest.mark.parametrize(("text", "said"), (
    ("sheets: {card: {a4: cheap}}", "“cheap” is no price"),
    ("sheets: 3", "sheets holds no names with prices"),
    ("sheets: {card: {a44: 1}}", "“a44” is not a sheet"), ("glue: 3", "“glue” is none of"),
    ("sheets: {", "not YAML")))
def test_prices_that_cannot_be_read(here, text, said):
    """Exit status 2, and how prices are written."""
    write(here, STRIP)
    (here / "prices.yml").write_text(text)
    result = run("kit", "sleeve", "--costs", "prices.yml")
    assert result.exit_code == 2 and said in result.stderr and "write sheets:" in result.stderr


def test_prices_are_never_published(here):
    """A file among the tutorials is refused, nothing of prices is in what is printed on paper."""
    (here / "mkdocs.yml").write_text("site_name: Boxes\ndocs_dir: tutorials\n")
    write(here / "tutorials", STRIP)
    (here / "tutorials" / "prices.yml").write_text(PRICES)
    refused = run("kit", "sleeve=2", "--costs", "tutorials/prices.yml")
    assert refused.exit_code == 2 and "could be published" in refused.stderr
    (here / "prices.yml").write_text(PRICES)
    assert run("kit", "sleeve=2", "--costs", "prices.yml", "--pdf", "kit.pdf").exit_code == 0
    with pdfplumber.open(here / "kit.pdf") as document:
        assert not any("EUR" in page.extract_text() for page in document.pages)

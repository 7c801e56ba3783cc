"""What a maintainer of shared things asks: who uses it, what moved with it, what a new bench comes to."""
from __future__ import annotations

import json
from pathlib import Path

import pytest

from generator.locale import Locale
from tests.commands.command_runner import SLEEVE, run, write

PART = """---
help: A mark for a slot.
takes: {piece: piece, at: length}
gives: {made: the tick}
---

A tick.

```geometry
made = tick(piece, x=at, edge=top)
```
"""
INNER = """---
help: Two marks for slots.
takes: {piece: piece, at: length}
gives: {made: the ticks}
---

Two ticks.

```geometry
made = slot(piece, at=at)
```
"""
SCORED = "panels = score(strip, x=every(panel, sides))"
SLOTTED = SLEEVE.replace(SCORED, f"{SCORED}\nslots = slot(strip, at=panel/2)")
THROUGH = SLEEVE.replace(SCORED, f"{SCORED}\nslots = slots_of(strip, at=panel/2)")
PUNCHED = SLEEVE.replace("---\n\n##",
                         "tools: {hole: {mm: 3 mm, in: 1/8 in}}\nsheets: [a4, 12x12 in]\n---\n\n##").replace(
    SCORED, f"{SCORED}\nhole_row = punch(strip, x=panel/2, y=wall/2, diameter=hole)")
BENCH = "docs_dir: tutorials\nplugins:\n  - foldgauge:\n      benches:\n        in: {board: 1/4 in}\n"


@pytest.fixture
def stall(here: Path) -> Path:
    """Four sleeves: a plain one, one with a part, one with a part of parts, one that is punched."""
    for slug, text in {"plain": SLEEVE, "slotted": SLOTTED, "through": THROUGH, "punched": PUNCHED}.items():
        write(here / "tutorials", text, slug)
    (here / "tutorials" / "parts").mkdir()
    for name, text in {"slot": PART, "slots_of": INNER}.items():
        (here / "tutorials" / "parts" / f"{name}.md").write_text(text, encoding="utf-8")
    return here


def users(name: str) -> list[str]:
    """The tutorials that foldgauge uses names to programs."""
    result = run("uses", name, "--json")
    assert result.exit_code == 0, result.output
    return [each["slug"] for each in json.loads(result.stdout)["tutorials"]]


def outcomes() -> dict[str, list[str]]:
    """What became of all tutorials, as foldgauge changed tells it to programs."""
    result = run("changed", "--json")
    assert result.exit_code == 0, result.output
    return {name: slugs for name, slugs in json.loads(result.stdout)["outcomes"].items() if slugs}


def test_who_uses_it(stall):
    """A part by itself and through another, a tool's size by name and length, a sheet however it is typed."""
    assert users("slot") == ["slotted", "through"] and users("slots_of") == ["through"]
    assert users("hole") == users("3 mm") == users("1/8 in") == ["punched"]
    assert users("a4") == users("12 in square") == ["punched"]
    assert users("board") == ["plain", "punched", "slotted", "through"]
    text = run("uses", "slot").stdout
    assert text.startswith(
        "slot: used by 2 of 4 tutorials\n  slotted\n    tutorials/slotted/index.md:16: part slot, ")
    assert "part slot, step 1, through slots_of" in text


def test_a_name_that_nothing_uses(stall):
    """It is told, with the nearest that is used."""
    result = run("uses", "slott")
    assert result.exit_code == 1 and result.stdout == "nothing uses slott; did you mean 'slot'?\n"


def test_a_source_that_is_not_sound_is_told(stall):
    """What can be read is looked into all the same."""
    write(stall / "tutorials", SLOTTED.replace("every(panel", "every(pannel"), "broken")
    result = run("uses", "slot")
    assert result.exit_code == 1 and "tutorials/broken/index.md:15:31: error" in result.stderr
    assert "used by 2 of 4 tutorials" in result.stdout


def test_what_moved_and_that_nothing_else_did(stall):
    """A part moves two plans, a tool's size one; a word or a line of a source moves no plan."""
    assert run("publish", "--day", "2026-01-01").exit_code == 0
    assert outcomes() == {"unmoved": ["plain", "punched", "slotted", "through"]}
    part = stall / "tutorials" / "parts" / "slot.md"
    part.write_text(PART.replace("A tick.", "A tick, in other words."), encoding="utf-8")
    assert outcomes() == {"unmoved": ["plain", "punched", "slotted", "through"]}
    part.write_text(PART.replace("edge=top", "edge=bottom"), encoding="utf-8")
    write(stall / "tutorials", SLEEVE.replace("Cut a strip", "Cut out a strip"), "plain")
    assert outcomes() == {"plan_moved": ["slotted", "through"], "print_moved": ["plain"],
                          "unmoved": ["punched"]}
    text = run("changed").stdout
    assert text.endswith("""
the plan moved, old prints are no longer good: slotted, through
the print moved and no line did, old prints are still good: plain
nothing moved, by the digests of plan, pictures, words, prints, supplies, credit and photos: punched
""")
    # a comment moves the lines of the source, and nothing that a reader has
    write(stall / "tutorials", SLEEVE, "plain")
    write(stall / "tutorials", PUNCHED.replace("```geometry\n", "```geometry\n# a remark\n"), "punched")
    assert outcomes() == {"plan_moved": ["slotted", "through"], "unmoved": ["plain", "punched"]}


def test_a_word_of_the_theme(stall, monkeypatch):
    """What every template says changes the print of all, and the plan of none."""
    assert run("publish", "--day", "2026-01-01").exit_code == 0
    said = Locale.say

    def say(locale: Locale, key: str, /, **values: object) -> str:
        return "print as large as it is" if key == "templates.page.right" else said(locale, key, **values)
    monkeypatch.setattr(Locale, "say", say)
    found = outcomes()
    assert found == {"print_moved": ["plain", "punched", "slotted", "through"]}
    assert "words on the template" in run("changed", "plain").stdout


def test_one_that_is_not_sound_leaves_the_others_compared(stall):
    """They are told, it is named, and the exit says so."""
    assert run("publish", "--day", "2026-01-01").exit_code == 0
    write(stall / "tutorials", SLEEVE.replace("every(panel", "every(pannel"), "plain")
    write(stall / "tutorials", PUNCHED.replace("wall: 60 mm", "wall: 62 mm"), "punched")
    result = run("changed")
    assert result.exit_code == 1 and "wall: was 60 mm, is 62 mm" in result.stdout
    assert "not sound, so not compared: plain" in result.stderr


def sleeve(panel: str, inches: str) -> str:
    """A sleeve with other panels."""
    return SLEEVE.replace("panel: 30 mm", f"panel: {panel}").replace("panel: 1 1/4 in", f"panel: {inches}")


@pytest.fixture
def benched(here: Path) -> Path:
    """On a board with grooves every quarter inch: one that fits, one that would, in one folder."""
    (here / "mkdocs.yml").write_text(BENCH, encoding="utf-8")
    write(here / "tutorials", sleeve("34 mm", "1 3/8 in"), "narrow")
    write(here / "tutorials", sleeve("50 mm", "2 in"), "wide")
    return here


def test_a_new_bench_side_by_side(benched):
    """34 mm may come to 1 1/4 in, 8 % less at most; panels of 2 in lie on the grooves as they are."""
    result = run("regauge", "tutorials")
    assert result.exit_code == 0, result.output
    rows = [line.split(maxsplit=1) for line in result.stdout.split("\n")[1:3]]
    assert rows[0][0] == "narrow" and rows[0][1].startswith("would fit      panel 1 1/4 in (now 1 3/8 in)")
    assert rows[1] == ["wide", "fits as it is"]
    tried = run("regauge", "tutorials", "--bench", "board=1/8 in", "--json")
    assert [each["verdict"] for each in json.loads(tried.stdout)["tutorials"]] == ["fits as it is"] * 2


def test_all_are_written_or_none(benched):
    """One that fits in no way keeps the others as they are; without it they are written, and pass."""
    # between 25.76 and 30.24 mm there is no quarter of an inch
    stuck = write(benched / "tutorials", sleeve("28 mm", "1 1/8 in"), "stuck")
    before = {path: path.read_bytes() for path in benched.rglob("*.md")}
    result = run("regauge", "tutorials", "--write")
    assert result.exit_code == 1 and "nothing was written" in result.stderr
    assert "stuck, nothing fits:" in result.stdout
    assert {path: path.read_bytes() for path in benched.rglob("*.md")} == before
    stuck.unlink()
    stuck.parent.rmdir()
    assert run("regauge", "tutorials", "--write").exit_code == 0
    assert run("check", "tutorials").exit_code == 0
    now = {path: path.read_text(encoding="utf-8") for path in benched.rglob("*.md")}
    assert "panel: 1 1/4 in" in now[benched / "tutorials" / "narrow" / "index.md"]
    assert "panel: 2 in" in now[benched / "tutorials" / "wide" / "index.md"]


@pytest.mark.parametrize(("options", "message"), [
    (("--keep", "panel=1 in"), "are for one tutorial"),
    (("--bench", "board=1/4 in", "--write"), "into mkdocs.yml"),
    (("--bench", "bord=1/4 in"), 'a bench has no "bord"'), (("--bench", "board"), "no length is given")])
def test_wrong_uses(benched, options, message):
    """Each is refused in a line."""
    result = run("regauge", "tutorials", *options)
    assert result.exit_code == 2 and message in result.stderr


def test_a_notice_for_a_mailing_list(here):
    """What the last publication changed, in the reader's language; nothing of a first one."""
    (here / "mkdocs.yml").write_text("site_url: https://stall.example/boxes/\ndocs_dir: tutorials\n",
                                     encoding="utf-8")
    write(here / "tutorials", SLEEVE)
    assert run("publish", "--day", "2026-01-01").exit_code == 0
    first = run("changed", "--notice", "text")
    assert first.exit_code == 1 and "nothing has changed" in first.stderr
    write(here / "tutorials", SLEEVE.replace("wall: 2 1/2 in", "wall: 2 3/8 in"))
    assert run("publish", "--day", "2026-02-01", "--why", "Lower, for <tall> hands.").exit_code == 0
    text = run("changed", "--notice", "text").stdout.split("\n")
    assert text[:4] == ["What changed: A sleeve", "======================", "",
                        "2026-02-01: Lower, for <tall> hands."]
    good, moved = (next(line for line in text if line.startswith(edition)) for edition in ("Metric", "Inch"))
    assert good.endswith("are still good.") and "are no longer good" in moved
    assert "  - wall: was 2 1/2 in, is 2 3/8 in" in text
    assert "The tutorial: https://stall.example/boxes/sleeve/" in text
    german = run("changed", "--notice", "html", "--language", "de", "--since", "2026-01-01").stdout
    assert ("<h2>Was sich geändert hat: A sleeve</h2>\n<p>2026-02-01: Lower, for &lt;tall&gt; "
            "hands.</p>" in german)
    assert "<li>wall: früher 2\u00a01/2\u00a0Zoll, jetzt 2\u00a03/8\u00a0Zoll</li>" in german
    assert '<a href="https://stall.example/boxes/prints/de/">Gilt mein Ausdruck noch?</a>' in german

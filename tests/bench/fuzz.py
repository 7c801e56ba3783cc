"""Damaged sources sent the whole way: ``make fuzz N=… SEED=…`` counts them, and keeps those that get lost.

Each is a tutorial, its translation, a part or the settings of a site after some slips of the hand, of the
disk or of bad will. It is read, folded and drawn, its pages, templates and feed are made. Whatever ends in an
error that nobody foresaw is written to a folder, with its traceback.
"""
from __future__ import annotations

import argparse
import logging
import random
import re
import resource
import shutil
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

import markdown
from lxml import etree, html

from generator.units import default_bench
from generator.website.feed import FeedEntry, atom_feed
from generator.website.finished import SourceRequest
from generator.website.tutorial_pages import TutorialPages, worked_out
from tests.house.tracked_files import ROOT
from tests.tutorial.source_mutations import LINES, SEEDS, SIGNS
from tests.website.conftest import SLEEVE, new_project

BENCHES = {system: default_bench(system) for system in ("mm", "in")}
LONGEST = 30.0          # seconds of processor time; a sound caddy takes 15 where nothing is kept
ODD = ("\ufeff", "\x00", "\r\n", "\r", "\x0b", "\u2028", "\x85", "\u202e", "\ud800", "\ufffe", "e\u0301" * 9,
       "😀", "ﷺ", "&a [1]", "*a", "!!python/object:os.system", "!!int '1'", "<<: *a",
       "---\n", "...\n", "%YAML 9\n",
       "[" * 40, "- " * 60, "> " * 60, "(" * 60, "{" * 30, "<b>", "<!--", "-->", "&#0;", "&#x202e;",
       "<b>html&#</b>",
       "http://[x", "](//[", "[x](http://[x)", "<http://[::>", "![](a.png)", "![x](../x.png)", "{: #a .b }",
       "1e309", "-0 mm", "0 mm", "1/0", "99999999 mm", "1/3 mm", "0.0001 mm", "5000 mm", "180 deg", "1 in",
       "|a|b|\n|-|-|\n", "~~~\n", "```geometry\n", "```\n", "## x\n", "{{ panel }}", "{{", "}}")
NUMBER = re.compile(r"\d+(?: \d+/\d+|\.\d+|/\d+)?")
TOKEN = re.compile(r"\w+|[^\w\s]")
SETTINGS = """\
site_name: The stall
site_url: https://stall.example/
docs_dir: tutorials
theme: {{name: null, custom_dir: "{theme}"}}
plugins: [foldgauge: {{benches: {{mm: {{board: 5 mm, rule: 1 mm}}}}, jobs: 1}}]
markdown_extensions: [attr_list]
validation: {{anchors: warn}}
"""


def seeds() -> tuple[str, ...]:
    """Tutorials to be damaged: the shelf's, those of the tests, one for each family, the small ones most."""
    found = [*ROOT.glob("tutorials/*/index.md"), *ROOT.glob("tests/sources/*.md"),
             *ROOT.glob("generator/families/*.md")]
    return (*(SLEEVE,) * 10, *SEEDS, *(path.read_text(encoding="utf-8") for path in sorted(found)))


def damaged(text: str, chance: random.Random) -> bytes:
    """A text after one to three slips."""
    for _ in range(chance.choice((1, 1, 1, 2, 3))):
        text = chance.choice(SLIPS)(text, chance)
    raw = text.encode("utf-8", "surrogatepass")
    if chance.random() < 0.08 and raw:
        at = chance.randrange(len(raw))
        raw = raw[:at] + bytes([raw[at] ^ 1 << chance.randrange(8)]) + raw[at + 1:]
    return raw


def _insert(text: str, chance: random.Random) -> str:
    at = chance.randrange(len(text) + 1)
    return text[:at] + chance.choice((*ODD, *SIGNS)) + text[at:]


def _tokens(text: str, chance: random.Random) -> str:
    found = list(TOKEN.finditer(text))
    if len(found) < 2:
        return text
    one, other = sorted(chance.sample(found, 2), key=lambda each: each.start())
    return (text[:one.start()] + other[0] + text[one.end():other.start()] + one[0] + text[other.end():])


def _rows(text: str, chance: random.Random) -> str:
    rows = text.split("\n")
    at = chance.randrange(len(rows))
    how = chance.randrange(5)
    if how == 0:
        del rows[at]
    elif how == 1:
        rows[at:at] = rows[at:at + chance.randrange(1, 6)] * chance.choice((1, 1, 3, 30))
    elif how == 2:
        rows.insert(at, chance.choice(LINES))
    elif how == 3:
        rows[at] = chance.choice(LINES)
    else:
        del rows[at:at + chance.randrange(1, 12)]
    return "\n".join(rows)


def _number(text: str, chance: random.Random) -> str:
    found = list(NUMBER.finditer(text))
    if not found:
        return text
    one = chance.choice(found)
    new = chance.choice(("0", "1", "2", "3", "7", "13", "60", "100", "1000", "1/2", "0.1", "-1", "4999",
                         str(chance.randrange(1, 400)), str(round(chance.random() * 90, 3))))
    return text[:one.start()] + new + text[one.end():]


def _cut(text: str, chance: random.Random) -> str:
    return text[:chance.randrange(len(text) + 1)]


def _line_ends(text: str, chance: random.Random) -> str:
    return chance.choice(("\ufeff" + text, text.replace("\n", "\r\n"), text.replace("\n", "\r"),
                          text.replace(" ", "\u00a0"), text.replace(" ", "\t", 40), text.upper(),
                          "\x00" + text))


SLIPS: tuple[Callable[[str, random.Random], str], ...] = (_insert, _insert, _tokens, _rows, _rows, _number,
                                                        _number, _cut, _line_ends)


def whole_way(folder: Path) -> Iterator[str]:
    """Work the source of ``folder``/tutorials/box out and make its pages; the codes of what was found."""
    source = folder / "tutorials" / "box" / "index.md"
    work = worked_out(SourceRequest("box/index.md", str(source), "index.md", BENCHES, ("en", "de"),
                                    directory_urls=True, cache=""))
    for each in work.pack.findings:
        yield each.code
        if each.code == "stage-failed":
            raise RuntimeError(each.trace)
    for pages in work.pages.values():
        _make_page(pages)
    entries = [FeedEntry(f"https://stall.example/{each.uri}", each.title, each.summary, each.author,
                         "2026-01-01", "2026-01-02") for each in work.pack.entries]
    if entries:
        etree.fromstring(atom_feed(entries, "Boxes", "", "https://stall.example/", "us").encode())
    for files in work.contents.values():
        for name, data in files.items():
            if name.endswith(".svg"):
                etree.fromstring(data)


def _make_page(pages: TutorialPages) -> None:
    made = markdown.markdown(pages.markdown, extensions=["toc", "tables", "fenced_code", "attr_list"])
    view = pages.converted(str(pages.filled(made)), None)
    for picture in (each for step in view.steps for each in step.pictures):
        etree.fromstring(str(picture.svg))
    html.fromstring(f"<div>{view.intro}{''.join(str(step.html) for step in view.steps)}</div>")


def settings_build(folder: Path, raw: bytes) -> None:
    """Build a site with damaged settings; the host may refuse them, in words."""
    project = new_project(folder / "site-of-settings")
    (project.root / "mkdocs.yml").write_bytes(raw)
    result = project.build()
    if "stage-failed" in result.output:
        raise RuntimeError(result.output)


def tried(number: int, seed: int, lost: Path, sources: tuple[str, ...]) -> str:
    """Send one source: what became of it, "sound", "found", "lost", "slow" or "large"."""
    chance = random.Random(f"{seed}-{number}")
    began = time.process_time()
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        kind = chance.choices(("tutorial", "translation", "part", "settings"), (88, 6, 4, 2))[0]
        tutorial = chance.choice(sources)
        own = folder / "tutorials" / "box"
        (folder / "tutorials" / "parts").mkdir(parents=True)
        own.mkdir()
        try:
            if kind == "settings":
                theme = (ROOT / "theme").as_posix()
                settings_build(folder, damaged(SETTINGS.format(theme=theme), chance))
                return "found"
            if kind == "tutorial":
                (own / "index.md").write_bytes(damaged(tutorial, chance))
            elif kind == "translation":
                translated = chance.choice(sorted(ROOT.glob("tutorials/*/index.de.md")))
                (own / "index.md").write_bytes(translated.with_name("index.md").read_bytes())
                (own / "index.de.md").write_bytes(damaged(translated.read_text(encoding="utf-8"), chance))
            else:
                part = chance.choice(sorted(ROOT.glob("generator/parts/*.md")))
                name = f"own_{part.stem}"
                (folder / "tutorials" / "parts" / f"{name}.md").write_bytes(
                    damaged(part.read_text(encoding="utf-8"), chance))
                users = [each for each in sources if f"{part.stem}(" in each]
                text = (chance.choice(users) if users else tutorial).replace(f"{part.stem}(", f"{name}(")
                (own / "index.md").write_text(text, encoding="utf-8")
            codes = list(whole_way(folder))
        except BaseException as error:
            if isinstance(error, KeyboardInterrupt | SystemExit):
                raise
            case = lost / f"{seed}-{number}"
            shutil.copytree(folder, case, dirs_exist_ok=True, symlinks=True)
            (case / "trace.txt").write_text(traceback.format_exc(), encoding="utf-8", errors="replace")
            return "lost"
        spent = time.process_time() - began
        if spent > LONGEST:
            shutil.copytree(folder, lost / f"slow-{seed}-{number}", dirs_exist_ok=True)
            return "slow"
    return "found" if codes else "sound"


def main() -> None:
    """Count what becomes of many; exit with 1 where any was lost."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--lost", type=Path, default=Path(tempfile.gettempdir()) / "foldgauge-fuzz")
    given = parser.parse_args()
    logging.disable(logging.CRITICAL)
    given.lost.mkdir(parents=True, exist_ok=True)
    sources, counts = seeds(), Counter[str]()
    for number in range(given.count):
        counts[tried(number, given.seed, given.lost, sources)] += 1
        if number % 100 == 99:
            most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
            print(number + 1, dict(counts), f"{most} MB", flush=True)
    print(f"{given.count} sources: {dict(counts)}")
    raise SystemExit(bool(counts["lost"] + counts["slow"]))


if __name__ == "__main__":
    main()

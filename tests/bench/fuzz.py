"""Damaged sources sent the whole way: ``make fuzz N=… SEED=…`` counts them, and keeps those that get lost.

Each is a tutorial, its translation, a part, its record, the settings of a site, or what ``regauge`` and
``new`` are asked, after some slips of the hand, of the disk or of bad will. It is read, folded and drawn,
its pages, templates, cutting files and feed are made and read back. Whatever ends in an error that nobody
foresaw, in output that cannot be read, or takes too much is written to a folder, with its traceback and as
short as it can be; some go through ``check`` and a strict build, which have to agree. What a source shares
with one before it, its paper above all, is kept.
"""
from __future__ import annotations

import argparse
import logging
import os
import random
import re
import shutil
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable, Sequence
from contextlib import contextmanager
from pathlib import Path

import click
from click.testing import CliRunner

from generator.commands.main import foldgauge
from generator.files import FileCache
from generator.tutorial.families import family, family_names
from tests.bench.memory import forget_peak, memory
from tests.bench.shrink import failure, shrunk
from tests.bench.slips import damaged, damaged_words
from tests.bench.whole_way import Lost, whole_way
from tests.house.tracked_files import ROOT
from tests.tutorial.source_mutations import SEEDS
from tests.website.conftest import SLEEVE, Project, new_project
from tests.website.test_languages import RETOLD

MOST_SECONDS, MOST_MEMORY = 10.0, 500_000       # of processor time; kB
PACKAGE = str(ROOT / "generator")
UNFORESEEN = "stopped at an unforeseen"     # what is said of an error that nobody thought of
WAYS = "tutorial, translation, part, both, mkdocs, regauge, new, record or commands"
KEPT_BYTES, TIDIED_EVERY = 400_000_000, 500
SETTINGS = """\
site_name: The stall
site_url: https://stall.example/
docs_dir: tutorials
theme: {{name: null, custom_dir: "{theme}"}}
plugins: [foldgauge: {{benches: {{mm: {{board: 5 mm, rule: 1 mm}}, in: {{board: 1/8 in}}}}, units: both,
                      jobs: 1}}]
markdown_extensions: [attr_list]
validation: {{anchors: warn}}
"""
DATED = SLEEVE.replace("level: easy", "level: easy\npublished: 2026-05-09").replace(
    "[the stall](../about.md)", "the stall")
Text = Callable[[random.Random], str]


class Seeds:
    """What is damaged: small sources most, since they are quick; families, tests' own, and the shelf's."""

    def __init__(self) -> None:
        def texts(paths: Sequence[Path]) -> tuple[str, ...]:
            return tuple(path.read_text(encoding="utf-8") for path in sorted(paths))
        self.small = (*(DATED,) * 8, *SEEDS[:-1])
        self.middling = (*texts([*ROOT.glob("tests/sources/*.md")]),
                         *(family(name).source.replace("TITLE", "A box") for name in family_names()))
        self.shelf = texts([*ROOT.glob("tutorials/*/index.md")])
        self.parts = {path.stem: path.read_text(encoding="utf-8")
                      for path in sorted(ROOT.glob("generator/parts/*.md"))}
        translated = sorted(ROOT.glob("tutorials/*/index.de.md"))
        self.translated = tuple(zip(texts([each.with_name("index.md") for each in translated]),
                                    texts(translated),
                                    strict=True))

    def tutorial(self, chance: random.Random) -> str:
        """A sound source, or nearly so."""
        return chance.choice(chance.choices((self.small, self.middling, self.shelf), (94, 5, 1))[0])

    def users(self, part: str) -> tuple[str, ...]:
        """The sources in which a part is used, the shortest most."""
        found = [each for each in (*self.small, *self.middling) if f"{part}(" in each]
        return tuple(sorted(found, key=len)[:3]) or self.middling[:1]


class Fuzz:
    """One run: where its sources stand, what it keeps, and how many have reached which stage."""

    def __init__(self, seed: int, place: Path, only: str = "") -> None:
        self.seed, self.place, self.seeds = seed, place, Seeds()
        self.reached, self.store = Counter[str](), place / "store"
        self.site = new_project(place / "site")
        self.ways: dict[Callable[[random.Random], list[str]], int] = {
            self.tutorial: 710, self.translation: 80, self.part: 60, self.both: 50, self.commands: 50,
            self.mkdocs: 10, self.regauge: 14, self.new: 6, self.record: 20}
        if only:
            self.ways = {way: 1 for way in self.ways if way.__name__ == only}

    @staticmethod
    def settings() -> str:
        """Sound settings of a site."""
        return SETTINGS.format(theme=(ROOT / "theme").as_posix())

    def folder(self) -> Path:
        """An empty place for a tutorial, with the photo that the smallest one shows."""
        folder = self.place / "one"
        shutil.rmtree(folder, ignore_errors=True)
        own = folder / "tutorials" / "box"
        own.mkdir(parents=True)
        shutil.copyfile(self.site.source.parent / "strip.png", own / "strip.png")
        return folder

    def tutorial(self, chance: random.Random) -> list[str]:
        """A damaged tutorial."""
        folder = self.folder()
        slips = damaged_words if chance.random() < 0.5 else damaged
        (folder / "tutorials" / "box" / "index.md").write_bytes(slips(self.seeds.tutorial(chance), chance))
        return whole_way(folder, self.reached, str(self.store))

    def translation(self, chance: random.Random) -> list[str]:
        """A sound tutorial with a damaged translation."""
        own = self.folder() / "tutorials" / "box"
        text, translated = chance.choice(self.seeds.translated) if chance.random() < 0.05 else (DATED, RETOLD)
        (own / "index.md").write_text(text, encoding="utf-8")
        (own / "index.de.md").write_bytes(damaged(translated, chance))
        return whole_way(own.parents[1], self.reached, str(self.store))

    def part(self, chance: random.Random) -> list[str]:
        """A sound tutorial that uses a damaged part of its site's own."""
        folder = self.folder()
        name, text = chance.choice([*self.seeds.parts.items()])
        own = folder / "tutorials" / "parts" / f"own_{name}.md"
        own.parent.mkdir()
        own.write_bytes(damaged(text, chance))
        used = chance.choice(self.seeds.users(name)).replace(f"{name}(", f"own_{name}(")
        (folder / "tutorials" / "box" / "index.md").write_text(used, encoding="utf-8")
        return whole_way(folder, self.reached, str(self.store))

    def both(self, chance: random.Random) -> list[str]:
        """A damaged tutorial in a site of its own: what ``check`` accepts a strict build builds."""
        source = self.seeds.small if chance.random() < 0.9 else self.seeds.middling
        slips = damaged_words if chance.random() < 0.7 else damaged
        self.site.source.write_bytes(slips(chance.choice(source), chance))
        (self.site.root / "mkdocs.yml").write_text(self.settings(), encoding="utf-8")
        with standing_in(self.site.root):
            checked = self.command("check", "tutorials")
        built = self.built("--strict")
        self.reached["strict build"] += built.exit_code == 0
        # a measure that is typed in a fence is a warning, and an error in a strict build
        if (checked.exit_code == 0) != (built.exit_code == 0) and "[measure-typed]" not in checked.output:
            raise Lost(f"check ends with {checked.exit_code}\n{checked.output}\n"
                       f"the strict build with {built.exit_code}\n{built.output}")
        return [] if checked.exit_code == 0 else ["refused"]

    def mkdocs(self, chance: random.Random) -> list[str]:
        """A sound tutorial in a site with damaged settings; the host may refuse them, in words."""
        self.site.source.write_text(SLEEVE, encoding="utf-8")
        (self.site.root / "mkdocs.yml").write_bytes(damaged(self.settings(), chance))
        try:
            return ["refused"] * self.built().exit_code
        except Exception as error:
            ours = [each.filename for each in traceback.extract_tb(error.__traceback__)
                    if PACKAGE in each.filename]
            if not ours:        # the host's own, such as a theme without its plugin
                return ["refused"]
            raise

    def record(self, chance: random.Random) -> list[str]:
        """A sound tutorial with a damaged record: whatever is not as it was published is told."""
        site = self.recorded_site()
        kept = [*sorted((site.source.parent / "record").iterdir()), site.source.parents[1] / "published.txt"]
        path = chance.choice(kept)
        before = path.read_bytes()
        after = damaged(before.decode(), chance) if chance.random() < 0.9 else None
        if after is None:
            path.unlink()
        else:
            path.write_bytes(after)
        try:
            with standing_in(site.root):
                told = [self.command(word, "tutorials").output for word in ("check", "changed")]
        finally:
            path.write_bytes(before)
        if all("[record-" in each for each in told):
            return ["record"]
        # line ends are the version control's; the list may name one twice
        lost = after is None or set(before.split()) - set(after.split()) or path is not kept[-1] and (
            before.rstrip() != after.replace(b"\r\n", b"\n").rstrip())
        if lost or any("[record-" in each for each in told):
            shutil.copyfile(site.source, self.folder() / path.name)
            raise Lost(f"{path.name} was damaged and nobody said so: {after!r}\n" + "\n".join(told))
        return []

    def recorded_site(self) -> Project:
        """A site whose tutorial was published twice."""
        root = self.place / "recorded"
        if root.exists():
            return Project(root)
        site = new_project(root)
        for day, text in (("2026-05-09", DATED), ("2026-06-06", DATED.replace("Cut", "Trim"))):
            site.source.write_text(text, encoding="utf-8")
            with standing_in(root):
                answer = self.command("publish", "--day", day)
            assert answer.exit_code == 0 and "published" in answer.output, answer.output
        return site

    def regauge(self, chance: random.Random) -> list[str]:
        """Other lengths for a damaged tutorial, written into it now and then."""
        own = self.folder() / "tutorials" / "box" / "index.md"
        text = self.seeds.tutorial(chance)
        own.write_bytes(damaged(text, chance) if chance.random() < 0.7 else text.encode())
        name = chance.choice(re.findall(r"(\w+): *[\d/ ]+ (?:mm|in)", text) or ["x"])
        options = [each for each in (
            ["--write"], ["--json"], ["--explain"], ["--prefer", "friendly"],
            ["--yield", slip("letter=1", chance)],
            ["--within", slip("12 %", chance)], ["--keep", slip(f"{name}=1 3/8 in", chance)])
            if chance.random() < 0.3]
        answer = self.command("regauge", str(own), *(word for option in options for word in option))
        self.reached["regauged"] += answer.exit_code == 0
        return whole_way(own.parents[2], self.reached, str(self.store))

    def commands(self, chance: random.Random) -> list[str]:
        """Every command that reads is asked about a damaged tutorial, with what it can be asked for."""
        own = self.folder() / "tutorials" / "box" / "index.md"
        text = self.seeds.tutorial(chance)
        own.write_bytes(damaged(text, chance) if chance.random() < 0.7 else text.encode())
        name = chance.choice([*re.findall(r"(\w+) *[:=] ", text), "x"])
        wanted = [["check"], ["check", "--json"],
                  ["measures"], ["measures", "--json"], ["measures", "--drawn"],
                  ["fold"], ["fold", "--curves"], ["fold", "--obj", str(self.place / "box.obj")],
                  ["why", slip(name, chance)], ["uses", slip(name, chance)], ["changed"], ["shelf"],
                  ["kit", "--spare", slip("10%", chance), "--json", *chance.choice((
                      [], ["--edition", "in"], ["--stop-after", slip("1", chance)],
                      ["--sheet", slip("a4", chance)],
                      ["--pdf", str(self.place / "kit.pdf"), "--left", "1"]))],
                  ["template", "--out", str(self.place / "prints"), "--paper", "a4",
                   "--short", slip("1 mm", chance), "--dashes", slip("3 mm", chance)]]
        with standing_in(own.parents[2]):
            for words in chance.sample(wanted, 4):
                place = {"uses": [], "shelf": ["tutorials"], "changed": ["box"],
                         "kit": [f"box={slip('12', chance)}"]}.get(words[0], [str(own)])
                self.command(words[0], *place, *words[1:])
        return ["asked"]

    def new(self, chance: random.Random) -> list[str]:
        """A source of a family in one's own dimensions; what is written is a sound source."""
        chosen, system = family(chance.choice(family_names())), chance.choice(("mm", "in"))
        given = []
        for name in chosen.asks:
            if chance.random() < 0.6:
                value = chosen.default(name, system)
                near = re.sub(r"\d+", lambda found: str(max(1,
                                                            int(found[0]) * chance.randrange(5, 20) // 10)),
                                                            value)
                given += ["--set", f"{name}={slip(near, chance)}"]
        folder = self.folder()
        shutil.rmtree(folder / "tutorials" / "box")
        answer = self.command("new", slip("box", chance), "--in", str(folder / "tutorials"), "--family",
                              chosen.name, "--drawn-in", system, *given)
        self.reached["new"] += answer.exit_code == 0
        written = [*folder.glob("tutorials/*/index.md")]
        if bool(written) != (answer.exit_code == 0):
            raise Lost(f"new ends with {answer.exit_code} and has written {written}\n{answer.output}")
        if not written:
            return ["refused"]
        written[0].parent.rename(folder / "tutorials" / "box")
        if not self.reached["pages"] < (codes := whole_way(folder, self.reached, str(self.store)),
                                        self.reached["pages"])[1]:
            raise Lost(f"what new has written is refused: {codes}")
        return codes

    def command(self, *words: str) -> click.testing.Result:
        """A command of ours, in this process. Raises :class:`Lost` for what it did not foresee."""
        answer = CliRunner().invoke(foldgauge, ["--verbose", *words], catch_exceptions=False)
        if UNFORESEEN in answer.output or answer.exit_code not in (0, 1, 2):
            raise Lost(answer.output)
        return answer

    def built(self, *options: str) -> click.testing.Result:
        """A build of the site. Raises :class:`Lost` for what it did not foresee."""
        answer = self.site.build("--verbose", *options)
        if UNFORESEEN in answer.output:
            raise Lost(answer.output)
        return answer

    def tried(self, number: int, lost: Path) -> str:
        """Send one: what became of it, "sound", "found", "lost", "slow" or "large"."""
        chance = random.Random(f"{self.seed}-{number}")
        way = chance.choices([*self.ways], [*self.ways.values()])[0]
        began, before = time.process_time(), forget_peak()
        try:
            codes = way(chance)
        except Exception as error:
            self.keep(case := lost / f"{self.seed}-{number}", way.__name__, traceback.format_exc())
            self.shorten(case, failure(error))
            return "lost"
        spent, most = time.process_time() - began, memory("VmHWM")
        self.reached[way.__name__] += 1
        allowed = MOST_SECONDS * (2 if way in (self.new, self.regauge) else 1)      # a command, then the way
        if spent > allowed or most > max(MOST_MEMORY, before + MOST_MEMORY // 2):
            self.keep(lost / f"{self.seed}-{number}", way.__name__, f"{spent:.1f} s, {before} to {most} kB")
            return "slow" if spent > allowed else "large"
        if number % TIDIED_EVERY == 0:
            FileCache(self.store, KEPT_BYTES).evict()
        return "found" if codes else "sound"

    def keep(self, case: Path, way: str, trace: str) -> None:
        """What was lost, to be looked at."""
        shutil.copytree(self.place / ("site" if way in ("both", "mkdocs") else "one"), case,
                        dirs_exist_ok=True,
                        ignore=shutil.ignore_patterns(".foldgauge", "site"))
        (case / "trace.txt").write_text(f"{way}\n{trace}", encoding="utf-8", errors="replace")

    def shorten(self, case: Path, failed: tuple[str, str]) -> None:
        """Leave out of what was lost whatever it can be lost without; the whole one stays beside it."""
        for path in sorted((case / "tutorials").rglob("*.md")):
            whole = path.read_bytes()

            def fails(data: bytes, path: Path = path) -> bool:
                path.write_bytes(data)
                try:
                    whole_way(case)
                except Exception as error:
                    return failure(error) == failed
                return False
            if fails(whole):        # else another command has to be asked
                short = shrunk(whole, fails)
                path.with_suffix(".whole").write_bytes(whole)
                path.write_bytes(short)


def slip(text: str, chance: random.Random) -> str:
    """A word of a command, sound more often than not."""
    if chance.random() < 0.7:
        return text
    return damaged(text, chance).decode("utf-8", "replace").replace("\x00", "")


@contextmanager
def standing_in(folder: Path):
    """Within a folder, and back."""
    before = Path.cwd()
    os.chdir(folder)
    try:
        yield
    finally:
        os.chdir(before)


def main() -> None:
    """Count what becomes of many; exit with 1 where any was lost."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=1000)
    parser.add_argument("--first", type=int, default=0, help="the number of the first, to send one again")
    parser.add_argument("--only", default="", help=f"a way: {WAYS}")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--lost", type=Path, default=Path(tempfile.gettempdir()) / "foldgauge-fuzz")
    given = parser.parse_args()
    logging.disable(logging.CRITICAL)
    counts, began = Counter[str](), time.process_time()
    with tempfile.TemporaryDirectory() as place:
        fuzz = Fuzz(given.seed, Path(place), given.only)
        for number in range(given.first, given.first + given.count):
            counts[fuzz.tried(number, given.lost)] += 1
            if number % 100 == 99 or number == given.first + given.count - 1:
                done = number + 1 - given.first
                print(f"{done} sources, {done / (time.process_time() - began):.1f}/s of processor time, "
                      f"{memory('VmRSS') // 1024} MB: {dict(counts)}\n  {dict(sorted(fuzz.reached.items()))}",
                      flush=True)
    raise SystemExit(bool(counts["lost"] + counts["slow"] + counts["large"]))


if __name__ == "__main__":
    main()

"""Shelves of many tutorials, and how long a build of them takes beside the yardstick.

``python shelves.py [SIZE …]``, 12 and 48 unless said (200 takes an hour); ends with 1 where an aim is missed.
A shelf is the tutorials of this site over and over, from the second time on with another length in both
editions. The yardstick is a plain MkDocs site of the weight of ours, always the same (``yardstick.py``). Both
are built by turns in processes of their own, and their processor time is compared, that of all processes that
they start included. What hangs on no yardstick is in seconds by the clock, MiB and kB.
"""
from __future__ import annotations

import gzip
import http.client
import math
import os
import re
import shutil
import socket
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from fractions import Fraction
from functools import partial
from pathlib import Path

import yardstick

from generator.findings import has_errors
from generator.tutorial import load
from generator.units import default_bench

ROOT = Path(__file__).resolve().parents[2]
BENCHES = {system: default_bench(system) for system in ("mm", "in")}
# what is added to a length: in mm, and in inches on the same marks of the usual boards
STEPS = ((10, Fraction(3, 8)), (-10, Fraction(-3, 8)), (20, Fraction(3, 4)), (25, Fraction(1)),
         (-20, Fraction(-3, 4)))
LENGTH = r"(?P<number>\d+(?:\.\d+)?(?: \d+/\d+)?|\d+/\d+) (?P<unit>mm|in)"
ROUNDS = 3
COLD, CLOCK, SAME, WORD, LENGTH_CHANGED = ("cold", "cold, by the clock", "nothing changed",
                                           "one word changed",
                                           "one length changed")
SERVED_WORD, SERVED_LENGTH = "serve: word to page, s", "serve: length to page, s"
MEMORY, GALLERY, SEARCH = "most memory, MiB", "gallery page, kB", "search index, compressed kB"
# what is measured → its aim by the size of the shelf; None: of every size
AIMS: dict[str, dict[int | None, float]] = {
    COLD: {None: 3.5}, CLOCK: {None: 2.0}, SAME: {12: 0.25, 48: 0.25}, WORD: {48: 0.3},
    LENGTH_CHANGED: {48: 0.4},
    SERVED_WORD: {12: 1.0, 200: 1.5}, SERVED_LENGTH: {12: 1.0, 200: 1.5},
    MEMORY: {200: 350}, GALLERY: {200: 250}, SEARCH: {200: 60}}
MOST_GROWTH = 1.03      # the exponent from the smallest shelf to the largest
# of a page of `serve`: the call that reloads it, and the digest that lets it
PER_REQUEST = re.compile(rb"livereload\([^)]*\)|sha256-[^']*")
LONGEST_WAIT = 120      # s, for a page of `serve`


def grown(text: str, name: str, step: tuple[int, Fraction]) -> str:
    """The source with a length of both editions larger by a step, wherever its front matter tells it."""
    def larger(found: re.Match[str]) -> str:
        value = sum(map(Fraction, found["number"].split())) + step[found["unit"] == "in"]
        whole, rest = divmod(value, 1)
        number = f"{whole} {rest}" if whole and rest else str(rest or whole)
        return f"{number} {found['unit']}"
    head, front, rest = text.split("---\n", 2)
    told = re.compile(
        rf"(?<![\w]){name}:\s+{LENGTH}(?: for {LENGTH.replace('number', 'n2').replace('unit', 'u2')})?")
    front = told.sub(lambda found: re.sub(LENGTH, larger, found[0]), front)
    return "---\n".join((head, front, rest))


def variants(source: Path) -> Iterator[str]:
    """Sources with one length changed that hold without an error, the easiest first."""
    text = source.read_text(encoding="utf-8")
    block = re.search(r"^lengths:\n((?:  .*\n)+)", text, re.M)
    names = re.findall(r"^  (\w+):", block[1], re.M) if block else []
    for step in STEPS:
        for name in names:
            changed = grown(text, name, step)
            with tempfile.TemporaryDirectory() as folder:
                place = Path(folder) / source.parent.name
                shutil.copytree(source.parent, place)
                (place / source.name).write_text(changed, encoding="utf-8")
                if not has_errors(load(place / source.name, None, BENCHES).findings):
                    yield changed


def write_shelf(size: int, folder: Path) -> None:
    """A site of so many tutorials with the settings and the theme of ours."""
    sources = sorted((ROOT / "tutorials").glob("*/index.md"))[:12]
    others = {source: variants(source) for source in sources}
    for number in range(size):
        source = sources[number % len(sources)]
        turn = number // len(sources)
        place = folder / "tutorials" / (f"{source.parent.name}-{turn}" if turn else source.parent.name)
        shutil.copytree(source.parent, place)
        if turn and (text := next(others[source], None)):
            (place / source.name).write_text(text, encoding="utf-8")
    for page in (ROOT / "tutorials").glob("*.md"):
        shutil.copy(page, folder / "tutorials")
    settings = (ROOT / "mkdocs.yml").read_text(encoding="utf-8")
    settings = settings.replace("custom_dir: theme", f"custom_dir: {(ROOT / 'theme').as_posix()}")
    (folder / "mkdocs.yml").write_text(re.sub(r"^watch:.*$", "", settings, flags=re.M), encoding="utf-8")


def environment() -> dict[str, str]:
    """As for whoever works with it: compiled code is kept, whatever this process was told."""
    return {**{name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"},
            "PYTHONPATH": str(ROOT)}


def built(folder: Path) -> tuple[float, float, float]:
    """(processor time, time by the clock) of one build in seconds, and its largest memory in MiB."""
    start = time.monotonic()
    process = subprocess.Popen([sys.executable, "-m", "mkdocs", "build", "-q"], cwd=folder, env=environment())
    _, status, used = os.wait4(process.pid, 0)
    if status:
        raise SystemExit(f"{folder} does not build")
    return used.ru_utime + used.ru_stime, time.monotonic() - start, used.ru_maxrss / 1024


def quotient(ours: Path, plain: Path, prepare: Callable[[int], object],
             rounds: int = ROUNDS) -> tuple[list[float], list[float]]:
    """(processor time, time by the clock, MiB), medians of ours and of the yardstick's, by turns."""
    figures = []
    for number in range(rounds):
        prepare(number)
        figures.append((built(ours), built(plain)))
    mine, theirs = ([statistics.median(each) for each in zip(*side, strict=True)]
                    for side in zip(*figures, strict=True))
    return mine, theirs


@dataclass(frozen=True)
class Figure:
    """What was measured: ``ours`` in its own unit, and as a quotient where there is a ``plain``."""

    what: str
    ours: float
    plain: float | None = None

    @property
    def value(self) -> float:
        """What is held against the aim."""
        return self.ours if self.plain is None else self.ours / self.plain

    def row(self, size: int) -> tuple[str, bool]:
        """A line of the report, and whether the aim was missed."""
        aim = AIMS[self.what].get(size, AIMS[self.what].get(None))
        beside = "" if self.plain is None else f"= {self.ours:.2f} s ÷ {self.plain:.2f} s"
        told = "" if aim is None else f"at most {aim:g}{'' if self.value <= aim else '   MISSED'}"
        return (f"{size:>4} tutorials, {self.what:<28}{self.value:>8.2f} {beside:<24}{told}".rstrip(),
                aim is not None and self.value > aim)


def measured(size: int, folder: Path) -> Iterator[Figure]:
    """All figures of a shelf."""
    ours, plain = folder / "ours", folder / "plain"
    (ours / "tutorials").mkdir(parents=True)
    write_shelf(size, ours)
    yardstick.main(size, plain)
    first = sorted((ours / "tutorials").glob("*/index.md"))[0]
    text = first.read_text(encoding="utf-8")
    lengths = variants(first)

    def word(number: int) -> None:
        first.write_text(text.replace("\n\n## ", f"\n\nTime {number}.\n\n## ", 1), encoding="utf-8")

    def length(_: int) -> None:
        first.write_text(next(lengths), encoding="utf-8")

    mine, theirs = quotient(ours, plain, lambda _: None, 1)
    yield Figure(COLD, mine[0], theirs[0])
    yield Figure(CLOCK, mine[1], theirs[1])
    yield Figure(MEMORY, mine[2])
    for what, prepare in ((SAME, lambda _: None), (WORD, word), (LENGTH_CHANGED, length)):
        mine, theirs = quotient(ours, plain, prepare)
        yield Figure(what, mine[0], theirs[0])
    yield Figure(GALLERY, len((ours / "site" / "index.html").read_bytes()) / 1000)
    yield Figure(SEARCH, len(gzip.compress((ours / "site" / "search.json").read_bytes())) / 1000)
    with served(ours) as page:
        address = f"{first.parent.name}/"
        for what, prepare in ((SERVED_WORD, word), (SERVED_LENGTH, length)):
            yield Figure(what, statistics.median(seconds_to_page(page, address, partial(prepare, 77 + number))
                                                 for number in range(ROUNDS)))


@contextmanager
def served(folder: Path) -> Iterator[Callable[[str], bytes]]:
    """`mkdocs serve` of a site, as a function that gets a page."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        at = f"127.0.0.1:{free.getsockname()[1]}"
    process = subprocess.Popen([sys.executable, "-m", "mkdocs", "serve", "-q", "--livereload", "-a", at],
                               cwd=folder, env=environment())

    def page(address: str) -> bytes:
        with urllib.request.urlopen(f"http://{at}/{address}", timeout=LONGEST_WAIT) as answer:
            return PER_REQUEST.sub(b"", answer.read())
    try:
        until(lambda: page(""))
        yield page
    finally:
        process.terminate()
        process.wait()


def seconds_to_page(page: Callable[[str], bytes], address: str, save: Callable[[], object]) -> float:
    """How long it takes from a saved change to the page that shows it."""
    before = page(address)
    start = time.monotonic()
    save()
    until(lambda: page(address) != before)
    return time.monotonic() - start


def until(done: Callable[[], object]) -> None:
    """Ask again and again until it is so, and no error is met."""
    end = time.monotonic() + LONGEST_WAIT
    while time.monotonic() < end:
        with suppress(OSError, http.client.HTTPException):
            if done():
                return
        time.sleep(0.02)
    raise SystemExit("the preview does not answer")


def main(sizes: list[int]) -> int:
    """Measure and report; how many aims were missed."""
    missed, found = 0, {}
    for size in sizes:
        with tempfile.TemporaryDirectory() as folder:
            for figure in measured(size, Path(folder)):
                line, wrong = figure.row(size)
                found[figure.what, size] = figure.ours
                missed += wrong
                print(line, flush=True)
    small, large = min(sizes), max(sizes)
    for what in (COLD, SAME) if small < large else ():
        growth = math.log(found[what, large] / found[what, small]) / math.log(large / small)
        missed += growth > MOST_GROWTH
        print(f"from {small} to {large}, growth exponent of {what}: {growth:.3f}   at most {MOST_GROWTH}")
    return missed


if __name__ == "__main__":
    sys.exit(min(1, main([int(size) for size in sys.argv[1:]] or [12, 48])))

"""Shelves of many tutorials, and how long a build of them takes beside the yardstick.

``python shelves.py [SIZE …]``, 12 and 48 unless said; ends with 1 where an aim is missed. A shelf is the
tutorials of this site over and over, from the second time on with another length in both editions. The
yardstick is a plain MkDocs site of the weight of ours, always the same (``yardstick.py``). Both are built by
turns in processes of their own, and their processor time is compared, that of all processes that they start
included.
"""
from __future__ import annotations

import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from fractions import Fraction
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
# what is measured → the aim for the quotient, by the size of the shelf where it hangs on it
AIMS = {"nothing changed": 0.25, "one word changed": 0.3, "one length changed": 0.4, "cold": 3.5,
        "cold, by the clock": 2.0}


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


def built(folder: Path) -> tuple[float, float, float]:
    """(processor time, time by the clock) of one build in seconds, and its largest memory in MiB."""
    start = time.monotonic()
    # as for whoever works with it: compiled code is kept, whatever this process was told
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    process = subprocess.Popen([sys.executable, "-m", "mkdocs", "build", "-q"], cwd=folder,
                               env={**environment, "PYTHONPATH": str(ROOT)})
    _, status, used = os.wait4(process.pid, 0)
    if status:
        raise SystemExit(f"{folder} does not build")
    return used.ru_utime + used.ru_stime, time.monotonic() - start, used.ru_maxrss / 1024


def quotient(ours: Path, plain: Path, prepare: Callable[[int], object], rounds: int = ROUNDS,
             which: int = 0) -> float:
    """The median of ours by the median of the yardstick's, by turns."""
    figures = []
    for number in range(rounds):
        prepare(number)
        figures.append((built(ours)[which], built(plain)[which]))
    return statistics.median(a for a, _ in figures) / statistics.median(b for _, b in figures)


def measured(size: int, folder: Path) -> dict[str, float]:
    """All quotients of a shelf."""
    ours, plain = folder / "ours", folder / "plain"
    (ours / "tutorials").mkdir(parents=True)
    write_shelf(size, ours)
    yardstick.main(size, plain)
    first = sorted((ours / "tutorials").glob("*/index.md"))[0]
    text = first.read_text(encoding="utf-8")
    lengths = variants(first)

    def cold(_: int) -> None:
        shutil.rmtree(ours / ".foldgauge", ignore_errors=True)

    def word(number: int) -> None:
        first.write_text(text.replace("\n\n## ", f"\n\nTime {number}.\n\n## ", 1), encoding="utf-8")

    def length(_: int) -> None:
        first.write_text(next(lengths), encoding="utf-8")

    return {"cold": quotient(ours, plain, cold, 1),
            "cold, by the clock": quotient(ours, plain, cold, 1, which=1),
            "nothing changed": quotient(ours, plain, lambda _: None),
            "one word changed": quotient(ours, plain, word),
            "one length changed": quotient(ours, plain, length)}


def main(sizes: list[int]) -> int:
    """Measure and report; how many aims were missed."""
    missed = 0
    for size in sizes:
        with tempfile.TemporaryDirectory() as folder:
            for what, value in measured(size, Path(folder)).items():
                missed += value > AIMS[what]
                print(f"{size:>4} tutorials, {what:<22}{value:>7.2f} × the yardstick   at most {AIMS[what]}",
                      flush=True)
    return missed


if __name__ == "__main__":
    sys.exit(min(1, main([int(size) for size in sys.argv[1:]] or [12, 48])))

"""How long it takes: one tutorial's evaluation, its pictures, and its pages beside a plain MkDocs build of them.

Run by ``make bench``. All figures are medians of one run on one machine, in
processor time, since the machine may be busy with other work; only their
ratios can be compared with those of another machine.
"""
from __future__ import annotations

import gc
import shutil
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from mkdocs.commands.build import build
from mkdocs.config import load_config
from plain import write_plain_site
from templates import AIM, PAGE, large_blank, template

from generator.drawing import step_pictures, svg
from generator.tutorial import Tutorial, load_text
from generator.tutorial.templates import template_files
from generator.units import default_bench

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "tutorials" / "tea-caddy" / "index.md"
BENCHES = {system: default_bench(system) for system in ("mm", "in")}
COPIES = 8          # of the tutorial on the shelf, so that what a build costs once counts little
ROUNDS = 15
BUILDS = 5

AIMS = {"evaluate": 10.0, "pictures": 60.0, "ratio": 1.0}


def timed_ms(work: Callable[[], object]) -> float:
    """Milliseconds of processor time that ``work`` takes once."""
    gc.collect()
    start = time.process_time()
    work()
    return (time.process_time() - start) * 1000


def median_ms(work: Callable[[], object]) -> float:
    """The median of some rounds, after one that warms up."""
    work()
    return statistics.median(timed_ms(work) for _ in range(ROUNDS))


def evaluated(text: str) -> Tutorial:
    """The caddy, or an end of the bench with what is wrong with it."""
    loaded = load_text(text, str(SOURCE), BENCHES, slug="tea-caddy")
    if loaded.tutorial is None:
        raise SystemExit(f"{SOURCE} has errors: run foldgauge check")
    return loaded.tutorial


def draw(tutorial: Tutorial) -> int:
    """Draw all step pictures as SVG text; gives how many."""
    drawn = [svg(picture.recording, picture.title, picture.description, picture.key)
             for step in tutorial.steps if step.has_picture
             for picture in step_pictures(tutorial.drawn, tutorial.regauged, step.number)]
    return len(drawn)


def build_site(config: Path, **changes: str) -> None:
    """Build a site as the command of MkDocs does."""
    settings = load_config(str(config), **changes)
    settings.plugins.on_startup(command="build", dirty=False)
    try:
        build(settings)
    finally:
        settings.plugins.on_shutdown()


def shelf(folder: Path) -> Path:
    """A folder of sources: the caddy, several times."""
    for number in range(1, COPIES + 1):
        shutil.copytree(SOURCE.parent, folder / f"caddy-{number}")
    return folder


def builds(folder: Path) -> tuple[float, float]:
    """Milliseconds a tutorial takes, page and print view: with Foldgauge, and plain from the finished pages.

    The two take turns, so that whatever else the machine does falls on both.
    """
    docs, built = shelf(folder / "sources"), folder / "built"
    build_site(ROOT / "mkdocs.yml", docs_dir=str(docs), site_dir=str(built))
    write_plain_site(built, folder / "plain")
    ours, plain = [], []
    for _ in range(BUILDS):
        ours.append(timed_ms(lambda: build_site(ROOT / "mkdocs.yml", docs_dir=str(docs), site_dir=str(built))))
        plain.append(timed_ms(lambda: build_site(folder / "plain" / "mkdocs.yml")))
    return statistics.median(ours) / COPIES, statistics.median(plain) / COPIES


def row(what: str, ms: float, plain: float, aim: str) -> str:
    """One line of the report."""
    return f"{what:<58}{ms:>8.1f} ms{ms / plain:>8.2f}   {aim}"


def main() -> None:
    """Measure and report."""
    text = SOURCE.read_text(encoding="utf-8")
    tutorial = evaluated(text)
    count = draw(tutorial)
    evaluate = median_ms(lambda: evaluated(text))
    pictures = median_ms(lambda: draw(tutorial))
    with tempfile.TemporaryDirectory() as folder:
        ours, plain = builds(Path(folder))
    blank = large_blank(BENCHES)
    pages, size = template(blank)
    tiles = median_ms(lambda: template(blank))
    files = median_ms(lambda: template_files(tutorial))
    print(f"{'the tea caddy':<58}{'':>11}{'ratio':>8}   aim")
    print(row("plain MkDocs, the finished pages with drawings inlined", plain, plain, ""))
    print(row("read and evaluated in both editions, prose worded", evaluate, plain, f"≤ {AIMS['evaluate']:g} ms"))
    print(row(f"its {count} step pictures drawn, as SVG", pictures, plain, f"≤ {AIMS['pictures']:g} ms"))
    print(row("its templates, bench cards and cutting files", files, plain, ""))
    print(row(f"a blank of 1 m × 1 m: {pages} pages of {size // pages} bytes (≤ {PAGE})", tiles, plain, f"≤ {AIM:g} ms"))
    print(row("the whole build, page and print view", ours, plain, f"ratio ≤ {AIMS['ratio']:g}"))


if __name__ == "__main__":
    main()

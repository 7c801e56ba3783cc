"""How long it takes: one tutorial's evaluation, its pictures, its pages beside a plain MkDocs build of them,
and the site.

Run by ``make bench``. All figures are medians of one run on one machine, in
processor time, since the machine may be busy with other work; only their
ratios can be compared with those of another machine. *Cold* is without what an
earlier build has kept, *warm* with it and nothing changed. Each round has a
tutorial evaluated anew, so that nothing it is asked has been answered before.
"""
from __future__ import annotations

import gc
import shutil
import statistics
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

from mkdocs.commands.build import build
from mkdocs.config import load_config
from plain import write_plain_site
from templates import AIM, PAGE, large_blank, template

from generator.drawing.backends.svg import svg
from generator.drawing.folded.fold_pictures import fold_pictures
from generator.drawing.steps.step_picture import step_pictures
from generator.folding import fold
from generator.tutorial import Tutorial, load_text
from generator.tutorial.template_files import template_files
from generator.tutorial.troubleshooting import troubleshoot
from generator.units import default_bench

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "tutorials" / "tea-caddy" / "index.md"
BENCHES = {system: default_bench(system) for system in ("mm", "in")}
BENT: dict[str, bytes] = {}
COPIES = 4          # of the tutorial on the shelf, so that what a build costs once counts little
ROUNDS = 9
BUILDS = 3
CACHE = ".foldgauge"        # beside the site: what a build keeps for the next one


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


def fresh_ms(text: str, work: Callable[[Tutorial], object]) -> float:
    """The median of some rounds, each with a tutorial that was never asked anything."""
    work(evaluated(text))
    return statistics.median(timed_ms(partial(work, evaluated(text))) for _ in range(ROUNDS))


def evaluated(text: str) -> Tutorial:
    """The caddy, or an end of the bench with what is wrong with it; its dome is bent once for all rounds."""
    loaded = load_text(text, str(SOURCE), BENCHES, slug="tea-caddy", cache=BENT)
    if loaded.tutorial is None:
        raise SystemExit(f"{SOURCE} has errors: run foldgauge check")
    return loaded.tutorial


def folds(tutorial: Tutorial, kept: dict[str, bytes] | None) -> None:
    """Fold and bend both editions; with None everything is worked out."""
    for plan in tutorial.plans.values():
        fold(plan, {} if kept is None else kept)


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


def cold(site: Path) -> None:
    """Forget what earlier builds of this site have kept."""
    shutil.rmtree(site.parent / CACHE, ignore_errors=True)


def whole_site(folder: Path) -> tuple[float, float]:
    """Milliseconds for the site as it is, cold and warm."""
    site, times = folder / "site", []
    for _ in range(BUILDS):
        cold(site)
        times.append([timed_ms(lambda: build_site(ROOT / "mkdocs.yml", site_dir=str(site)))
                      for _ in range(2)])
    return tuple(map(statistics.median, zip(*times, strict=True)))


def builds(folder: Path) -> tuple[float, float]:
    """Milliseconds a tutorial takes, page and print view: with Foldgauge, cold, and plain from the finished
    pages.

    The two take turns, so that whatever else the machine does falls on both.
    """
    docs, built = shelf(folder / "sources"), folder / "built"
    build_site(ROOT / "mkdocs.yml", docs_dir=str(docs), site_dir=str(built))
    write_plain_site(built, folder / "plain")
    ours, plain = [], []
    for _ in range(BUILDS):
        cold(built)
        ours.append(timed_ms(lambda: build_site(ROOT / "mkdocs.yml", docs_dir=str(docs),
                                                site_dir=str(built))))
        plain.append(timed_ms(lambda: build_site(folder / "plain" / "mkdocs.yml")))
    return statistics.median(ours) / COPIES, statistics.median(plain) / COPIES


def row(what: str, ms: float, plain: float, aim: str = "") -> str:
    """One line of the report."""
    return f"{what:<58}{ms:>9.1f} ms{ms / plain:>8.2f}   {aim}"


def main() -> None:
    """Measure and report."""
    text = SOURCE.read_text(encoding="utf-8")
    tutorial = evaluated(text)
    count = draw(tutorial)
    with tempfile.TemporaryDirectory() as folder:
        ours, plain = builds(Path(folder))
    with tempfile.TemporaryDirectory() as folder:
        first, again = whole_site(Path(folder))
    blank = large_blank(BENCHES)
    pages, size = template(blank)
    print(f"{'the tea caddy':<58}{'':>12}{'ratio':>8}   aim")
    print(row("plain MkDocs, the finished pages with drawings inlined", plain, plain))
    print(row("read, evaluated and folded in both editions, worded", median_ms(lambda: evaluated(text)),
              plain))
    print(row("both editions folded and bent, cold", median_ms(lambda: folds(tutorial, None)), plain))
    print(row("both editions folded and bent, warm", median_ms(lambda: folds(tutorial, BENT)), plain))
    print(row(f"its {count} step pictures drawn, as SVG", median_ms(lambda: draw(tutorial)), plain))
    print(row("its pictures of folded paper", fresh_ms(text, fold_pictures), plain))
    print(row("every mark tried for its table of troubles", fresh_ms(text, troubleshoot), plain))
    print(row("its templates, bench cards and cutting files", fresh_ms(text, template_files), plain))
    print(row(f"a blank of 1 m × 1 m: {pages} pages of {size // pages} bytes (≤ {PAGE})",
              median_ms(lambda: template(large_blank(BENCHES))),
              plain, f"≤ {AIM:g} ms"))
    print(row("the whole build, page and print view, cold", ours, plain))
    print(row("all of the site, cold", first, plain))
    print(row("all of the site, warm", again, plain))


if __name__ == "__main__":
    main()

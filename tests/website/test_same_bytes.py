"""The same sources give the same bytes, whatever the machine, day, place and order of its work."""
from __future__ import annotations

import os
import platform
import shutil
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

import numpy
import pytest

ROOT = Path(__file__).resolve().parents[2]
# flat paper, a dome of gores, a pyramid: each chooses among floats in its own way
KINDS = ("seed-envelope", "almond-pot", "soap-pyramid")
CONFIG = """\
site_name: The Saturday stall
site_url: https://stall.example/boxes/
docs_dir: tutorials
theme: {{name: null, custom_dir: "{theme}"}}
plugins: [foldgauge: {{jobs: {jobs}}}]
markdown_extensions: [attr_list]
"""
# read by every process before all else: entries of folders come backwards, and it is another day
UPSIDE_DOWN = """\
import os, time

class Backwards:
    def __init__(self, entries):
        self.entries = iter(entries)
    def __iter__(self):
        return self
    def __next__(self):
        return next(self.entries)
    def __enter__(self):
        return self
    def __exit__(self, *_):
        pass
    close = __exit__

_scandir, _listdir, _time = os.scandir, os.listdir, time.time

def scandir(*args):
    with _scandir(*args) as found:
        return Backwards(sorted(found, key=lambda each: each.name, reverse=True))

os.scandir = scandir
os.listdir = lambda *args: sorted(_listdir(*args), reverse=True)
time.time = lambda: _time() + 400 * 86400
"""


def other_machine() -> dict[str, str]:
    """Another path through OpenBLAS, and numpy without what this processor has beyond its baseline."""
    core = {"x86_64": "Prescott", "amd64": "Prescott"}.get(platform.machine().lower(), "ARMV8")
    extensions = numpy.show_config(mode="dicts")["SIMD Extensions"].get("found", [])
    return {"OPENBLAS_CORETYPE": core, "NPY_DISABLE_CPU_FEATURES": " ".join(extensions)}


def project(root: Path, checkout: Path, slugs: tuple[str, ...], jobs: int) -> Path:
    """A site of some tutorials, built by the program of a checkout."""
    for slug in slugs:
        shutil.copytree(ROOT / "tutorials" / slug, root / "tutorials" / slug)
    (root / "mkdocs.yml").write_text(CONFIG.format(theme=(checkout / "theme").as_posix(), jobs=jobs),
                                     encoding="utf-8")
    return root


def built(root: Path, checkout: Path, settings: Mapping[str, str]) -> dict[str, bytes]:
    """Every file of the site, built with these settings of the environment."""
    kept = {key: value for key, value in os.environ.items() if not key.startswith(("LC_", "LANG"))}
    path = os.pathsep.join(filter(None, (settings.get("PYTHONPATH"), str(checkout))))
    run = subprocess.run([sys.executable, "-m", "mkdocs", "build", "-q"], cwd=root, capture_output=True,
                         text=True, encoding="utf-8", env={**kept, **settings, "PYTHONPATH": path})
    assert run.returncode == 0, run.stdout + run.stderr
    site = root / "site"
    return {each.relative_to(site).as_posix(): each.read_bytes()
            for each in site.rglob("*") if each.is_file()}


def elsewhere(folder: Path) -> tuple[Path, dict[str, str]]:
    """A checkout in another folder, and an environment in which all is otherwise."""
    checkout = folder / "another place" / "a checkout"
    for name in ("generator", "theme"):
        shutil.copytree(ROOT / name, checkout / name, ignore=shutil.ignore_patterns("__pycache__"))
    (folder / "start").mkdir()
    (folder / "start" / "sitecustomize.py").write_text(UPSIDE_DOWN, encoding="utf-8")
    return checkout, {"PYTHONPATH": str(folder / "start"), "PYTHONHASHSEED": "4711", "LC_ALL": "C",
                      "PYTHONUTF8": "0", "TZ": "Pacific/Apia", "SOURCE_DATE_EPOCH": "1893456000",
                      **other_machine()}


def differences(tmp_path: Path, slugs: tuple[str, ...]) -> list[str]:
    """What is not the same where it is built again from what was kept, and elsewhere, by two processes.

    Taken from what was kept are also pictures and measures: numpy, which makes them, cannot be loaded then.
    """
    here = project(tmp_path / "here", ROOT, slugs, jobs=1)
    usual = {"PYTHONHASHSEED": "0", "LC_ALL": "C.UTF-8", "TZ": "UTC"}
    first = built(here, ROOT, usual)
    assert all(f"{slug}/{name}" in first for slug in slugs for name in ("index.html", "share.png"))
    shutil.rmtree(here / "site")
    (tmp_path / "without").mkdir()
    (tmp_path / "without" / "numpy.py").write_text("raise SystemExit('a page is made again')\n",
                                                   encoding="utf-8")
    again = built(here, ROOT, {**usual, "PYTHONPATH": str(tmp_path / "without")})
    checkout, settings = elsewhere(tmp_path)
    there = built(project(tmp_path / "there" / "b", checkout, slugs, jobs=2), checkout, settings)
    return [*differing(first, again), *differing(first, there)]


def differing(one: Mapping[str, bytes], other: Mapping[str, bytes]) -> list[str]:
    """The files that are not the same, each with its first difference."""
    found = []
    for name in sorted({*one, *other}):
        a, b = one.get(name, b""), other.get(name, b"")
        if a != b:
            at = next((k for k, (x, y) in enumerate(zip(a, b, strict=False)) if x != y), min(len(a), len(b)))
            found.append(f"{name}: {a[max(0, at - 60):at + 60]!r} {b[max(0, at - 60):at + 60]!r}")
    return found


def test_a_site_is_the_same_bytes_everywhere(tmp_path):
    """Another hash seed, locale, time zone, day, order of folders, number of processes, folder of the site
    and of the program, path through BLAS and numpy; cold and from what was kept; share pictures too.
    """
    assert differences(tmp_path, KINDS) == []


@pytest.mark.slow
def test_the_whole_shelf_is_the_same_bytes_everywhere(tmp_path):
    """The same for every tutorial that is published here."""
    slugs = tuple(path.parent.name for path in sorted(ROOT.glob("tutorials/*/index.md")))
    assert differences(tmp_path, slugs) == []

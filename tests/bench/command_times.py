"""How long the command line takes: help and version beside the bare start of Python, checks in seconds.

Processor time, medians of some rounds, each in a process of its own; checks with nothing kept, ``changed``
and ``why`` beside what a build keeps. Ends with 1 where an aim is missed.
"""
from __future__ import annotations

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

from shelves import ROOT, environment

from generator.files import STORE_FOLDER

ROUNDS = 5
FOLDGAUGE = "from generator.commands.main import main; main()"
BARE_AIM = 4            # times the bare start of Python
# words of the command → seconds at most
CHECKS = {"check tutorials/soap-tray": 0.5, "check tutorials/tea-caddy": 0.9, "check tutorials": 2.5}
# with all on record and kept: what changed takes no longer than whether all is sound
WARM = ("changed", "check tutorials")
WHY, WHY_AIM = "why tutorials/tea-caddy panel", 0.25


def seconds(folder: Path, *arguments: str) -> float:
    """Of processor time, that Python takes with these arguments."""
    times = []
    for _ in range(ROUNDS):
        process = subprocess.Popen([sys.executable, *arguments], cwd=folder, env=environment(),
                                   stdout=subprocess.DEVNULL)
        _, status, used = os.wait4(process.pid, 0)
        if status:
            raise SystemExit(f"{arguments} failed")
        times.append(used.ru_utime + used.ru_stime)
    return statistics.median(times)


def main() -> int:
    """Measure and report; how many aims were missed."""
    missed = 0
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        shutil.copytree(ROOT / "tutorials", folder / "tutorials")
        shutil.copy(ROOT / "mkdocs.yml", folder)
        bare = seconds(folder, "-c", "pass")
        rows = [(f"foldgauge {word} ÷ Python", seconds(folder, "-c", FOLDGAUGE, word) / bare, BARE_AIM)
                for word in ("--version", "--help")]
        rows += [(f"foldgauge {words}, s", seconds(folder, "-c", FOLDGAUGE, *words.split()), aim)
                 for words, aim in CHECKS.items()]
        (folder / STORE_FOLDER).mkdir(parents=True)
        subprocess.run([sys.executable, "-c", FOLDGAUGE, "publish"], cwd=folder, env=environment(),
                       check=True, stdout=subprocess.DEVNULL)
        changed, check = (seconds(folder, "-c", FOLDGAUGE, *words.split()) for words in WARM)
        rows.append(("foldgauge changed ÷ check, both with all kept", changed / check, 1))
        rows.append((f"foldgauge {WHY}, s", seconds(folder, "-c", FOLDGAUGE, *WHY.split()), WHY_AIM))
    for what, value, aim in rows:
        missed += value > aim
        print(f"{what:<48}{value:>8.2f}   at most {aim:g}{'   MISSED' if value > aim else ''}", flush=True)
    return missed


if __name__ == "__main__":
    sys.exit(min(1, main()))

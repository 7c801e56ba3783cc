"""What sources that ask for far too much cost the whole way: ``make greedy`` fails where one costs too much.

Each is checked and built by itself, in a process of its own, so that its memory can be told. Sound or
refused, it may take :data:`MOST_SECONDS` of processor time and :data:`MOST_MEMORY`.
"""
from __future__ import annotations

import argparse
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.bench.whole_way import whole_way
from tests.tutorial.greedy_sources import GREEDY
from tests.tutorial.oversized_sources import HEAVY

MOST_SECONDS = 10.0
MOST_MEMORY = 500       # MB
SOURCES = {**HEAVY, **GREEDY}


def worked(name: str, folder: Path) -> str:
    """Work one out, in this process: seconds, MB, and the codes of what was found."""
    source = folder / "tutorials" / "box" / "index.md"
    source.parent.mkdir(parents=True)
    source.write_text(SOURCES[name], encoding="utf-8")
    began = time.process_time()
    codes = sorted(set(whole_way(folder)))
    spent = time.process_time() - began
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    return f"{spent:.1f} {memory} {' '.join(codes) or 'sound'}"


def main() -> None:
    """Work all out, or those that are named; exit with 1 where any is lost or costs too much."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("names", nargs="*", default=list(SOURCES))
    parser.add_argument("--here", action="store_true", help="one, in this process")
    given = parser.parse_args()
    if given.here:
        with tempfile.TemporaryDirectory() as place:
            print(worked(given.names[0], Path(place)))
        return
    failed = 0
    for name in given.names:
        done = subprocess.run([sys.executable, __file__, "--here", name], capture_output=True, text=True,
                              check=False)
        said = done.stdout.strip() if done.returncode == 0 else f"999 999 {done.stderr[-600:]}"
        seconds, memory, _ = said.split(" ", 2)
        wrong = float(seconds) > MOST_SECONDS or int(memory) > MOST_MEMORY
        failed += wrong
        print(f"{'TOO MUCH ' if wrong else ''}{name}: {said}", flush=True)
    raise SystemExit(bool(failed))


if __name__ == "__main__":
    main()

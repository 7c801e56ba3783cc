"""What sources that ask for far too much cost the whole way: ``make greedy`` fails where one costs too much.

Each is checked and then built by itself, in a process of its own, so that its memory can be told. Sound or
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

from tests.tutorial.greedy_sources import GREEDY
from tests.tutorial.oversized_sources import HEAVY

MOST_SECONDS = 10.0
MOST_MEMORY = 500       # MB

SOURCES = {**HEAVY, **GREEDY}


def worked(name: str, folder: Path) -> str:
    """Work one out, in this process; what it cost and what became of it."""
    from tests.bench.fuzz import whole_way
    own = folder / "tutorials" / "box"
    own.mkdir(parents=True)
    text = SOURCES[name]
    (own / "index.md").write_text(text, encoding="utf-8")
    began = time.process_time()
    try:
        codes = sorted(set(whole_way(folder)))
    except Exception as error:
        codes = [f"RAISED {type(error).__name__}: {str(error)[-300:]}"]
    spent = time.process_time() - began
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    return f"{spent:.1f} {memory} {' '.join(codes) or 'sound'}"


def main() -> None:
    """Work all out; exit with 1 where any costs too much."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("names", nargs="*", default=list(SOURCES))
    parser.add_argument("--here", action="store_true", help="in this process")
    given = parser.parse_args()
    worst = False
    for name in given.names:
        if given.here:
            with tempfile.TemporaryDirectory() as place:
                print(worked(name, Path(place)))
            return
        done = subprocess.run([sys.executable, __file__, "--here", name], capture_output=True, text=True,
                              check=False)
        said = (done.stdout.strip().splitlines() or [f"999 999 {done.stderr[-400:]}"])[-1]
        seconds, memory, _ = said.split(" ", 2)
        large = float(seconds) > MOST_SECONDS or int(memory) > MOST_MEMORY or "RAISED" in said
        worst |= large
        print(f"{'TOO MUCH ' if large else ''}{name}: {said}", flush=True)
    raise SystemExit(worst)


if __name__ == "__main__":
    main()

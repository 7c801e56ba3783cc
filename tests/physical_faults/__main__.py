"""How many of the faults are found, and where: ``python -m tests.physical_faults [WORD …]``."""
from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from tests.physical_faults.mutated import at_its_place, changes, findings_of


def main(words: list[str]) -> None:
    """Print a line for every change that is not judged as it should be, and the sums."""
    counts = {"right line": 0, "elsewhere": 0, "missed": 0}
    for change in changes(harmful=True):
        if words and not any(word in f"{change.family} {change.label}" for word in words):
            continue
        with tempfile.TemporaryDirectory() as folder:
            source, lines, found = findings_of(change, Path(folder))
        kind = ("missed" if not found else
                "right line" if any(at_its_place(change, source, lines, each) for each in found)
                else "elsewhere")
        counts[kind] += 1
        told = "; ".join(f"{each.line} {each.code}: {each.message}" for each in found[:3])
        if kind != "right line" or words:
            print(f"{kind:10} {change.label}\n           {sorted(lines)} {told}", flush=True)
    print(counts)
    false = 0
    for change in changes(harmful=False):
        if words and not any(word in f"{change.family} {change.label}" for word in words):
            continue
        with tempfile.TemporaryDirectory() as folder:
            _, _, found = findings_of(change, Path(folder))
        if found:
            false += 1
            print(f"false alarm {change.label}\n           "
                  + "; ".join(f"{each.line} {each.code}: {each.message}" for each in found[:3]), flush=True)
    print(f"{false} false alarms")


main(sys.argv[1:])

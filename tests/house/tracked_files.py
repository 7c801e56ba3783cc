"""The files that belong to the project."""
from __future__ import annotations

import subprocess
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


@cache
def tracked() -> tuple[Path, ...]:
    """Every file git knows or would take in, as absolute paths; all but hidden folders outside a clone."""
    listing = subprocess.run(["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
                             cwd=ROOT, capture_output=True, text=True)
    if listing.returncode == 0:
        names = [ROOT / name for name in listing.stdout.split("\0") if name]
    else:
        names = [p for top in TOP for p in sorted((ROOT / top).rglob("*")) if "node_modules" not in p.parts]
    return tuple(path for path in names if path.is_file())


TOP = ("generator", "tests", "theme", "tutorials", ".ci")


def texts() -> dict[Path, str]:
    """The tracked files that are text, with what they say."""
    found = {}
    for path in tracked():
        try:
            found[path] = path.read_text(encoding="utf-8")
        except UnicodeDecodeError:
            continue
    return found

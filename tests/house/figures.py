"""The figures of the house, each beside its aim: `make house` prints them, `test_figures.py` holds them."""
from __future__ import annotations

import ast
import re
import subprocess
import sys
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

from tests.house.imports import tree_of

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "generator"
# A comparison with the name of a mark or an act; what a kind does is asked of its record in the one table.
COMPARISON = re.compile(r"\bverb (?:==|!=|in|not in) ")
INCH = re.compile(r"\b25\.4\b|\b127\b")


def sources() -> list[Path]:
    """Every Python file of the package, in the order of its path."""
    return sorted(PACKAGE.rglob("*.py"))


def lines_of(path: Path) -> list[str]:
    """The lines of a file."""
    return path.read_text(encoding="utf-8").splitlines()


def duplicate_classes() -> dict[str, list[str]]:
    """Class names that stand in more than one module, with the modules."""
    found: defaultdict[str, list[str]] = defaultdict(list)
    for path in sources():
        for node in tree_of(path).body:
            if isinstance(node, ast.ClassDef):
                found[node.name].append(path.relative_to(ROOT).as_posix())
    return {name: places for name, places in found.items() if len(places) > 1}


def matching(pattern: re.Pattern[str]) -> list[str]:
    """The places (file:line) whose code, comments left out, matches a pattern."""
    return [f"{path.relative_to(ROOT).as_posix()}:{number}" for path in sources()
            for number, line in enumerate(lines_of(path), 1) if pattern.search(line.split("  #")[0])]


def count_errors(*command: str) -> int:
    """How many errors a checker counts, from the last line it prints; its whole output when it
    prints none.
    """
    ran = subprocess.run([sys.executable, "-m", *command], cwd=ROOT, capture_output=True, text=True,
                         check=False)
    if ran.returncode == 0:
        return 0
    last = (ran.stdout.strip().splitlines() or [ran.stderr])[-1]
    found = re.search(r"Found (\d+) error", last)
    if found is None:
        raise SystemExit(f"{' '.join(command)} could not run: {ran.stdout}{ran.stderr}")
    return int(found.group(1))


def measured_figures() -> Iterator[tuple[str, int, int]]:
    """Each figure that is read from the files as (what, how many now, the aim: at most)."""
    lengths = [len(lines_of(path)) for path in sources()]
    yield "Python files in generator/", len(lengths), 230
    yield "lines in generator/", sum(lengths), 33_000
    yield "lines of the longest file", max(lengths), 350
    yield "columns of the longest line", max(len(line) for path in sources() for line in lines_of(path)), 110
    yield "class names in two modules", len(duplicate_classes()), 0
    yield "comparisons with the name of a verb", len(matching(COMPARISON)), 0
    yield "places where the inch stands", len(matching(INCH)), 1


def checked_figures() -> Iterator[tuple[str, int, int]]:
    """Each figure that a checker counts, in the same form."""
    yield "errors of the type checker", count_errors("mypy"), 0
    yield "errors of the linter (complexity too)", count_errors("ruff", "check", "--quiet", "--statistics",
                                                                "generator", "tests"), 0


def main() -> None:
    """Print the figures beside their aims."""
    for what, now, aim in (*measured_figures(), *checked_figures()):
        print(f"{what:<40} {now:>7}   at most {aim:>6}   {'met' if now <= aim else 'missed'}")


if __name__ == "__main__":
    main()

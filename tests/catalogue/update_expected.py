"""Write into the catalogue what is printed now: ``python -m tests.catalogue.update_expected``; read the
difference before keeping it.
"""
from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from tests.catalogue.case_runner import found_in, run_command
from tests.catalogue.cases import FOLDER, Case, cases_of


def rewritten(page: str, text: str) -> str:
    """A page with each case's printed lines as they come out now."""
    rows = text.split("\n")
    for case in reversed(cases_of(page, text)):
        kind, printed = _printed(case)
        old = case.fence(kind.split()[0])
        if old is not None:
            rows[old.first - 1:old.end] = [f"~~~~ {kind}", *printed.split("\n")]
        else:
            end = case.fences[-1].end + 1
            rows[end:end] = ["", f"~~~~ {kind}", *printed.split("\n"), "~~~~"]
    return "\n".join(rows)


def _printed(case: Case) -> tuple[str, str]:
    if case.fence("command") is None:
        return "found", found_in(case)[1]
    with tempfile.TemporaryDirectory() as folder:
        status, printed = run_command(case, Path(folder))
    return f"printed {status}", printed


if __name__ == "__main__":
    for path in [FOLDER / f"{name}.md" for name in sys.argv[1:]] or sorted(FOLDER.glob("*.md")):
        path.write_text(rewritten(path.stem, path.read_text(encoding="utf-8")), encoding="utf-8")

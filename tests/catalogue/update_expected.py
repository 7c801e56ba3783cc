"""Write into the catalogue and the explanations what is printed now: ``python -m
tests.catalogue.update_expected``.

Read the difference before keeping it.
"""
from __future__ import annotations

import re
import sys
import tempfile
import textwrap
from pathlib import Path

from generator.findings import explanations as explained
from tests.catalogue.case_runner import found_in, printed_for_example, run_command
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


def with_prints(text: str) -> str:
    """A file of explanations with what each example prints now."""
    made = []
    for entry in re.split(r"^(?=\S)", text, flags=re.M):
        each = explained.explanations().get(entry.split(":")[0])
        if each is not None:
            with tempfile.TemporaryDirectory() as folder:
                printed = textwrap.indent(printed_for_example(each, Path(folder)), "    ")
            entry = re.sub(r"^  prints: \|\n(?:(?:    .*)?\n)*?(?=  \w)", "", entry, flags=re.M)
            entry = entry.replace("\n  mend: ", f"\n  prints: |\n{printed}\n  mend: ")
        made.append(entry)
    return "".join(made)


if __name__ == "__main__":
    for path in [FOLDER / f"{name}.md" for name in sys.argv[1:]] or sorted(FOLDER.glob("*.md")):
        path.write_text(rewritten(path.stem, path.read_text(encoding="utf-8")), encoding="utf-8")
    for path in [] if sys.argv[1:] else sorted(explained.FOLDER.glob("*.yaml")):
        path.write_text(with_prints(path.read_text(encoding="utf-8")), encoding="utf-8")

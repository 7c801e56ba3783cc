"""Run a case of the catalogue, or the example of an explanation: what is printed of it now."""
from __future__ import annotations

import logging
import os
import re
import shlex
import sys
from collections.abc import Iterator, Mapping
from contextlib import ExitStack, contextmanager
from functools import cache
from pathlib import Path
from unittest.mock import patch

from click.testing import CliRunner, Result
from mkdocs.__main__ import cli as mkdocs

from generator.commands.main import foldgauge
from generator.findings import Finding, render_all
from generator.findings.explanations import Explanation
from generator.tutorial import load_text
from generator.units import default_bench
from tests.catalogue.cases import Case, repeated
from tests.house.tracked_files import ROOT

BENCHES = {system: default_bench(system) for system in ("mm", "in")}
FILE = "box.md"


@cache
def found_in(case: Case) -> tuple[tuple[Finding, ...], str]:
    """The findings of a case's source, and how they print."""
    loaded = load_text(case.source, FILE, BENCHES)
    return loaded.findings, render_all(loaded.findings, {FILE: loaded.source})


def run_command(case: Case, folder: Path) -> tuple[int, str]:
    """The exit status of a case's command, run among its files, and what it prints, errors last."""
    files = {}
    for fence in case.files:
        name, encoding = (*fence.words, "utf-8")[:2]
        files[name] = (repeated(fence.text) + "\n" if fence.text else "").encode(encoding)
    result = _run(f"foldgauge {case.fence('command').text}", files, folder)
    return result.exit_code, (result.stdout + result.stderr).rstrip("\n")


@contextmanager
def _fault(code: str) -> Iterator[None]:
    """For the example of a fault of the program the program gets one: no source is known that has it."""
    with ExitStack() as stack:
        if code == "stage-failed":
            stack.enter_context(patch.object(sys.modules["generator.tutorial.load"], "fold_editions",
                                             side_effect=ZeroDivisionError("division by zero")))
        yield


def printed_for_example(each: Explanation, folder: Path) -> str:
    """What the command of an example prints of its code: the first finding of it.

    What is no finding of a source, such as settings that cannot be used, is the last that is printed.
    """
    files = {name: text.encode() for name, text in each.files.items()}
    if each.command.startswith("mkdocs"):
        theme = (ROOT / "theme").as_posix()
        files["mkdocs.yml"] = (f'site_name: Boxes\ndocs_dir: tutorials\nplugins: [foldgauge]\n'
                               f'theme: {{name: null, custom_dir: "{theme}"}}\n').encode()
    for name, target in each.links.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).symlink_to(target)
    with _fault(each.code):
        result = _run(each.command, files, folder)
    found = re.split(r"\n{2,}", f"{result.stdout}\n\n{result.stderr}".strip("\n"))
    first = next((text for text in found if f"[{each.code}]" in text), found[-1])
    return re.sub(r"\A(?s:.*)^(?:ERROR|WARNING) +-  ", "", first, flags=re.M)


def _run(command: str, files: Mapping[str, bytes], folder: Path) -> Result:
    for name, data in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    program, *arguments = shlex.split(command)
    before, handlers = Path.cwd(), logging.getLogger("mkdocs").handlers[:]
    os.chdir(folder)
    try:
        result = CliRunner().invoke({"foldgauge": foldgauge, "mkdocs": mkdocs}[program], arguments,
                                    prog_name=program)
    finally:
        os.chdir(before)
        logging.getLogger("mkdocs").handlers[:] = handlers      # mkdocs adds one on every run
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result

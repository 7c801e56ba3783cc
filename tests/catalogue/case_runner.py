"""Run a case of the catalogue: what is printed of it now."""
from __future__ import annotations

import os
import shlex
from functools import cache
from pathlib import Path

from click.testing import CliRunner

from generator.commands.main import foldgauge
from generator.findings import Finding, render_all
from generator.tutorial import load_text
from generator.units import default_bench
from tests.catalogue.cases import Case, repeated

BENCHES = {system: default_bench(system) for system in ("mm", "in")}
FILE = "box.md"


@cache
def found_in(case: Case) -> tuple[tuple[Finding, ...], str]:
    """The findings of a case's source, and how they print."""
    loaded = load_text(case.source, FILE, BENCHES)
    return loaded.findings, render_all(loaded.findings, {FILE: loaded.source})


def run_command(case: Case, folder: Path) -> tuple[int, str]:
    """The exit status of a case's command, run among its files, and what it prints, errors last."""
    for fence in case.files:
        name, encoding = (*fence.words, "utf-8")[:2]
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes((repeated(fence.text) + "\n" if fence.text else "").encode(encoding))
    before = Path.cwd()
    os.chdir(folder)
    try:
        result = CliRunner().invoke(foldgauge, shlex.split(case.fence("command").text), prog_name="foldgauge")
    finally:
        os.chdir(before)
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result.exit_code, (result.stdout + result.stderr).rstrip("\n")

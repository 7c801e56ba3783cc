"""Tests of one file run in one process, so that what they share is made once."""
from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

TESTS = Path(__file__).resolve().parents[1]
SOURCE = """import os, pathlib, pytest
@pytest.mark.parametrize("number", range(6))
def test_it(number):
    with (pathlib.Path(__file__).parent / "{name}.txt").open("a") as out:
        print(os.getpid(), file=out)
"""


@pytest.mark.slow       # it starts pytest anew
def test_a_file_is_not_shared_between_processes(tmp_path):
    """Of three files with six tests two processes run each whole, and the site's are run by one of them."""
    shutil.copy(TESTS / "conftest.py", tmp_path)
    (tmp_path / "tests" / "site").mkdir(parents=True)
    for name in ("test_one", "tests/site/test_two", "tests/site/test_three"):
        (tmp_path / f"{name}.py").write_text(SOURCE.format(name=Path(name).name))
    run = subprocess.run([sys.executable, "-m", "pytest", "-q", "-n", "2", "-p", "no:cacheprovider",
                          "--rootdir=.", "."],
                         cwd=tmp_path, capture_output=True, text=True,
                         env={**os.environ, "PYTHONPATH": str(TESTS.parent)})
    assert "18 passed" in run.stdout, run.stdout
    one, two, three = (set((tmp_path / f"{name}.txt").read_text().split())
                       for name in ("test_one", "tests/site/test_two", "tests/site/test_three"))
    assert len(one) == len(two) == 1 and two == three != one

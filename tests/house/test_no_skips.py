"""The continuous build must not pass because a tool was missing."""
from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

TESTS = Path(__file__).resolve().parents[1]
pytestmark = pytest.mark.slow      # it starts pytest anew
SOURCES = {
    "test_inside.py": "import pytest\ndef test_a():\n    pytest.skip('no tool')\n",
    "test_marked.py": "import pytest\n@pytest.mark.skipif(True, reason='no tool')\ndef test_b():\n    pass\n",
    "test_whole.py": "import pytest\npytest.importorskip('no_such_module')\n",
    "test_expected.py": "import pytest\n@pytest.mark.xfail(reason='known')\ndef test_c():\n    assert "
                        "False\n",
}
COMMAND = ("-m", "pytest", "-q", "-p", "no:cacheprovider", "--continue-on-collection-errors", ".")


def _run(folder: Path, no_skips: str) -> subprocess.CompletedProcess[str]:
    shutil.copy(TESTS / "conftest.py", folder)
    for name, text in SOURCES.items():
        (folder / name).write_text(text)
    return subprocess.run([sys.executable, *COMMAND], cwd=folder, capture_output=True, text=True,
                          env={**os.environ, "FOLDGAUGE_NO_SKIPS": no_skips, "PYTHONPATH": str(TESTS.parent)})


def test_a_skip_fails_where_nothing_may_be_skipped(tmp_path):
    """With FOLDGAUGE_NO_SKIPS set, a skip inside a test, by a mark or of a whole file is a failure."""
    run = _run(tmp_path, "1")
    assert run.returncode == 1, run.stdout
    assert "1 failed, 1 xfailed, 2 errors" in run.stdout, run.stdout


def test_elsewhere_a_skip_is_a_skip(tmp_path):
    """Without the variable the same files are skipped, and said to be."""
    run = _run(tmp_path, "")
    assert run.returncode == 0, run.stdout
    assert "3 skipped, 1 xfailed" in run.stdout, run.stdout

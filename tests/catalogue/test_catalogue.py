"""What is printed of each case of the catalogue, to the letter."""
from __future__ import annotations

import pytest

from generator.findings import Severity
from generator.findings.codes import CODES
from tests.catalogue.case_runner import FILE, found_in, run_command
from tests.catalogue.cases import Case, all_cases, cases_of
from tests.house.tracked_files import ROOT

CASES = all_cases()
SOURCES = [case for case in CASES if case.fence("command") is None]
COMMANDS = [case for case in CASES if case.fence("command") is not None]
TOLD_IN = ("units/*.py", "paper/**/*.py", "language/**/*.py", "regauge/tool_grids.py",
           "tutorial/checks/source.py")
NEVER_A_FINDING = {"bench-wrong"}   # settings are a matter of the command, which says so itself
# a case is one source alone; these are of files beside it: tests/commands/test_files_beside.py has theirs,
# tests/website/test_refused_sources.py those of names
OF_FILES_BESIDE = {"alias-taken", "file-linked", "log-wrong", "photo-wrong", "file-name", "folder-name"}


@pytest.mark.parametrize("case", SOURCES, ids=str)
def test_a_source(case: Case):
    """The findings of a source print as the catalogue says."""
    assert found_in(case)[1] == case.fence("found").text


@pytest.mark.parametrize("case", COMMANDS, ids=str)
def test_a_command(case: Case, tmp_path):
    """A command prints of its files what the catalogue says, with the exit status that stands beside it."""
    status, printed = run_command(case, tmp_path)
    assert printed == case.fence("printed").text
    assert (str(status),) == case.fence("printed").words


@pytest.mark.parametrize("case", SOURCES, ids=str)
def test_every_caret_stands_in_its_source(case: Case):
    """A finding's place is a place of the source, and what it says is a sentence without an end."""
    rows = case.source.split("\n")
    for each in found_in(case)[0]:
        assert each.file == FILE and 1 <= each.line <= len(rows)
        assert 1 <= each.column <= len(rows[each.line - 1]) + 1
        assert each.message and not each.message.endswith((".", " ")) and not each.hint.endswith((".", " "))


def test_every_code_has_a_case():
    """No message about the words of a source and the work of its fences is printed that was never read by
    anybody.
    """
    files = [path for pattern in TOLD_IN for path in (ROOT / "generator").glob(pattern)]
    rooms = "\n".join(path.read_text(encoding="utf-8") for path in files)
    told = {code for code in CODES if f'"{code}"' in rooms}
    assert len(told) > 40
    shown = {f.code for case in SOURCES for f in found_in(case)[0]}
    printed = "\n".join(case.fence("printed").text for case in COMMANDS)
    missing = {code for code in told if code not in shown and f"[{code}]" not in printed}
    assert missing == NEVER_A_FINDING | OF_FILES_BESIDE


def test_the_catalogue_is_large():
    """More cases than were asked for, a good part of them with more than one problem, each title
    used once.
    """
    assert len(CASES) >= 40 and len({str(case) for case in CASES}) == len(CASES)
    several = [case for case in SOURCES if len(found_in(case)[0]) > 1]
    assert len(several) >= 20
    assert any(f.severity is Severity.WARNING for case in several for f in found_in(case)[0])


def test_the_catalogue_is_read_as_it_says():
    """Frames, parts and repetitions make the sources that stand in them."""
    page = ("~~~~ frame\na\n…\nb\n~~~~\n\n## One\n\n~~~~ part\n⟦x№⟧×3\n~~~~\n\n~~~~ found\ny\n~~~~\n\n## "
            "Two\n\n~~~~ source\nc\n~~~~")
    one, two = cases_of("p", page)
    assert (one.title, one.source, one.fence("found").text) == ("One", "a\nx1x2x3\nb\n", "y")
    assert (two.title, two.source, two.fence("found")) == ("Two", "c\n", None)

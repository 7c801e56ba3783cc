"""The log of boxes really made: what is read of it, and what was measured beside what is computed."""
from __future__ import annotations

from pathlib import Path

import pytest

from generator.locale import locale_for
from generator.tutorial import LoadedSource, load
from generator.website.verification import made_views, verification_note
from tests.tutorial.small_source import BENCHES, STANDING, source, tutorial

# the sleeve stands 60 mm high and 30 mm across in metric, 2 1/2 in and 1 1/4 in in inches
TWO = """boxes:
  - {on: 2026-05-09, edition: mm, paper: 200 gsm card, height: 61 mm, across: 30 mm, gap: 0.5 mm}
  - on: 2026-06-01
    edition: in
    height: 2 1/2 in
    words: The tab wants a minute under a book.
"""


def loaded(folder: Path, log: str | None) -> LoadedSource:
    """The sleeve with a log beside it."""
    place = folder / "sleeve"
    place.mkdir(exist_ok=True)
    (place / "index.md").write_text(source(STANDING), encoding="utf-8")
    if log is not None:
        (place / "made.yaml").write_text(log, encoding="utf-8")
    return load(place / "index.md", "sleeve/index.md", BENCHES)


def found(folder: Path, log: str) -> list[tuple[str, str]]:
    """Where something is found and the code of it."""
    return [(str(each.span), each.code) for each in loaded(folder, log).findings]


def test_without_a_log_nobody_made_it(tmp_path):
    """No word of a hand, neither without a file nor with an empty list."""
    assert verification_note(loaded(tmp_path, None).tutorial) == "Checked by geometry"
    assert verification_note(loaded(tmp_path, "boxes: []\n").tutorial) == "Checked by geometry"


@pytest.mark.parametrize(("days", "english", "german"), [
    (1, "once", "einmal"), (2, "twice", "zweimal"), (3, "three times", "dreimal")])
def test_how_often_and_in_what_last(tmp_path, days, english, german):
    """In the order of the days, whatever the order of the lines."""
    log = "boxes:\n" + "".join(f"  - {{on: 2026-0{9 - k}-01, edition: {'mm' if k else 'in'}}}\n"
                               for k in range(days))
    made = loaded(tmp_path, log).tutorial
    assert verification_note(made) == f"Checked by geometry, made by hand ({english}, last in inches)"
    assert verification_note(made, locale_for("de")) == (
        f"Rechnerisch geprüft, von Hand gemacht ({german}, zuletzt in Zoll)")


def test_what_was_measured_is_told(tmp_path):
    """The last box first, with its edition, paper, sizes and words."""
    found = loaded(tmp_path, TWO)
    assert not found.findings
    first, second = made_views(found.tutorial)
    assert (first.day, first.how, first.words) == ("2026-06-01", "inch edition; 2 1/2 in high",
                                                   "The tab wants a minute under a book.")
    assert second.how == "metric edition; 200 gsm card; 61 mm high; 30 mm across; 0.5 mm apart at the seam"


def test_more_than_the_tolerance_is_found(tmp_path):
    """2 mm unless the log states another; each measure at its own place, in one run."""
    assert found(tmp_path, TWO.replace("61 mm", "63 mm").replace("gap: 0.5", "gap: 2.5")) == [
        ("sleeve/made.yaml:2:64", "box-differs"), ("sleeve/made.yaml:2:91", "box-differs")]
    assert found(tmp_path, TWO.replace("61 mm", "62 mm")) == []
    assert found(tmp_path, "tolerance: 0.5 mm\n" + TWO) == [("sleeve/made.yaml:3:64", "box-differs")]
    assert found(tmp_path, "tolerance: {mm: 0.9 mm, in: 1/8 in}\n" + TWO.replace("2 1/2 in", "2 3/8 in")) == [
        ("sleeve/made.yaml:3:64", "box-differs")]
    message = loaded(tmp_path, TWO.replace("61 mm", "63 mm")).findings[0].message
    assert message == "the box of 2026-05-09 is 63 mm high, and computed are 60 mm: 3 mm off, of 2 mm allowed"


def test_a_box_of_another_mark_is_neither_compared_nor_counted(tmp_path):
    """It was made from lines that are elsewhere now."""
    mark = tutorial(source(STANDING)).revisions["mm"]
    other = "ABC123"
    assert found(tmp_path, TWO.replace("61 mm", f"70 mm, mark: {other}")) == []
    assert len(loaded(tmp_path, TWO.replace("61 mm", f"70 mm, mark: {other}")).tutorial.made) == 1
    assert len(found(tmp_path, TWO.replace("61 mm", f"70 mm, mark: {mark}"))) == 1


def test_everything_wrong_is_told_in_one_run(tmp_path):
    """Each at its line and column, and the tutorial is not shown before it is mended."""
    log = """tolerance: 1
boxes:
  - {on: 2026-02-30, edition: cm}
  - {edition: mm, hight: 60 mm}
  - {on: 2026-05-09, edition: mm, photo: gone.jpg, height: 60}
"""
    result = loaded(tmp_path, log)
    assert result.tutorial is None
    assert [str(each.span) for each in result.findings] == [
        f"sleeve/made.yaml:{place}" for place in ("1:12", "3:10", "3:31", "4:19", "5:60")]
    assert {each.code for each in result.findings} == {"log-wrong"}
    lacking = loaded(tmp_path, "boxes:\n  - {height: 60 mm}\n"
                               "  - {on: 2026-05-09, edition: mm, photo: gone.jpg}\n")
    assert [(str(each.span), each.message) for each in lacking.findings] == [
        ("sleeve/made.yaml:2:5", "this box has no day"), ("sleeve/made.yaml:2:5", "this box has no edition"),
        ("sleeve/made.yaml:3:42", "there is no photo “gone.jpg” beside the source")]


@pytest.mark.parametrize("log", ["- on: 2026-05-09\n", "boxes: [\n", "just words\n", ""])
def test_what_is_no_log_is_told(tmp_path, log):
    """In the words of a log, never in those of the front matter."""
    result = loaded(tmp_path, log)
    assert result.tutorial is None and all(each.file == "sleeve/made.yaml" for each in result.findings)
    assert not any("front matter" in each.message for each in result.findings)

"""What readers are told of old prints and of changes: by mark, by edition, in their language."""
from __future__ import annotations

from datetime import date
from pathlib import Path

from click.testing import CliRunner
from lxml import etree

from generator.commands.main import foldgauge
from generator.locale import ENGLISH, locale_for
from generator.record.print_marks import history_of, print_marks
from generator.record.publication import Publication, publish
from generator.record.revision_files import Record, read_record
from generator.record.snapshot import tutorial_state
from generator.record.state import TutorialState
from tests.tutorial.small_source import PROSE, STANDING, front, source, tutorial

FIRST = source(STANDING)
LOWER = source(STANDING, front=front("wall: 2 1/2 in", "wall: 2 3/8 in"))
WORDED = source(STANDING, PROSE + " Mind your fingers.")


def state(text: str) -> TutorialState:
    return tutorial_state(Path("sleeve/index.md"), tutorial(text))


def recorded(folder: Path, *texts: str) -> Record:
    """The record of a sleeve that was published once a month."""
    (folder / "sleeve").mkdir(exist_ok=True)
    for month, text in enumerate(texts, 1):
        record = read_record(folder / "sleeve", "tutorials")
        publish(folder, [Publication(folder / "sleeve", state(text), record)], date(2026, month, 1),
                f"reason {month}")
    record = read_record(folder / "sleeve", "tutorials")
    assert not record.findings and len(record.revisions) == len(texts)
    return record


def told(record: Record, text: str, locale=ENGLISH) -> list[tuple]:
    return [(each.mark, each.system, each.since, each.verdict, each.lines)
            for each in print_marks(record, state(text), locale)]


OLD, NEW = (state(text).editions["in"].mark for text in (FIRST, LOWER))
METRIC = state(FIRST).editions["mm"].mark


def test_without_a_record_the_marks_of_now_are_current():
    """The two editions of a tutorial that was never published."""
    assert told(Record(), FIRST) == [(OLD, "in", "", "current", ()), (METRIC, "mm", "", "current", ())]


def test_a_moved_wall_ends_the_prints_of_its_edition(tmp_path):
    """The old mark in inches is told with what moved, the metric one is current since the first day."""
    record = recorded(tmp_path, FIRST, LOWER)
    inch, old, metric = told(record, LOWER)
    assert inch == (NEW, "in", "2026-02-01", "current",
                    ()) and metric[:4] == (METRIC, "mm", "2026-01-01", "current")
    assert old[:4] == (OLD, "in", "2026-01-01", "moved")
    assert old[4][0] == "wall: was 2\u00a01/2\u00a0in, is 2\u00a03/8\u00a0in"
    assert ("strip: was 5\u00a03/8\u00a0in × 2\u00a01/2\u00a0in, is 5\u00a03/8\u00a0in × "
            "2\u00a03/8\u00a0in" in old[4])


def test_a_word_leaves_prints_good(tmp_path):
    """Its mark is that of now, and the print has other words."""
    record = recorded(tmp_path, FIRST)
    assert [each[3] for each in told(record, WORDED)] == ["good", "good"]


def test_german_readers_are_told_in_german(tmp_path):
    """Units too; the record is kept in English."""
    old = told(recorded(tmp_path, FIRST, LOWER), LOWER, locale_for("de"))[1]
    assert old[4][0] == "wall: früher 2\u00a01/2\u00a0Zoll, jetzt 2\u00a03/8\u00a0Zoll"


def test_the_history_is_newest_first_and_leaves_out_the_first_day(tmp_path):
    """A word moves no line; of the wall the inch edition alone."""
    word, wall = history_of(recorded(tmp_path, FIRST, LOWER,
                                     LOWER.replace("It holds seeds.", "It holds beans.")),
                            ENGLISH)
    assert (word.day, word.why, word.lines) == ("2026-03-01", "reason 3", ())
    assert (wall.day, wall.why) == ("2026-02-01", "reason 2") and [system for system,
                                                                   _ in wall.lines] == ["in"]



def test_page_feed_and_tutorial_tell_of_a_change(project, monkeypatch):
    """A wall is changed and published: the list of marks, the tutorial's page and the feed say so."""
    monkeypatch.chdir(project.root)

    def published(day: str) -> None:
        result = CliRunner().invoke(foldgauge,
                                    ["publish", "tutorials", "--day", day, "--why", "A lower wall."])
        assert result.exit_code == 0, result.output
    published("2026-01-01")
    assert project.build("--strict").exit_code == 0
    before = project.page("prints/index.html").xpath("//tr/@data-mark")
    text = project.source.read_text(encoding="utf-8")
    assert "high: 80 mm" in text
    project.source.write_text(text.replace("high: 80 mm", "high: 85 mm"), encoding="utf-8")
    built = project.build("--strict")
    assert built.exit_code == 0 and "soap-sleeve is not what is on record: since 2026-01-01" in built.output
    published("2026-02-01")
    assert project.build("--strict").exit_code == 0
    after = project.page("prints/index.html")
    assert set(before) < set(after.xpath("//tr/@data-mark"))
    page = project.page("soap-sleeve/index.html")
    assert "high: was 80\u00a0mm, is 85\u00a0mm" in page.xpath(
        "string(//section[@aria-labelledby='the-changes'])")
    feed = etree.fromstring(project.files()["feed.xml"])
    news = [[node.text for node in entry.xpath("*[local-name() = 'id' or local-name() = 'updated' or "
                                               "local-name() = 'summary']")]
            for entry in feed.xpath("//*[local-name() = 'entry']")]
    assert len(news) == 2 and news[0][0].startswith("https://stall.example/boxes/soap-sleeve/#revision-")
    assert news[0][1:] == ["2026-02-01T00:00:00Z", "A lower wall."] and news[1][1] == "2026-01-01T00:00:00Z"
    assert "A lower wall." in page.xpath("string(//section[@aria-labelledby='the-changes'])")

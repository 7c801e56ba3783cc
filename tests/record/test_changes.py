"""What is told of a change: in which edition, of what kind, and what an old print is worth."""
from __future__ import annotations

from pathlib import Path

from generator.record.changes import changes_between, changes_text
from generator.record.snapshot import tutorial_state
from generator.record.state import TutorialState
from tests.tutorial.small_source import PROSE, STANDING, front, source, tutorial


def state(text: str) -> TutorialState:
    """Of a source that lies nowhere."""
    return tutorial_state(Path("sleeve/index.md"), tutorial(text))


OLD = state(source(STANDING))


def told(text: str) -> list[str]:
    """The lines of what differs from the small source."""
    return changes_text(changes_between(OLD, state(text)))


def test_nothing_is_told_of_nothing():
    """Both editions have their marks still."""
    assert [line.split(": ")[-1] for line in told(source(STANDING))] == ["nothing changed"] * 2


def test_an_inch_length_changes_the_inch_edition():
    """The blank, the sizes and the sentences that say it, the pictures; the metric edition has not moved."""
    lines = told(source(STANDING, front=front("wall: 2 1/2 in", "wall: 2 3/8 in")))
    assert lines[0].startswith("  metric edition") and lines[0].endswith("nothing changed")
    assert lines[1].startswith("  inch edition") and lines[1].endswith("old prints are no longer good")
    assert lines[2] == "    wall: was 2 1/2 in, is 2 3/8 in"
    assert "    blank strip: was 5 3/8 in by 2 1/2 in, is 5 3/8 in by 2 3/8 in" in lines
    assert "    the picture of step 1, and the template" in lines
    said = "    words of step 1: 1 sentence gone; now “Cut the sleeve 5 3/8 in × 2 3/8 in"
    assert any(line.startswith(said) for line in lines)


def test_a_paper_moves_no_line():
    """Its weight is told, and that old prints are still good."""
    lines = told(source(STANDING, front=front("200 gsm", "220 gsm")))
    assert [line.split(": ", 1)[1] for line in lines if "edition" in line] == [
        "paper and supplies changed, no line moved; old prints are still good"] * 2
    assert ("    paper card: was 200 gsm, 0.26 mm thick, grain any, is 220 gsm, 0.26 mm thick, grain any"
            in lines)


def test_a_word_moves_no_line():
    """The new sentence is quoted once, and only what is new of the step."""
    lines = told(source(STANDING, PROSE + " Mind your fingers."))
    assert lines[1:] == ["    words of step 1: now “Mind your fingers.”",
                         lines[2], "    words of step 1: now “Mind your fingers.”"]
    assert lines[0].endswith("words changed, no line moved; old prints are still good")


def test_of_a_long_row_only_what_moved_is_told():
    """Eight marks of which one lies elsewhere."""
    old = {"in": "8 at 1, 2, 3, 4, 5, 6, 7, 8 in"}
    first, second = (changed_row(OLD, text) for text in (old["in"], "8 at 1, 2, 3, 4 1/8, 5, 6, 7, 8 in"))
    lines = changes_text(changes_between(first, second))
    assert lines[1:] == ["    score row of strip: was 4, is 4 1/8",
                         lines[2], "    score row of strip: was 4, is 4 1/8"]


def changed_row(of: TutorialState, text: str) -> TutorialState:
    """The same state with one row of scores in both editions."""
    editions = {system: type(each)(each.mark, {**each.kinds, "measures": {
        **each.kinds["measures"], "score row of strip": text}}) for system, each in of.editions.items()}
    return TutorialState(editions, of.quotes)

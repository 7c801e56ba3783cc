"""``foldgauge fold``: plain words first, then figures, both editions in the same words."""
from __future__ import annotations

import re

from tests.commands.command_runner import run, write
from tests.folding.sample_boxes import changed, source


def lines(output: str) -> list[list[str]]:
    """The lines of each edition, its headline left out."""
    return [part.strip("\n").split("\n")[1:]
            for part in re.split(r"(?=^The \w+ edition:)", output.strip(), flags=re.M) if part]


def test_words_come_before_figures_in_both_editions(here):
    """What closes stands first and further out; the figures below it have the labels of the page."""
    result = run("fold", write(here, source("lidded-box"), "box"))
    assert result.exit_code == 0
    for edition in lines(result.output):
        words = [line for line in edition if not line.startswith("    ")]
        assert edition[:len(words)] == words and words[0].strip().startswith(
            "'base' closes; seams within 0.0 mm")
        assert [line.strip().split(":")[0]
                for line in edition[len(words):]] == ["Finished size (base)", "Finished size (lid)", "Inside",
                                                      "It holds"]


def test_both_editions_say_the_same_but_for_their_measures(here):
    """Without figures and units the two reports are one."""
    first, second = lines(run("fold", write(here, source("straight"), "box")).output)
    bare = re.compile(r"\d+(?: \d+/\d+|/\d+|\.\d+)?|\b(?:mm|in|cm³|cu)\b|about | +")
    assert [bare.sub("", line) for line in first] == [bare.sub("", line) for line in second]


def test_a_box_that_does_not_fold_is_reported_and_nothing_else(here):
    """An error ends the command; no figure of a box that does not close is printed."""
    text = changed(source("straight"), ("crown:  39 mm", "crown:  35 mm"))
    result = run("fold", write(here, text, "box"))
    assert result.exit_code == 1 and "Inside" not in result.output


def test_nothing_to_fold_is_said(here):
    """A plan without folds has nothing to report, and is no error."""
    result = run("fold", write(here))
    assert result.exit_code == 0 and result.output.count("nothing is folded") == 2


def test_curves_are_told_when_they_are_asked_for(here):
    """A box without a gathered top has none; the words stand below the figures of each edition."""
    result = run("fold", "--curves", write(here, source("tray"), "box"))
    assert result.exit_code == 0 and result.output.count("no circle or oval") == 2
    assert "no circle or oval" not in run("fold", write(here, source("tray"), "box")).output

"""What foldgauge explain says of findings: its examples are real."""
from __future__ import annotations

import pytest

from generator.findings.explanations import Explanation, explanation_groups, explanations
from tests.catalogue.case_runner import printed_for_example

EVERY = list(explanations().values())
SAID_BY_A_COMMAND = {"bench-wrong"}   # of settings, which are no source with lines to point at


@pytest.mark.parametrize("each", [
    pytest.param(each, id=each.code, marks=[pytest.mark.unforeseen] if each.code == "stage-failed" else [])
    for each in EVERY])
def test_an_example_prints_its_code(each: Explanation, tmp_path):
    """Its command, run among its files, prints to the letter what stands below it, with the code at
    its end.
    """
    assert printed_for_example(each, tmp_path) == each.prints
    assert each.prints.split("\n")[0].endswith(f"[{each.code}]") is (each.code not in SAID_BY_A_COMMAND)


def test_a_part_stands_in_its_frame():
    """The lines that are shown are lines of the source that is run, which has no … left."""
    parts = [each for each in EVERY if each.lines]
    assert len(parts) > 50
    for each in parts:
        assert f"\n{each.lines}\n" in each.listing(whole=True) + "\n" and "\n…\n" not in each.listing(
            whole=True)


def test_groups_hold_every_explanation_once():
    """A code that stood in two files would be explained by the second alone."""
    assert [each.code for group in explanation_groups() for each in group.entries] == list(explanations())
    assert sum(len(group.entries) for group in explanation_groups()) == len(EVERY)

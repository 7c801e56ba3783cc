"""Answers come soon, or it is said why they cannot."""
from __future__ import annotations

import pytest

from generator.regauge import explanation_text, report_text
from generator.regauge.search import MAX_WORK
from tests.regauge.sample_boxes import CADDY, answer, sheet_of, wish
from tests.time_limits import within

SECOND = 1.0        # of this program's own time; the machine may be busy with other things


def many(count: int, fence: str) -> str:
    """A source with so many named lengths, a strip of all of them, and more statements."""
    names = [f"n{k}" for k in range(count)]
    lengths = ", ".join(f"{name}: {15 + 7 * k % 61} mm" for k, name in enumerate(names))
    return sheet_of(lengths, f"strip = sheet(width={' + '.join(names)}, height=n0)\n"
                    + fence.replace("ALL", ", ".join(names[:-1])))


def timed(seconds: float, text: str, *asked, **kept):
    """An answer that takes no more than so much work."""
    with within(seconds):
        return answer(text, wish(*asked, **kept))


def test_eight_lengths_answer_within_a_second():
    """The tea caddy has eight named lengths; within 8 % all five choices are certain, folded and all."""
    text = CADDY.read_text(encoding="utf-8")
    answer(text)        # what is imported and remembered once is not the answer's time
    found = timed(SECOND, text)
    assert len(found.problem.names) == 8 and len(found.leading.best) == 5 and found.leading.certain


@pytest.mark.parametrize("fence", [
    "", "marks = score(strip, x=along(ALL))", "finish(width=strip.width, height=n0)",
    "\n".join(f"expect(n{k} + n{k + 1} > 0.9*n{k})" for k in range(39))],
    ids=["apart", "sums", "one size", "requirements"])
def test_forty_lengths_never_hang(fence):
    """Whether they fall apart or hang together, there is an answer in about a second, and no false
    certainty.
    """
    found = timed(2 * SECOND, many(40, fence))
    assert found.best is not None
    assert found.leading.certain or "a better one may be left out" in report_text(found)
    assert found.leading.counts.work <= 2 * MAX_WORK


def test_forty_lengths_that_contradict_say_so():
    """One of forty is kept between the board's marks: it is named, with the marks that do not allow it."""
    found = timed(2 * SECOND, many(40, "marks = score(strip, x=along(ALL))"), n5="2 1/16 in")
    assert found.best is None
    assert "n5 kept at 2 1/16 in" in report_text(found) and "'marks'" in report_text(found)


def test_a_search_that_ends_early_does_not_claim_to_be_whole():
    """Thirty lengths in one finished size are more than can be weighed: choices are given,
    certainty is not.
    """
    found = answer(many(30, "finish(width=strip.width)"))
    assert found.best is not None and not found.leading.certain
    assert "more choices than can be weighed" in report_text(found)
    assert "the search was ended early" in explanation_text(found) and found.leading.found.pruned is None

"""The measures as plain text: what stands in a letter."""
from __future__ import annotations

import re
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from generator.tutorial import Step
from generator.website.plain_text import LINE_WIDTH, measures_text, sentences_with_measures
from tests.time_limits import examples
from tests.website.sample_tutorial import CADDY, measure, measures, said


def lists(text: str) -> dict[str, str]:
    """The two lists by the words above them."""
    _, inch, mm = re.split(r"^(?:Inches|Millimetres)\n-+\n", text, flags=re.M)
    return {"in": inch, "mm": mm}


def test_each_list_is_whole_and_speaks_one_system():
    """Facts, supplies and each step's measures, with no figure of the other system."""
    found = lists(measures_text(CADDY))
    assert "252 mm long" in found["mm"] and " in long" not in found["mm"]
    assert "10 1/2 in long" in found["in"] and " mm" not in found["in"]
    for text in found.values():
        assert re.findall(r"^(\d+)\. ", text, flags=re.M) == ["1", "2"] and "card, " in text


def test_the_head_says_what_it_is():
    """Title, revision mark, and a sign at the front by which programs know the letters."""
    text = measures_text(CADDY)
    assert text.startswith("\ufeffEight-sided tea caddy\n=====") and (
        text.index("7KQ2MX") < text.index("9T4W3A"))         # each at the head of its list


def test_only_sentences_that_measure():
    """A sentence without a measure stays out; so does Markdown; a number that both systems share
    makes none.
    """
    prose = ("Cut *boldly*. Cut a [strip](x.md) ", measure("252 mm", "10 1/2 in"), " long. There are ",
             said("eight"),
             " of them. Take ", measure("12 mm", "1/2 in"), " more & no less.\n")
    assert list(sentences_with_measures(prose, "in")) == ["Cut a strip 10\u00a01/2\u00a0in long.",
                                                          "Take 1/2\u00a0in more & no less."]


@settings(deadline=None, max_examples=examples(60))
@given(st.lists(st.integers(1, 40), min_size=1, max_size=12), st.text(alphabet="ab ", max_size=60))
def test_no_measure_is_broken_at_the_end_of_a_line(halves, words):
    """Lines are short enough for a letter, and a figure stays with its fraction and its unit."""
    inches = ",".join(f"{n} 1/2 in" for n in halves)
    step = Step(1, "Score", "score", 1,
                (f"A{words} ", measures(",".join(f"{n} mm" for n in halves), inches), " from it.\n"), True)
    text = measures_text(replace(CADDY, steps=(step,)))
    assert max(map(len, text.split("\n"))) <= LINE_WIDTH and "\u00a0" not in text
    assert not re.search(r"\d\n\s+(\d+/|mm\b|in\b)", text)
    assert text.count(" 1/2") >= len(halves)


def test_the_page_leads_to_its_file(project):
    """Beside the page, as UTF-8."""
    assert project.build("--strict").exit_code == 0
    assert project.page("soap-sleeve/index.html").xpath("//a[@href='measures.txt']")
    assert "60 and 120 mm" in (project.site / "soap-sleeve/measures.txt").read_text(encoding="utf-8-sig")

"""Computed values on the page: a figure for the eye, words for the ear, one for each system."""
from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import html

from generator.tutorial import ComputedValue, MeasureWording
from generator.website.prose import fill_html, value_html, value_text, value_token, without_token_characters
from tests.website.sample_tutorial import PLACE, measure, measures, said


def parsed(text: str) -> html.HtmlElement:
    return html.fragment_fromstring(text, create_parent="p")


def seen(element: html.HtmlElement) -> str:
    """What a reader sees: everything but the words for the ear."""
    for spoken in element.xpath(".//*[contains(@class, 'spoken')]"):
        spoken.drop_tree()
    return element.text_content()


def heard(element: html.HtmlElement) -> str:
    """What is read aloud: everything but what is hidden from it."""
    for silent in element.xpath(".//*[@aria-hidden='true']"):
        silent.drop_tree()
    return element.text_content()


def test_a_measure_stands_once_for_each_edition():
    """Inches first, then millimetres, each in its own span that the units switch can hide."""
    element = parsed(value_html(measure("45 mm", "1 3/4 in")))
    assert [span.get("class") for span in element] == ["in", "in spoken", "or", "mm", "mm spoken"]
    assert (element[0].text, element[3].text) == ("1\u202f3\u20444\u00a0in", "45\u00a0mm")


def test_a_measure_is_read_aloud_in_words():
    """Aloud it is words, and nothing of the figures is said twice."""
    said_aloud = heard(parsed(value_html(measure("45 mm", "1 3/4 in"))))
    assert said_aloud == "1 and three quarters inches\u00a0· 45 millimetres"


def test_no_bracket_makes_it_look_like_a_conversion():
    """The two editions stand side by side: neither is the other's translation."""
    for inlay in (measure("45 mm", "1 3/4 in"), measures("30 mm,60 mm", "1 1/4 in,2 1/2 in")):
        assert not set("()[]≈=") & set(value_text(inlay) + seen(parsed(value_html(inlay))))


def test_what_both_editions_say_stands_once():
    """A number in words is no measure, and the units switch leaves it alone."""
    assert value_html(said("eight")) == "eight"


def test_a_name_does_not_leave_the_page_as_a_label():
    """No aria-label: on a span it is not allowed, and some readers skip it (ARIA 1.2, 5.2.8.6)."""
    assert "aria-label" not in value_html(measures("30 mm,60 mm", "1 1/4 in,2 1/2 in"))


def test_in_an_attribute_a_value_is_plain_text():
    """Inside a tag there is no room for markup: alternative texts and titles get the value's plain words."""
    inch_marks = ComputedValue("x", PLACE, {s: MeasureWording('2"', "two", "<b>2</b>") for s in ("mm", "in")},
                               True)
    done = fill_html(
        f'<img alt="strip of {value_token(0)}, {value_token(1)}" src="a.jpg" /> {value_token(1)}',
                  [inch_marks, measure("45 mm", "1 3/4 in")])
    image = html.fragments_fromstring(done)[0]
    assert image.get("alt") == 'strip of 2", 1 3/4 in · 45 mm'
    assert "/>" not in done


def test_svg_of_an_author_keeps_its_slashes():
    """Only HTML's own empty elements lose the slash; inside SVG it ends the element."""
    assert fill_html('<br /><svg><path d="M0 0"/></svg>', []) == '<br><svg><path d="M0 0"/></svg>'


@settings(deadline=None)
@given(st.text())
def test_prose_cannot_pretend_to_be_a_value(text):
    """Whatever an author types, no token comes out of it."""
    assert fill_html(without_token_characters(text + value_token(0)).replace("<", ""),
                     []) == without_token_characters(text + "0").replace("<", "")

"""Pictures mirrored for the left hand: lines change sides, words stay readable, and the choice is kept."""
from __future__ import annotations

import pytest

from tests.site.page_kinds import prints, tutorials

# where things lie across the first step's picture, as shares of its width
PLACES = """() => {
    const svg = document.querySelector('.step-pictures svg.drawing');
    const all = svg.getBoundingClientRect();
    const place = (e) => { const b = e.getBoundingClientRect();
        return [(b.left - all.left) / all.width, (b.right - all.left) / all.width]; };
    const words = [...svg.querySelectorAll('text')].filter(e => e.checkVisibility());
    return {lines: [...svg.querySelectorAll('g > path')].map(place), words: words.map(place),
            upright: words.map(e => e.hasAttribute('transform')),
            turns: words.map(e => { const m = e.getScreenCTM(); return Math.sign(m.a * m.d - m.b * m.c); })};
}"""


@pytest.fixture
def tutorial(built_site) -> str:
    return tutorials(built_site)[0]


def test_lines_change_sides_and_words_stay_words(page, tutorial):
    """Every line and every word lies as far from the right as it did from the left, and no word is
    mirrored.
    """
    page.goto(tutorial)
    page.locator(".household summary").click()
    before = page.evaluate(PLACES)
    page.locator("#the-left-hand").check()
    after = page.evaluate(PLACES)
    assert len(before["lines"]) > 2 and len(before["words"]) > 2
    # of words that run upward the first line stays left of the second, as it is read from the right: each may
    # be a line off
    for kind, off in (("lines", [0.004] * len(before["lines"])),
                      ("words", [0.06 if up else 0.004 for up in before["upright"]])):
        for (left, right), (now_left, now_right), most in zip(before[kind], after[kind], off, strict=True):
            assert now_left == pytest.approx(1 - right,
                                             abs=most) and now_right == pytest.approx(1 - left, abs=most)
    assert before["turns"] == after["turns"] == [1] * len(before["turns"])


def test_the_choice_is_kept_and_taken_back(page, built_site, tutorial):
    """It holds on the print view and after a reload; taken back, nothing is left in the browser."""
    page.goto(tutorial)
    assert not page.locator(".left-note").is_visible()
    page.locator(".household summary").click()
    page.locator("#the-left-hand").check()
    assert page.locator(".left-note").is_visible()
    page.goto(prints(built_site)[0])
    assert page.locator("#the-left-hand").is_checked() and page.evaluate(
        "'left' in document.documentElement.dataset")
    page.locator("#the-left-hand").uncheck()
    assert page.evaluate("Object.keys(localStorage)") == []
    page.goto(tutorial)
    assert not page.locator("#the-left-hand").is_checked()

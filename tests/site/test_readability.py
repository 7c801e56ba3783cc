"""Reading at the table: spacing, small screens, keyboard, targets, and measures that stay in one piece."""
from __future__ import annotations

import pytest

from tests.site.page_kinds import tutorials
from tests.site.page_visits import ENDS


@pytest.fixture
def tutorial(built_site) -> str:
    return tutorials(built_site)[0]


@pytest.mark.parametrize("width", ENDS)
def test_wider_spacing_loses_nothing(visits, width):
    """With the spacing of WCAG 1.4.12 nothing is cut off and nothing runs out of the page."""
    assert not [(address, visit.spaced[width], visit.clipped[width]) for address, visit in visits.items()
                if visit.spaced[width] > width or visit.clipped[width]]


@pytest.mark.parametrize("width", ENDS)
def test_targets_are_large_enough(visits, width):
    """What is touched is at least 24 px high and wide (WCAG 2.2, 2.5.8)."""
    assert not {address: visit.small[width] for address, visit in visits.items() if visit.small[width]}


def test_no_measure_breaks_across_lines(visits):
    """A figure, its fraction and its unit stay on one line, however wide the screen is."""
    assert not [(address, width, broken) for address, visit in visits.items()
                for width, broken in visit.broken.items() if broken]


def test_the_keyboard_skips_to_the_text(page, tutorial):
    """The first stop is a link that leads past the head of the page, and it can be seen."""
    page.goto(tutorial)
    page.keyboard.press("Tab")
    skip = page.locator(":focus")
    assert skip.get_attribute("class") == "skip"
    assert skip.bounding_box()["y"] >= 0 and skip.bounding_box()["height"] >= 24
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "the-text"


def test_whoever_tabs_sees_where_they_are(page, tutorial):
    """Every stop has an outline and is not covered by the bar that stays (WCAG 2.2, 2.4.7 and 2.4.11)."""
    page.goto(tutorial)
    seen = []
    for _ in range(60):
        page.keyboard.press("Tab")
        stop = page.evaluate("""() => { const e = document.activeElement, box = e.getBoundingClientRect();
            if (e === document.body) return null;
            const on = document.elementFromPoint(box.x + box.width / 2, box.y + Math.min(box.height / 2, 20));
            return {text: e.outerHTML.slice(0, 80), outline: getComputedStyle(e).outlineStyle,
                    covered: on !== null && !e.contains(on) && !on.contains(e)
                        && !on.closest('label')?.contains(e)}; }""")
        if stop is None:
            break
        seen.append(stop)
    assert len(seen) > 5
    assert not [stop for stop in seen if stop["outline"] == "none" or stop["covered"]]


def test_a_link_to_a_step_is_not_hidden_below_the_bar(page, tutorial):
    """The step's title stands below the bar with the units, on a phone too."""
    for width in (320, 1280):
        page.set_viewport_size({"width": width, "height": 640})
        page.goto(tutorial)
        for anchor in page.eval_on_selector_all("li.task", "steps => steps.map(step => step.id)"):
            page.goto(f"{tutorial}#{anchor}")
            bar = page.locator("#the-units").bounding_box()
            title = page.locator(f"#{anchor} h2").bounding_box()
            assert title["y"] >= bar["y"] + bar["height"] or bar["y"] > title["y"] + title["height"], anchor


def test_a_wide_picture_can_be_moved_by_keyboard(page, tutorial):
    """On a narrow screen a picture is moved sideways in its own frame, by keyboard too (WCAG 2.1.1)."""
    page.set_viewport_size({"width": 320, "height": 640})
    page.goto(tutorial)
    sheet = page.locator(".sheet[tabindex='0']").first
    sheet.wait_for()
    sheet.focus()
    page.keyboard.press("ArrowRight")
    page.wait_for_function("document.activeElement.scrollLeft > 0")
    assert sheet.evaluate("frame => frame === document.activeElement && frame.scrollLeft > 0")


def test_picture_and_words_stand_beside_each_other(page, tutorial):
    """From 1000 px on the picture begins beside its step's title; below, between what to set and words."""
    for width in (1280, 1000, 768, 360):
        page.set_viewport_size({"width": width, "height": 900})
        page.goto(tutorial)
        places = page.evaluate("""() => [...document.querySelectorAll('.task:has(.step-pictures)')].map(
            step => ['.settings', '.step-pictures', '.words'].map(part => {
                const box = step.querySelector(part).getBoundingClientRect();
                return {left: box.left, right: box.right, top: box.top, bottom: box.bottom}; }))""")
        assert places
        for set_, drawn, words in places:
            if width >= 1000:
                assert drawn["left"] >= set_["right"] and drawn["left"] >= words["right"]
                assert drawn["top"] <= set_["top"]
            else:
                assert set_["bottom"] <= drawn["top"] and drawn["bottom"] <= words["top"]


def test_the_dark_scheme_is_dark(page, tutorial):
    """Ground and ink change places with the reader's setting, and the pictures go along."""
    levels = {}
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        page.goto(tutorial)
        levels[scheme] = page.evaluate("""() => ['html', '.drawing .plain'].map(selector => {
            const style = getComputedStyle(document.querySelector(selector));
            return Number((selector === 'html' ? style.backgroundColor : style.fill).match(/\\d+/)[0]); })""")
    assert min(levels["light"]) > 200 > 80 > max(levels["dark"])


def test_forced_colours_keep_the_control_and_the_pictures(page, tutorial):
    """With the system's own few colours the lines of a picture still differ from its ground."""
    page.emulate_media(forced_colors="active")
    page.goto(tutorial)
    ground, line = page.evaluate("""() => [getComputedStyle(document.documentElement).backgroundColor,
        getComputedStyle(document.querySelector('.drawing .edge')).stroke]""")
    assert ground != line

"""Steps are ticked off, linked to, and followed one at a time in the table view."""
from __future__ import annotations

import json

import pytest

from tests.site.page_kinds import tutorials

STORED = "Object.entries(localStorage)"
SEEN = "() => [...document.querySelectorAll('.task')].filter(e => e.checkVisibility()).map(e => e.id)"
SWIPE = """([from, to]) => {
    const list = document.querySelector('.steps'), target = list.querySelector('.current .prose');
    for (const [kind, x] of [['touchstart', from], ['touchend', to]]) {
        const touch = new Touch({identifier: 1, target, clientX: x, clientY: 300});
        const held = kind === 'touchend' ? [] : [touch];
        target.dispatchEvent(new TouchEvent(kind, {touches: held, changedTouches: [touch], bubbles: true}));
    }
}"""
SHIFTS = """new PerformanceObserver(list => list.getEntries().forEach(e => {
        window.shifted = (window.shifted || 0) + e.value; }))
    .observe({type: 'layout-shift', buffered: true})"""
FAKE_LOCK = """(() => { window.locks = [];
    const ask = async () => { const lock = {on: true, release() { this.on = false; }};
        window.locks.push(lock); return lock; };
    Object.defineProperty(navigator, 'wakeLock', {value: {request: ask}}); })()"""


@pytest.fixture
def tutorial(built_site) -> str:
    return tutorials(built_site)[0]


def tick(page, number: int):
    return page.get_by_role("checkbox", name=f"Step {number} done", exact=True)


def anchors(page) -> list[str]:
    return page.eval_on_selector_all("li.task", "steps => steps.map(step => step.id)")


def test_a_tick_is_kept_on_the_device_and_can_be_taken_back(page, tutorial):
    """Nothing is kept before the first tick; what is ticked is there after a reload; unticking leaves nothing
    behind.
    """
    page.goto(tutorial)
    assert page.evaluate(STORED) == []
    tick(page, 2).check()
    tick(page, 4).check()
    steps = anchors(page)
    ((key, kept),) = page.evaluate(STORED)
    assert tutorial.strip("/") in key and json.loads(kept) == [steps[1], steps[3]]
    page.reload()
    assert [tick(page, n).is_checked() for n in (1, 2, 3, 4)] == [False, True, False, True]
    assert page.locator("#the-count").inner_text() == f"2 of {len(steps)} steps done"
    page.get_by_role("button", name="Untick all").click()
    assert page.evaluate(STORED) == [] and not tick(page, 2).is_checked()


@pytest.mark.parametrize("found", ["nonsense", "{\"a\": 1}", "[\"no-such-step\", 7]"])
def test_what_else_lies_under_the_name_does_no_harm(page, tutorial, found):
    """A step that was renamed, or a value of somebody else's, ticks nothing and breaks nothing."""
    page.goto(tutorial)
    page.evaluate("([key, value]) => localStorage.setItem(key, value)",
                  [f"foldgauge-done-{tutorial.strip('/')}", found])
    page.reload()
    assert page.locator(".done input:checked").count() == 0
    tick(page, 1).check()
    page.reload()
    assert tick(page, 1).is_checked()


def test_every_step_has_an_address_to_hand_on(page, tutorial):
    """The number before a title leads to its step and puts the whole address on the clipboard."""
    page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    page.goto(tutorial)
    third = anchors(page)[2]
    page.locator(".step-head a.number").nth(2).click()
    page.wait_for_function("document.querySelector('#the-news').textContent !== ''")
    assert page.evaluate("navigator.clipboard.readText()") == page.url
    assert page.url.endswith(f"{tutorial}#{third}")


def test_the_table_view_shows_one_step_large(page, tutorial):
    """From the page it begins at the step in view; letters are larger; the rest of the page is gone, for the
    ear too.
    """
    page.goto(tutorial)
    size = "() => parseFloat(getComputedStyle(document.querySelector('.task .prose p')).fontSize)"
    before = page.evaluate(size)
    page.get_by_role("link", name="Table view").click()
    assert page.evaluate(SEEN) == anchors(page)[:1] and page.evaluate(size) > 1.25 * before
    assert page.evaluate("document.activeElement.closest('.task')?.className.includes('current')")
    assert not page.locator(".top").is_visible() and not page.locator(".foot").is_visible()
    assert page.get_by_role("button", name="Next").is_visible()


def test_tap_key_and_swipe_go_on_and_back(page, tutorial):
    """Buttons, arrow keys and a finger do the same; at either end nothing more happens; every step is
    announced.
    """
    page.goto(f"{tutorial}?table")
    steps = anchors(page)
    page.get_by_role("button", name="Back").click(force=True)
    assert page.evaluate(SEEN) == steps[:1]
    page.get_by_role("button", name="Next").click()
    assert page.evaluate(SEEN) == steps[1:2] and page.url.endswith(f"?table#{steps[1]}")
    assert page.locator("#the-news").inner_text().startswith(f"Step 2 of {len(steps)}: ")
    page.keyboard.press("ArrowRight")
    assert page.evaluate(SEEN) == steps[2:3]
    page.evaluate(SWIPE, [300, 100])
    assert page.evaluate(SEEN) == steps[3:4]
    page.evaluate(SWIPE, [100, 120])
    assert page.evaluate(SEEN) == steps[3:4]
    page.evaluate(SWIPE, [100, 300])
    page.keyboard.press("ArrowLeft")
    assert page.evaluate(SEEN) == steps[1:2]
    for _ in steps:
        page.keyboard.press("ArrowRight")
    assert page.evaluate(SEEN) == steps[-1:]


def test_the_arrow_keys_still_choose_the_measures(page, tutorial):
    """In the control of the measures the arrows belong to it, though they turn the steps elsewhere."""
    page.goto(tutorial)
    page.get_by_role("radio", name="both", exact=True).check()
    page.keyboard.press("ArrowLeft")
    assert page.get_by_role("radio", name="millimetres").is_checked()
    page.goto(f"{tutorial}?table")
    assert page.evaluate("document.documentElement.dataset.units") == "mm"


def test_a_link_leads_into_the_table_view_and_escape_out(page, tutorial):
    """Leaving shows the whole page at the step one was at, with the focus there."""
    page.goto(tutorial)
    step = anchors(page)[4]
    page.goto(f"{tutorial}?table#{step}")
    assert page.evaluate(SEEN) == [step]
    page.keyboard.press("Escape")
    assert len(page.evaluate(SEEN)) == len(anchors(page)) and page.url.endswith(f"{tutorial}#{step}")
    assert page.evaluate("document.activeElement.getAttribute('href')") == f"#{step}"
    assert 0 <= page.locator(f"#{step}").bounding_box()["y"] < 400


def test_the_browsers_back_leaves_the_table_view(page, tutorial):
    """As people do on a phone; and forward comes in again where they were."""
    page.goto(tutorial)
    page.get_by_role("link", name="Table view").click()
    page.keyboard.press("ArrowRight")
    page.go_back()
    assert len(page.evaluate(SEEN)) == len(anchors(page)) and "table" not in page.url
    page.go_forward()
    assert page.evaluate(SEEN) == anchors(page)[1:2]
    page.get_by_role("link", name="Table view").wait_for(state="hidden")
    page.keyboard.press("Escape")
    assert len(page.evaluate(SEEN)) == len(anchors(page))


def test_the_screen_stays_on_unless_the_reader_unticks_it(page, tutorial):
    """No lock on the page; in the table view there is one, let go with the tick and when the view is left."""
    page.add_init_script(FAKE_LOCK)
    page.goto(tutorial)
    assert page.evaluate("locks") == []
    page.goto(f"{tutorial}?table")
    page.wait_for_function("locks.length === 1 && locks[0].on")
    asked = page.get_by_role("checkbox", name="keep the screen on")
    asked.uncheck()
    page.wait_for_function("!locks[0].on")
    asked.check()
    page.wait_for_function("locks.length === 2 && locks[1].on")
    page.keyboard.press("Escape")
    page.wait_for_function("!locks[1].on")


def test_in_the_table_view_picture_and_settings_fill_the_screen(page, tutorial):
    """The figures to set and the picture are seen at once, larger than half of the screen together; the words
    are one tap away, and one tap brings them back out of sight.
    """
    for width, height in ((360, 740), (1280, 800)):
        page.set_viewport_size({"width": width, "height": height})
        page.goto(f"{tutorial}?table")
        page.keyboard.press("ArrowRight")
        set_, drawn = (page.locator(f".current {part}").first.bounding_box()
                       for part in (".settings", ".sheet > svg"))
        bar = page.locator("#the-table").bounding_box()["y"]
        assert set_["y"] >= 0 and drawn["y"] + drawn["height"] <= bar
        assert drawn["height"] > 0.4 * height and not page.locator(".current .words").is_visible()
        page.get_by_role("button", name="Words").click()
        assert page.locator(".current .words").is_visible()
        page.get_by_role("button", name="Words").click()
        assert not page.locator(".current .words").is_visible()


def test_where_the_browser_cannot_keep_the_screen_on_nothing_is_offered(page, tutorial):
    """No control that does nothing."""
    page.add_init_script("delete Navigator.prototype.wakeLock")
    page.goto(f"{tutorial}?table")
    assert page.locator("#the-next").is_visible() and not page.locator("#the-waking").is_visible()


@pytest.mark.parametrize(("width", "height"),
                         [(320, 568), (360, 740), (768, 1024), (1280, 800), (1920, 1080)])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_table_view_fits_and_is_accessible(page, tutorial, axe, width, height, scheme):
    """On any screen nothing runs out sideways, and the end of the step can be brought above the controls.

    The checker holds nothing against it on the narrowest and on the widest.
    """
    page.set_viewport_size({"width": width, "height": height})
    page.emulate_media(color_scheme=scheme)
    page.goto(f"{tutorial}?table")
    page.keyboard.press("ArrowRight")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.evaluate(
        "[...document.querySelectorAll('.current .sheet')].every(e => e.scrollWidth <= "
        "e.clientWidth)"), "pictures are seen whole"
    page.evaluate("window.scrollTo(0, document.documentElement.scrollHeight)")
    bar, step = page.locator("#the-table").bounding_box(), page.locator(".current").bounding_box()
    assert step["y"] + step["height"] <= bar["y"] + 1
    assert width not in (320, 1920) or axe(page, scheme) == []


def test_reduced_motion_is_kept(page, tutorial):
    """Whoever wants no motion sees none when a step changes."""
    moves = "() => getComputedStyle(document.querySelector('.current')).animationName"
    for wish, name in (("reduce", "none"), ("no-preference", "comes")):
        page.emulate_media(reduced_motion=wish)
        page.goto(f"{tutorial}?table")
        page.keyboard.press("ArrowRight")
        assert page.evaluate(moves) == name


def test_a_page_in_the_table_view_prints_whole(page, tutorial):
    """Paper has no next button: all steps, none of the controls."""
    page.goto(f"{tutorial}?table")
    page.emulate_media(media="print")
    assert page.evaluate(SEEN) == anchors(page) and not page.locator("#the-table").is_visible()
    assert page.locator(".done:visible, .anchor:visible, #the-progress:visible").count() == 0


def test_without_a_script_the_page_is_as_it_was(browser, site_url, tutorial):
    """No boxes to tick, no view to enter; the links to steps work, those of the table view too."""
    context = browser.new_context(base_url=site_url, java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{tutorial}?table")
    assert page.locator(
        ".done:visible, #to-table:visible, #the-table:visible, #the-unticking:visible").count() == 0
    assert page.locator(".task:visible").count() == page.locator(".task").count() > 1
    page.locator(".step-head a.number").nth(1).click()
    assert page.locator(".task").nth(1).bounding_box()["y"] < 100
    context.close()


@pytest.mark.parametrize("query", ["", "?table"])
@pytest.mark.parametrize("width", [360, 1280])
def test_nothing_jumps_while_the_page_loads(page, tutorial, query, width):
    """Cumulative layout shift (web.dev/cls) of 0, scripts and all."""
    page.set_viewport_size({"width": width, "height": 800})
    page.add_init_script(SHIFTS)
    page.goto(tutorial + query)
    page.wait_for_timeout(400)
    assert page.evaluate("window.shifted || 0") == 0

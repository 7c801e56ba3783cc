"""Begin at once: what stands on the first screen of a tutorial, and how far down its first step is."""
from __future__ import annotations

import pytest

from tests.site.page_kinds import tutorials

SCREENS = {360: 740, 1280: 800}
FIRST_STEP = {360: 1500, 1280: 1200}        # px: two screens of a phone, one and a half of a laptop
DOORS = "#the-text .doors a"
PLACES = """() => ['h1', '.finished svg', '.brief', '.doors', '#the-units', '.task'].map(part => {
    const box = document.querySelector(part).getBoundingClientRect();
    return [part, box.top, box.bottom]; })"""
LINES = """() => [...document.querySelectorAll('.brief dd')].map(row =>
    Math.round(row.getBoundingClientRect().height / parseFloat(getComputedStyle(row).lineHeight)))"""


@pytest.mark.parametrize("width", SCREENS)
def test_the_first_screen_has_all_it_takes_to_begin(page, built_site, width):
    """Title, picture, facts, doors and units on the first screen of every tutorial; step 1 is not far."""
    page.set_viewport_size({"width": width, "height": SCREENS[width]})
    for address in tutorials(built_site):
        page.goto(address)
        *first, step = page.evaluate(PLACES)
        assert not [(address, part, bottom) for part, top, bottom in first
                    if top < 0 or bottom > SCREENS[width] or bottom <= top]
        assert step[1] <= FIRST_STEP[width], (address, step)
        assert page.evaluate(LINES) and max(page.evaluate(LINES)) == 1, address


def test_the_doors_lead_to_step_print_and_template(page, built_site):
    """Three ways to go on, each where it says."""
    address = tutorials(built_site)[0]
    page.goto(address)
    targets = page.eval_on_selector_all(DOORS, "doors => doors.map(door => door.getAttribute('href'))")
    assert targets == [f"#{page.locator('.task').first.get_attribute('id')}", "print/", "#the-files"]
    page.locator(DOORS).last.click()
    assert page.locator("#the-files").is_visible()


def test_the_contents_lead_everywhere(page, built_site):
    """Every step and every section is one link away: in sight on a wide screen, else behind a button."""
    address = tutorials(built_site)[0]
    for width, height in ((360, 740), (1280, 800)):
        page.set_viewport_size({"width": width, "height": height})
        page.goto(address)
        links = page.locator(".toc a")
        assert links.count() >= page.locator(".task").count() + 6
        if width == 360:
            assert not links.first.is_visible()
            page.locator(".toc summary").click()
        assert links.first.is_visible() and page.locator(".toc a:visible").count() == links.count()


def test_cautions_stand_before_their_step_and_once_together(page, built_site):
    """Each caution but the last, which is of all work, stands in one step and in the list of all."""
    for address in tutorials(built_site):
        page.goto(address)
        together = page.eval_on_selector_all("section.cautions li", "all => all.map(e => e.innerText.trim())")
        apart = page.eval_on_selector_all(".care p", "all => all.map(e => e.innerText.trim())")
        assert sorted(together[:-1]) == sorted(apart), address
        assert page.evaluate("""[...document.querySelectorAll('.care')].every(care =>
            care.getBoundingClientRect().bottom
                <= care.parentElement.querySelector('h2').getBoundingClientRect().top + 1)""")


def test_without_a_script_everything_can_be_read(browser, site_url, built_site):
    """No control that does nothing; every step, and both systems of the settings, are there."""
    context = browser.new_context(base_url=site_url, java_script_enabled=False)
    page = context.new_page()
    page.goto(tutorials(built_site)[0])
    assert page.locator(".task:visible").count() == page.locator(".task").count()
    assert all(page.locator(f".settings .{system}").first.is_visible() for system in ("in", "mm"))
    assert not page.locator(".household summary, #to-table").first.is_visible()
    assert page.locator(".doors a:visible").count() == 3
    context.close()


LETTERS = """() => [...document.querySelectorAll('.task .sheet svg.drawing')].flatMap(drawing =>
    [...drawing.querySelectorAll('text')].filter(text => text.checkVisibility()).map(text =>
        parseFloat(getComputedStyle(text).fontSize) * Math.abs(drawing.getScreenCTM().a)))"""


@pytest.mark.parametrize("width", [360, 768, 1280])
def test_letters_in_pictures_are_as_large_as_text(page, built_site, width):
    """12 to 16 px on a phone, a tablet and a laptop, whatever the scale of the picture."""
    page.set_viewport_size({"width": width, "height": 800})
    page.goto(tutorials(built_site)[0])
    sizes = page.evaluate(LETTERS)
    assert len(sizes) > 20 and min(sizes) >= 12 and max(sizes) <= 16

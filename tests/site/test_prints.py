"""A reader types the mark of her print, or comes with it in the address, and learns what it is worth."""
from __future__ import annotations

import pytest


@pytest.mark.parametrize("address", ["prints/", "prints/de/"])
def test_a_mark_finds_its_tutorial(page, address):
    """Small letters and letters that look like figures will do; all others are put away."""
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto(address)
    sections = page.locator("section.printed")
    total = sections.count()
    mark = page.locator("tr[data-mark]").nth(5).get_attribute("data-mark")
    page.locator("#the-mark").fill(mark.lower().replace("0", "o").replace("1", "l"))
    shown = page.locator("section.printed:visible")
    assert total >= 12 and shown.count() == 1
    title = shown.locator("h2").inner_text()
    assert page.locator("#the-worth").inner_text().startswith(f"{title}: ")
    page.locator("#the-mark").fill("")
    assert page.locator("section.printed:visible").count() == total
    assert page.evaluate("document.documentElement.scrollWidth") <= 360


def test_an_address_may_carry_the_mark(page):
    """As a code on the print leads there; a mark that nobody knows is told, and the list stays."""
    page.goto("prints/")
    mark = page.locator("tr[data-mark]").nth(3).get_attribute("data-mark")
    page.goto(f"prints/?mark={mark}")
    assert page.locator("section.printed:visible").count() == 1
    page.goto("prints/?mark=ZZZZZZ")
    assert page.locator("#the-worth").inner_text() and page.locator("section.printed:visible").count() >= 12


def test_without_scripts_it_is_a_list(browser, site_url):
    """Every mark stands there with what it is worth, and no field that would do nothing."""
    context = browser.new_context(base_url=site_url, java_script_enabled=False)
    page = context.new_page()
    page.goto("prints/")
    assert page.locator("tr[data-mark]:visible").count() >= 24
    assert not page.locator("#the-mark").is_visible()
    context.close()


def test_the_page_of_a_tutorial_leads_there(page):
    """From its own mark."""
    page.goto("tea-caddy/")
    page.locator(".revision a").click()
    assert page.url.endswith("/prints/")

"""The search: in the head of every page and on its own page, in both languages, by keyboard, on a phone."""
from __future__ import annotations

import gzip
import json

import pytest

PHONE, LAPTOP = {"width": 360, "height": 740}, {"width": 1280, "height": 800}
FIELD, OPTION = ".search-box [role=combobox]", ".search-box [role=option]"
FOUND = "document.querySelector('#the-found').textContent"
FIRST, AMONG = 1, 5         # where a result must stand

# what is asked, what must be found: by hand, from the titles of the tutorials and their steps
ASKED = [
    ("", "PANELS sco", "Score the panels", FIRST),
    ("", "scoring", "Score the floor", AMONG),                  # another form of it
    ("", "bone folder", "bone folder", FIRST),
    ("", "envel", "Envelope for seed packets", FIRST),          # the beginning of a word
    ("", "tea cady", "Eight-sided tea caddy with a gathered dome", FIRST),
    ("", "pyrmaid", "Square pyramid closed by a ribbon", FIRST),   # two letters changed places
    ("", "cookie", "Biscuit box with a lid", AMONG),            # another word for it
    ("", "the lid of a carton", "Biscuit box with a lid", 12),  # what is no word to search for
    ("", "almonds", "Six-sided almond pot with a pinched crown", FIRST),
    ("de/", "Lasche", "Rille die Einstecklaschen", AMONG),      # a part of a compound, in the plural
    ("de/", "Klebelaschen", "Rille die Klebelaschen", AMONG),
    ("de/", "Keksschachteln", "Keksschachtel mit Deckel", FIRST),
    ("de/", "Schachtel Kekse", "Keksschachtel mit Deckel", FIRST),     # a compound, asked for by its parts
    ("de/", "Deckelschachtel", "Keksschachtel mit Deckel", AMONG),     # parts, asked for as a compound
    ("de/", "Tuete", "Tüte mit Zwickeln und gefaltetem Boden", FIRST),     # an umlaut without its dots
    ("de/", "Tüten", "Tüte mit Zwickeln und gefaltetem Boden", FIRST),
    ("de/", "Boegen der Krone", "Rille die Bögen der Krone", FIRST),
    ("de/", "schliesse den Boden", "Schließe den Boden", FIRST),    # ss for ß
    ("de/", "Wände rillen", "Rille die Wände", AMONG),
    ("de/", "gieb", "Giebelschachtel mit Griff", FIRST),
    ("de/", "Keksschahctel", "Keksschachtel mit Deckel", FIRST),
    ("de/", "Kupel", "Raffe die Kuppel und binde sie zu", AMONG),
    ("de/", "Kuvert", "Umschlag für Samentütchen", AMONG),
    ("de/", "Plätzchen", "Keksschachtel mit Deckel", AMONG),
    ("de/", "Mandeln", "Sechseckige Mandeldose mit gekniffener Krone", AMONG),
]


@pytest.mark.parametrize(("tongue", "text", "title", "place"), ASKED)
def test_what_is_found(page, tongue, text, title, place):
    """Near the top of the list on the page of the search."""
    page.goto(f"search/{tongue}?q={text}")
    page.locator("#the-results a").first.wait_for()
    assert title in page.locator("#the-results a").all_inner_texts()[:place]


def test_all_of_a_tutorial_is_searched(page):
    """Supplies, tools, what fits in and the prose of steps: words of the caddy that stand in no title."""
    for text in ("sealed bag caddy", "stylus caddy", "grain caddy", "burnish caddy"):
        page.goto(f"search/?q={text}")      # anew, so that no result of the last words is taken for one
        page.locator("#the-results a").first.wait_for()
        found = [link.get_attribute("href") for link in page.locator("#the-results a").all()]
        assert any("tea-caddy/" in address for address in found), (text, found)


def test_nothing_is_made_of_signs(page):
    """What is typed is taken for nothing but words."""
    page.goto("search/")
    page.get_by_role("searchbox").fill("<b>zebrafish</b> .* [")
    page.wait_for_function(f"{FOUND}.startsWith('Nothing')")
    assert page.locator("#the-results li").count() == 0


@pytest.mark.parametrize(("address", "text", "ends"), [
    ("tea-caddy/", "score the foot of a caddy", "/tea-caddy/#score-the-foot-and-the-shoulder"),
    ("glossary/de/", "Bögen Krone Teedose", "/tea-caddy/de/#score-the-curves-of-the-crown")])
def test_the_keyboard_leads_to_a_step(page, address, text, ends):
    """Open, type, arrow down, enter; escape closes and gives the focus back (ARIA, combobox pattern)."""
    page.set_viewport_size(LAPTOP)
    page.goto(address)
    door = page.locator("#the-search")
    door.focus()
    page.keyboard.press("Enter")
    field = page.locator(FIELD)
    field.wait_for()
    assert page.evaluate("document.activeElement.getAttribute('role')") == "combobox"
    page.keyboard.press("Escape")
    field.wait_for(state="hidden")
    page.wait_for_function("document.activeElement.id === 'the-search'")
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.getAttribute('role')") == "combobox"   # at once
    page.keyboard.type(text)
    page.locator(OPTION).first.wait_for()
    assert field.input_value() == text
    assert field.get_attribute("aria-expanded") == "true" and field.get_attribute(
        "aria-activedescendant") is None
    page.keyboard.press("ArrowUp")
    last = page.locator(OPTION).count() - 1
    assert field.get_attribute("aria-activedescendant") == f"option-{last}"
    page.keyboard.press("ArrowDown")
    first = page.locator(f"#{field.get_attribute('aria-activedescendant')}")
    assert first.get_attribute("id") == "option-0" and first.get_attribute("aria-selected") == "true"
    assert ("Step 3 · Eight-sided tea caddy" if address == "tea-caddy/" else "Schritt ") in first.inner_text()
    page.keyboard.press("Enter")
    page.wait_for_url(f"**{ends}")
    assert page.locator(page.evaluate("location.hash")).is_visible()


def test_enter_without_a_choice_shows_everything(page):
    """On the page of the search, with what was typed."""
    page.goto("tea-caddy/print/")
    page.locator("#the-search").click()
    page.locator(FIELD).fill("ribbon")
    page.locator(OPTION).first.wait_for()
    page.keyboard.press("Enter")
    page.wait_for_url("**/search/?q=ribbon")
    page.locator("#the-results a").first.wait_for()
    assert page.get_by_role("searchbox").input_value() == "ribbon"
    assert page.locator("#the-results a").count() > 1


@pytest.mark.parametrize("address", ["", "tea-caddy/de/"])
@pytest.mark.parametrize(("size", "scheme"), [(PHONE, "light"), (LAPTOP, "dark")])
def test_the_open_search_has_no_fault(page, axe, address, size, scheme):
    """Before and after something is found; it stays on the screen, its rows are large enough for a finger."""
    page.set_viewport_size(size)
    page.emulate_media(color_scheme=scheme)
    page.goto(address)
    assert page.locator("#the-search").bounding_box()["width"] >= 24
    page.locator("#the-search").click()
    page.wait_for_function("document.querySelector('.search-box [role=status]')?.textContent")
    assert axe(page, scheme) == []
    page.locator(FIELD).fill("deck" if "de" in address else "lid")
    page.locator(OPTION).first.wait_for()
    assert axe(page, scheme) == []
    box = page.locator(".search-box").bounding_box()
    assert box["x"] >= 0 and box["x"] + box["width"] <= size["width"] and box["height"] <= size["height"]
    assert min(page.locator(OPTION).evaluate_all("all => all.map(o => o.offsetHeight)")) >= 40
    page.locator(OPTION).first.click()
    page.wait_for_url(lambda url: not url.endswith(f"/{address}"))


def test_nothing_is_fetched_before_it_is_opened(page):
    """Neither library nor index; without a script the link leads to the page of the search."""
    asked = []
    page.on("request", lambda request: asked.append(request.url.rpartition("/")[2]))
    page.goto("soap-tray/")
    page.wait_for_load_state("networkidle")
    assert not {"search.js", "minisearch.js", "search.json", "search.css"} & set(asked)
    page.locator("#the-search").click()
    page.locator(FIELD).wait_for()
    page.wait_for_load_state("networkidle")
    assert {"search.js", "minisearch.js", "search.json", "search.css"} <= set(asked)


def test_without_a_script_or_an_index_the_link_leads_on(browser, site_url):
    """To the page of the search, which says that it needs a script, or that there is no index."""
    for settings, said in (({"java_script_enabled": False}, "needs a script"), ({}, "could not be fetched")):
        context = browser.new_context(base_url=site_url, **settings)
        context.route("**/search.json", lambda route: route.abort())
        page = context.new_page()
        page.goto("soap-tray/")
        page.locator("#the-search").click()
        page.wait_for_url("**/search/*")
        if settings:
            assert said in page.locator("main").inner_text()
        else:
            page.get_by_role("searchbox").fill("x")
            page.get_by_text(said).wait_for()
        context.close()


def test_the_index_is_light(built_site):
    """At most 15 kB, compressed, for each hundred steps of tutorials; no drawing in it."""
    for name in ("search.json", "search.de.json"):
        data = (built_site / name).read_bytes()
        steps = sum(len(page[3]) for page in json.loads(data)["pages"] if page[1])
        assert steps > 100 and len(gzip.compress(data, 6)) <= 15_000 * steps / 100
        assert b"viewBox" not in data and b"<svg" not in data and b"path" not in data

"""The gallery in a browser: its pictures, its filters, and what holds a thing, on phone and laptop."""
from __future__ import annotations

import re

import pytest

PHONE, LAPTOP = {"width": 360, "height": 740}, {"width": 1280, "height": 800}
TITLES = "all => all.filter(c => c.checkVisibility()).map(c => c.querySelector('h3 a').getAttribute('href'))"


def shown(page) -> set[str]:
    """The tutorials whose cards are to be seen, by the names of their folders."""
    return {re.sub(r"^\.\./|/(?:de/)?$", "", name).removesuffix("/de")
            for name in page.locator(".card").evaluate_all(TITLES)}


@pytest.mark.parametrize("address", ["", "de/"])
def test_a_phone_shows_a_picture_at_once(page, address):
    """The first card's picture ends on the first screen of 360 × 740; the filters are one button away."""
    page.set_viewport_size(PHONE)
    page.goto(address)
    box = page.locator(".card img").first.bounding_box()
    assert box["width"] > 40 and box["y"] + box["height"] <= PHONE["height"]
    button = page.locator("#the-sieve")
    assert not page.locator("#the-filters").is_visible() and button.get_attribute("aria-expanded") == "false"
    button.click()
    assert page.locator("#the-filters").is_visible() and button.get_attribute("aria-expanded") == "true"
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    button.click()
    assert not page.locator("#the-filters").is_visible()


def test_a_laptop_has_the_filters_open(page):
    """No button; every filter has at least two choices besides “any”."""
    page.set_viewport_size(LAPTOP)
    page.goto("")
    assert page.locator("#the-filters").is_visible() and not page.locator("#the-sieve").is_visible()
    counts = page.locator("#the-filters select").evaluate_all("all => all.map(s => s.options.length)")
    assert counts and min(counts) >= 3


@pytest.mark.parametrize("address", ["", "de/"])
@pytest.mark.parametrize(("size", "scheme"), [(PHONE, "light"), (LAPTOP, "dark")])
def test_the_gallery_has_no_fault(page, axe, address, size, scheme):
    """With all of its filters open and a size asked for."""
    page.set_viewport_size(size)
    page.emulate_media(color_scheme=scheme)
    page.goto(f"{address}?holds=90 x 50 x 20 mm")
    page.wait_for_function("document.querySelector('#the-shown').textContent")
    assert axe(page, scheme) == []


# Inner sizes of the two editions in mm, from the facts that the tutorials' pages state: the biscuit box 97.4
# × 67.4 × 39.7, hinged box 99.4 × 69.4 × 29.7, drawer 89.5 × 59.5 × 24.7, carton 79.4 × 39.4 × 109.4, tray
# 199.3 × 119.3 × 23.6, carrier 79.4 × 49.4 × 94.4, bag 79.7 × 49.7 × 109.7; the caddy is an octagon of 71.9,
# the pot a hexagon of 68.8 across its flats, 57.9 and 48.4 high; in the pyramid, 59.4 square and 63 high, a
# ball of 37.4.
HELD = [
    ("mm", "95 × 65 × 25", {"biscuit-box", "hinged-box", "biscuit-bag", "window-carton"}),
    ("mm", "150x20x100", {"soap-tray"}),
    ("mm", "70 × 50", {"tea-caddy"}),
    ("mm", "49 mal 79", {"biscuit-bag", "gable-carrier"}),
    ("mm", "3,6 cm", {"almond-pot", "biscuit-bag", "biscuit-box", "gable-carrier", "ring-of-wedges",
                      "soap-pyramid", "tea-caddy", "window-carton"}),
    ("mm", "38", {"almond-pot", "biscuit-bag", "biscuit-box", "gable-carrier", "ring-of-wedges", "tea-caddy",
                  "window-carton"}),
    # on end, or across the floor from corner to corner
    ("mm", "10 × 10 × 105", {"biscuit-bag", "window-carton", "soap-tray", "biscuit-box", "hinged-box"}),
    ("in", "5 7/8 × 3/4 × 4", {"soap-tray"}),
    ("in", "5⅞ x 0.75 x 4 in", {"soap-tray"}),
    ("in", "150 mm x 20 mm x 10 cm", {"soap-tray"}),
    ("mm", "300 × 1 × 1", set()),
]


@pytest.mark.parametrize(("units", "size", "boxes"), HELD)
def test_boxes_that_hold_a_thing(page, units, size, boxes):
    """However it is turned in them; the size may be written in any usual way."""
    page.goto(f"?units={units}")
    page.locator("[name=holds]").fill(size)
    assert shown(page) == boxes
    said = page.locator("#the-shown").inner_text()
    assert said.startswith(f"{len(boxes)} of 13 shown") and "of 2 it is not known" in said


def test_what_is_no_size_hides_nothing(page):
    """It is told how to write one, in the chosen unit, and the field is marked."""
    page.goto("?units=mm")
    field = page.locator("[name=holds]")
    field.fill("a bar of soap")
    assert len(shown(page)) == 13 and field.get_attribute("aria-invalid") == "true"
    assert "90 × 50 × 20" in page.locator("#the-shown").inner_text()
    field.fill("")
    assert field.get_attribute("aria-invalid") is None and page.locator("#the-shown").inner_text() == ""


def test_a_size_follows_the_unit_and_stands_in_the_address(page):
    """"4 × 2 × 1" is tiny in millimetres, and held by two boxes in inches; a link brings it back."""
    page.goto("?units=mm&holds=4 x 2 x 1")
    assert len(shown(page)) == 11
    page.get_by_label("inches").check()
    page.wait_for_function("document.querySelector('#the-shown').textContent.includes(' in ')")
    # 101.6 × 50.8 × 25.4 mm: the floors of biscuit box (99.4) and hinged box (101.0) are just too short
    assert shown(page) == {"biscuit-bag", "window-carton"}
    assert "holds=4+x+2+x+1" in page.url and "units=mm" in page.url
    page.get_by_role("button", name="Show all").click()
    assert len(shown(page)) == 13 and "holds" not in page.url


@pytest.mark.parametrize(("units", "unseen"), [("in", "mm"), ("mm", "in")])
def test_limits_are_in_the_readers_unit(page, units, unseen):
    """Round figures of her own unit; what she chose in the other one counts no more."""
    page.goto(f"?units={units}")
    select = page.locator(f"[name=widest-{units}]")
    assert not page.locator(f"[name=widest-{unseen}]").is_visible()
    words = select.locator("option").all_inner_texts()[1:]
    assert all(re.fullmatch(rf"\d+ {units}", each) for each in words)
    select.select_option(index=1)
    few = shown(page)
    assert 0 < len(few) < 13
    page.locator(f"#the-units [value={unseen}]").check()
    page.wait_for_function("document.querySelector('#the-shown').textContent === ''")
    assert len(shown(page)) == 13


def test_pictures_are_to_one_scale(page):
    """The biscuit bag stands 159 mm high, the wedge of a ring 48 mm: so are they seen beside each other."""
    page.set_viewport_size(LAPTOP)
    page.goto("")
    high = {name: page.locator(f".card:has(a[href='{name}/']) img").bounding_box()["height"]
            for name in ("biscuit-bag", "gable-carrier", "ring-of-wedges")}
    assert high["gable-carrier"] > high["biscuit-bag"] > 1.5 * high["ring-of-wedges"]


def test_pictures_are_fetched_when_they_are_near(browser, site_url):
    """On a phone the last picture is not asked for before the reader comes near it, and it stands then."""
    context = browser.new_context(base_url=site_url, viewport=PHONE, bypass_csp=True)
    page = context.new_page()
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto("")
    page.wait_for_load_state("networkidle")
    last = page.locator(".card img").last
    name = last.get_attribute("src")
    assert not any(url.endswith(name) for url in asked)
    last.scroll_into_view_if_needed()
    page.wait_for_function("[...document.querySelectorAll('.card img')].pop().naturalWidth > 0")
    assert any(url.endswith(name) for url in asked)
    context.close()


def test_the_gallery_is_light(built_site):
    """No picture in the page, few elements, cards so small that with 200 it stays below 250 kB."""
    for home in ("", "de/"):
        text = (built_site / home / "index.html").read_text(encoding="utf-8")
        cards = re.findall(r'<li class="card".*?</li>', text, re.DOTALL)
        card = sum(len(each.encode()) for each in cards) / len(cards)
        assert len(cards) == 13 and "<svg" not in "".join(cards)
        assert len(text.encode()) + (200 - len(cards)) * card <= 250_000
        assert sum(each.count("<") - each.count("</") for each in cards) / len(cards) <= 24
    assert 'class="shelf"' in (built_site / "shelf" / "index.html").read_text(encoding="utf-8")


def test_a_picture_follows_the_colour_scheme(page):
    """Dark paper on the dark page: the file brings the colours of the site for both."""
    found = []
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        page.goto("biscuit-box/card.svg")
        found.append(page.evaluate("getComputedStyle(document.querySelector('[class^=printed]')).fill"))
    light, dark = (sum(map(int, re.findall(r"\d+", colour)[:3])) for colour in found)
    assert light > 450 > 300 > dark

"""What a browser makes of a drawing."""
from __future__ import annotations

import pytest
from playwright.sync_api import Browser

from generator.drawing import Role, step_pictures, stylesheet, svg
from generator.drawing.recording import RecordingPen
from generator.geometry import Line, Point
from tests.drawing.sample_plans import STEPS, caddy

pytestmark = pytest.mark.browser

DRAWN, OTHER = caddy("mm"), caddy("in")
PX_PER_MM = 96 / 25.4       # CSS Values and Units: 1 in = 96 px = 25.4 mm
PIXEL_PART = 1 / 32         # the browser lays boxes out on a grid of 1/64 px, at either end
FAMILIES = ("Arial,Helvetica,'Liberation Sans',sans-serif", "'DejaVu Sans',Verdana,sans-serif", "sans-serif")


def page_of(browser: Browser, body: str, css: str = ""):
    """A page with the stylesheet of the drawings."""
    page = browser.new_page(viewport={"width": 800, "height": 900})
    page.set_content(f"<!doctype html><meta charset=utf-8><style>{stylesheet()}{css}</style>{body}")
    return page


def drawing(step: int) -> str:
    return "".join(svg(p.recording, p.title, p.description, p.key) for p in step_pictures(DRAWN, OTHER, step))


def test_a_bar_of_100_mm_is_377_95_px_long(browser):
    """100 mm are 377.9528 px in a browser (CSS Values and Units)."""
    pen = RecordingPen()
    pen.begin("now")
    pen.stroke((Line(Point(10.0, 20.0), Point(110.0, 20.0)),), Role.CUT, True)
    pen.end()
    page = page_of(browser, svg(pen.recording(120.0, 40.0), "Bar", "A bar of 100 mm.", "bar"))
    measured = page.evaluate("""() => { const path = document.querySelector('path'), m = path.getScreenCTM();
        return path.getTotalLength() * m.a }""")
    assert measured == pytest.approx(377.9528, abs=PIXEL_PART)
    page.close()


def test_a_letter_size_is_the_same_on_all_pictures(browser):
    """Every picture is 120 mm wide, so that letters and lines are alike on a page: 453.54 px (CSS Values and
    Units).
    """
    page = page_of(browser, "".join(drawing(step) for step in range(1, len(STEPS) + 1)))
    widths = page.evaluate(
        "() => [...document.querySelectorAll('svg')].map(s => s.getBoundingClientRect().width)")
    assert len(widths) == len(STEPS) and widths == pytest.approx([120 * PX_PER_MM] * len(widths),
                                                                 abs=PIXEL_PART)
    page.close()


def room(recording) -> list[float]:
    """The mm kept along each line of text, in the order in which they are written."""
    kept = []
    for item in recording.of("label", "badge"):
        box = item.box()
        if item.method == "badge":
            kept.append(box.width)
        else:
            label = item.given[0]
            kept += [box.height if label.upright else box.width] * len(label.words.lines)
    return kept


@pytest.mark.parametrize("family", FAMILIES)
def test_words_fit_the_room_that_was_kept_for_them(browser, family):
    """In each family that the machine has, no text is longer than the box that the layout reckoned with."""
    pictures = [p for step in range(1, len(STEPS) + 1) for p in step_pictures(DRAWN, OTHER, step)]
    page = page_of(browser, "".join(svg(p.recording, p.title, p.description, p.key) for p in pictures),
                   f":root{{--plain:{family}}}")
    shown = page.evaluate(
        "() => [...document.querySelectorAll('text')].map(t => [t.textContent, t.getBBox().width])")
    kept = [mm for picture in pictures for mm in room(picture.recording)]
    assert len(shown) == len(kept) > 100
    assert not [(text, wide, most) for (text, wide), most in zip(shown, kept, strict=True)
                if wide > most + 0.05]
    page.close()


def test_a_page_can_hide_one_system(browser):
    """With one rule of CSS the inches go, the millimetres stay, and nothing else moves."""
    page = page_of(browser, drawing(2))
    before = page.evaluate(
        "() => [...document.querySelectorAll('text.mm')].map(t => t.getBoundingClientRect().x)")
    page.add_style_tag(content=".drawing .in { display: none }")
    after = page.evaluate(
        "() => [...document.querySelectorAll('text.mm')].map(t => t.getBoundingClientRect().x)")
    hidden = page.evaluate(
        "() => [...document.querySelectorAll('text.in')].every(t => !t.getClientRects().length)")
    assert hidden and before == after and len(before) == 9
    page.close()


def test_colours_follow_the_page(browser):
    """A custom property set by the page reaches the lines; without one our own stands."""
    own = page_of(browser, drawing(2))
    assert own.evaluate(
        "() => getComputedStyle(document.querySelector('.score.now')).stroke") == "rgb(156, 61, 18)"
    own.close()
    page = page_of(browser, drawing(2), ":root { --accent: rgb(1, 2, 3) }")
    assert page.evaluate(
        "() => getComputedStyle(document.querySelector('.score.now')).stroke") == "rgb(1, 2, 3)"
    page.close()


def test_a_file_of_its_own_looks_the_same(browser):
    """With its own style element, and no stylesheet around it, lines have their colour and width."""
    picture = step_pictures(DRAWN, OTHER, 2)[0]
    page = browser.new_page()
    page.set_content(svg(picture.recording, picture.title, picture.description, picture.key, standalone=True))
    style = page.evaluate("""() => { const s = getComputedStyle(document.querySelector('.score.now'));
        return [s.stroke, s.strokeWidth, s.strokeDasharray] }""")
    assert style == ["rgb(156, 61, 18)", "0.45px", "0px, 0.9px"]
    page.close()

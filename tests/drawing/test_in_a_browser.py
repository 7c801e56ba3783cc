"""What a browser makes of a drawing."""
from __future__ import annotations

from base64 import b64encode

import pytest
from playwright.sync_api import Browser

from generator.drawing.backends.stylesheet import font_faces, stylesheet, web_fonts
from generator.drawing.backends.svg import svg
from generator.drawing.lettering import SMALL_LETTER_SIZE, text_width
from generator.drawing.pen import Role
from generator.drawing.recording import RecordingPen
from generator.drawing.steps.step_picture import step_pictures
from generator.geometry import Line, Point
from generator.locale import locale_for
from tests.drawing.sample_plans import STEPS, caddy

pytestmark = pytest.mark.browser

DRAWN, OTHER = caddy("mm"), caddy("in")
PX_PER_MM = 96 / 25.4       # CSS Values and Units: 1 in = 96 px = 25.4 mm
PIXEL_PART = 1 / 32         # the browser lays boxes out on a grid of 1/64 px, at either end


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
    """Every picture is 96 mm wide, so that letters and lines are alike on a page: 362.83 px (CSS Values and
    Units).
    """
    page = page_of(browser, "".join(drawing(step) for step in range(1, len(STEPS) + 1)))
    widths = page.evaluate(
        "() => [...document.querySelectorAll('svg')].map(s => s.getBoundingClientRect().width)")
    assert len(widths) == len(STEPS) and widths == pytest.approx([96 * PX_PER_MM] * len(widths),
                                                                 abs=PIXEL_PART)
    page.close()


def line_widths(recording) -> list[float]:
    """The mm reckoned for each line of text, in the order in which they are written."""
    lines = []
    for item in recording.of("label", "badge"):
        if item.method == "badge":
            lines.append(text_width(str(item.arguments[0].number), SMALL_LETTER_SIZE))
        else:
            lines += [text_width(words, item.arguments[0].size) for _, words in item.arguments[0].words.lines]
    return lines


def shipped_fonts() -> str:
    """The style that a site has for the font, with its files in it, as on a page that has them.

    By "optional" the page on which they first arrive keeps the font that it began with.
    """
    assert font_faces().count("font-display:optional") == len(web_fonts())
    css = font_faces().replace("font-display:optional", "font-display:block")
    for name, data in web_fonts().items():
        css = css.replace(f"url({name})", f"url(data:font/woff;base64,{b64encode(data).decode()})")
    return css


@pytest.mark.parametrize("code", ["en", "de"])
def test_words_take_the_room_that_was_kept_for_them(browser, code):
    """With the font that a site ships, each text is as long as the layout reckoned.

    To a tenth of a mm and one per cent, by which a browser hints small letters.
    """
    pictures = [p for step in range(1, len(STEPS) + 1)
                for p in step_pictures(DRAWN, OTHER, step, locale_for(code))]
    page = page_of(browser, "".join(svg(p.recording, p.title, p.description, p.key) for p in pictures),
                   shipped_fonts())
    assert page.evaluate("async () => (await document.fonts.load('4px Arimo', '5 mm')).length") == 1
    shown = page.evaluate(
        "() => [...document.querySelectorAll('text')].map(t => [t.textContent, t.getBBox().width])")
    kept = [most for picture in pictures for most in line_widths(picture.recording)]
    assert len(shown) == len(kept) > 100
    assert not [(text, wide, most) for (text, wide), most in zip(shown, kept, strict=True)
                if abs(wide - most) > 0.1 + 0.01 * most]
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
        "() => getComputedStyle(document.querySelector('.score.now')).stroke") == "rgb(138, 52, 16)"
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
    assert style == ["rgb(138, 52, 16)", "0.45px", "0px, 0.9px"]
    page.close()

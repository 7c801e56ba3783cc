"""The fold slider in a browser: it moves and turns the picture, keeps still where asked to, and is not there
without a script.
"""
from __future__ import annotations

import gzip
import io

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Locator, Page

from generator.drawing.folded.fold_pictures import solid_builders
from generator.drawing.folded.slider_data import slider_data
from generator.folding.records import placed_points
from tests.site.page_kinds import german, prints, tutorials
from tests.tutorial.site_tutorials import folded_of, on_shelf

MOST = 40_000       # bytes, compressed, a tutorial
CADDY, BOX = "tea-caddy/", "biscuit-box/"
SET = "(s, v) => { s.value = v; s.dispatchEvent(new Event('input', {bubbles: true})); }"


def seen(where: Locator) -> np.ndarray:
    """What stands on the screen there, grey."""
    return np.asarray(Image.open(io.BytesIO(where.screenshot())).convert("L"), float)


def differ(one: np.ndarray, other: np.ndarray) -> float:
    """The share of points that are not alike."""
    return float((np.abs(one - other) > 24).mean()) if one.shape == other.shape else 1.0


def at(page: Page, place: float) -> None:
    """Move the slider, and wait until the picture is there."""
    page.locator("#the-fold").evaluate(SET, place)
    page.wait_for_selector(f".finished canvas[data-place='{place:.3f}']")


@pytest.fixture
def calm(page: Page) -> Page:
    page.emulate_media(reduced_motion="reduce")
    return page


def test_every_file_is_small(built_site):
    """One file for each tutorial, of at most 40 kB compressed, and all languages ask for the same one."""
    for address in tutorials(built_site):
        (file,) = (built_site / address).glob("fold-*.json")
        assert len(gzip.compress(file.read_bytes(), 6)) <= MOST, address
        assert file.name in (built_site / address / "index.html").read_text(encoding="utf-8")
    for address in german(built_site):
        text = (built_site / address / "index.html").read_text(encoding="utf-8")
        assert 'id="the-folding"' not in text or any(f"../{f.name}" in text
                                                     for f in (built_site / address).parent.glob(
                                                             "fold-*.json"))


FRAMES = """async ([name, places]) => {
    const shape = await import(new URL('../js/fold-shape.js', location.href).href);
    const data = shape.unpacked(await (await fetch(name)).json());
    return data.bodies.map(body => places.map(place => shape.framesAt(body, place).frames.map(f => [...f])));
}"""


@pytest.mark.parametrize("address", [BOX, "gable-carrier/"])
def test_the_program_folds_as_folding_does(calm, built_site, address):
    """At every place the program puts each corner of every panel where the folding room has it, to 0.1 mm."""
    (file,) = (built_site / address).glob("fold-*.json")
    calm.goto(address)
    tutorial = on_shelf(address.strip("/"))
    steps = slider_data(*folded_of(tutorial)).steps
    found = calm.evaluate(FRAMES, [file.name, list(range(1, len(steps) + 1))])
    compared = 0
    for frames, builder in zip(found, solid_builders(*folded_of(tutorial)), strict=True):
        for stage in (s for s in builder.stages if s.step in steps):
            for panel in builder.piece.flat.panels:
                numbers, frame = frames[steps.index(stage.step)][panel.id], np.eye(4)
                frame[:3, :3], frame[:3, 3] = np.reshape(numbers[:9], (3, 3)), numbers[9:]
                xy = np.asarray(panel.polygon.exterior.coords)
                assert np.abs(placed_points(frame, xy)
                              - placed_points(stage.frames[panel.id], xy)).max() < 0.1
                compared += 1
    assert compared >= 30


def paper(picture: np.ndarray) -> np.ndarray:
    """Where there is paper, cut out along its sides."""
    there = np.abs(picture - picture[0, 0]) > 5
    rows, columns = np.flatnonzero(there.any(axis=1)), np.flatnonzero(there.any(axis=0))
    return there[rows[0]:rows[-1] + 1, columns[0]:columns[-1] + 1]


def test_at_the_end_it_looks_like_the_still_picture(calm):
    """The canvas at the end of the way shows what the still picture does, at the scale of the whole way."""
    for address in (CADDY, BOX):
        calm.goto(address)
        still = paper(seen(calm.locator(".finished .sheet")))
        at(calm, 0)
        at(calm, float(calm.locator("#the-fold").get_attribute("max")))
        moving = paper(seen(calm.locator(".finished .sheet")))
        sized = np.asarray(Image.fromarray(moving).resize(still.shape[::-1]))
        assert (still & sized).sum() > 0.85 * (still | sized).sum(), address


def test_one_scale_holds_for_the_whole_way(calm):
    """The caddy's walls stay as wide while its floor and its ribbon come; its sheet is wider."""
    calm.goto(CADDY)
    wide = {}
    for place in (0, 2, 3, 4):
        at(calm, place)
        wide[place] = paper(seen(calm.locator(".finished .sheet"))).shape[1]
    assert max(wide[k] for k in (2, 3, 4)) <= 1.03 * min(wide[k] for k in (2, 3, 4))
    assert wide[2] < 0.8 * wide[0]


def test_where_the_paper_bends_two_ends_fade(calm):
    """The carton's lid: the page says that paper bends, and one end goes out evenly as the other comes."""
    calm.goto("window-carton/")
    note, pictures = calm.locator("#the-fold-bends"), []
    for place in (3.84, 3.92, 4):
        at(calm, place)
        pictures.append(seen(calm.locator(".finished .sheet")))
        assert note.inner_text().startswith("The paper bends here") is (place < 4)
    one, middle, other = pictures
    assert differ(one, other) > 0.005 and np.abs(middle - (one + other) / 2).mean() < 1.0


def test_the_slider_moves_the_picture_and_says_where_it_is(calm):
    """Its name is heard as the step's; its ends stop; the buttons go from step to step; the number leads to
    the step.
    """
    asked: list[str] = []
    calm.on("request", lambda request: asked.append(request.url))
    calm.goto(CADDY)
    slider, sheet = calm.locator("#the-fold"), calm.locator(".finished .sheet")
    assert not any("fold-" in url and url.endswith(".json")
                   for url in asked) and calm.locator("canvas").count() == 0
    assert slider.get_attribute("aria-valuetext") == "Gather the dome and tie it"
    pictures = []
    for place in (0, 0.5, 1, 4.5):
        at(calm, place)
        pictures.append(seen(sheet))
    assert all(differ(a, b) > 0.02 for k, a in enumerate(pictures) for b in pictures[:k])
    assert sum(url.endswith(".json") for url in asked) == 1
    at(calm, 0)
    assert slider.get_attribute("aria-valuetext") == "Flat, before the first fold"
    assert calm.locator("#the-fold-back").get_attribute("aria-disabled") == "true"
    calm.locator("#the-fold-next").click()
    assert slider.input_value() == "1" and slider.get_attribute("aria-valuetext") == "Fold and burnish"
    link = calm.locator("#the-fold-name a")
    assert link.inner_text() == "9" and calm.locator(link.get_attribute("href")).get_attribute("value") == "9"


def test_keys_move_and_turn(calm):
    """Arrows go a tenth of a step, large keys a whole one; on the picture arrows turn it, and four quarter
    turns bring it back.
    """
    calm.goto(BOX)
    slider, sheet = calm.locator("#the-fold"), calm.locator(".finished .sheet")
    at(calm, 1)
    slider.focus()
    slider.press("ArrowRight")
    assert slider.input_value() == "1.1"
    slider.press("PageUp")
    assert slider.input_value() == "2.1"
    slider.press("Home")
    assert slider.input_value() == "0"
    at(calm, 2)
    before = seen(sheet)
    canvas = calm.locator(".finished canvas")
    canvas.focus()
    turned = []
    for _ in range(24):
        canvas.press("ArrowRight")
        calm.wait_for_timeout(40)
        turned.append(seen(sheet) if len(turned) < 2 else None)
    assert differ(before, turned[0]) > 0.01 and differ(turned[0], turned[1]) > 0.01
    calm.locator("h1").click()
    slider.focus()
    assert differ(before, seen(sheet)) < 0.02
    calm.locator("#the-fold-left").click()
    calm.wait_for_timeout(80)
    assert differ(before, seen(sheet)) > 0.01


def test_dragging_turns(calm):
    """A mouse drawn sideways over the still picture turns it, at once; the page may still be scrolled by a
    finger.
    """
    calm.goto(BOX)
    sheet = calm.locator(".finished .sheet")
    before = seen(sheet)
    box = sheet.bounding_box()
    calm.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    calm.mouse.down()
    calm.mouse.move(box["x"] + box["width"] / 2 + 90, box["y"] + box["height"] / 2, steps=4)
    calm.mouse.up()
    calm.wait_for_selector(".finished canvas")
    calm.wait_for_timeout(150)
    assert differ(before, seen(sheet)) > 0.02
    assert sheet.evaluate("e => getComputedStyle(e).touchAction") == "pan-y pinch-zoom"


def test_a_step_plays_its_own_part(page):
    """On demand, in place, from the shape before it to the one after it; a slider of its own goes back over
    it.
    """
    page.goto(CADDY)
    part = page.locator(".fold-this").first
    figure = part.locator("xpath=preceding-sibling::figure[1]")
    assert figure.locator("canvas").count() == 0
    part.locator("button").click()
    figure.locator("canvas").wait_for()
    on_the_way = {figure.locator("canvas").get_attribute("data-place") for _ in range(12)
                  if page.wait_for_timeout(60) is None}
    assert len(on_the_way) > 2
    page.wait_for_selector(".shape-after canvas[data-place='1.000']")
    part.locator("input").evaluate(SET, 0)
    page.wait_for_selector(".shape-after canvas[data-place='0.000']")
    assert part.locator("input").get_attribute("aria-valuetext") == "0%"


def test_nothing_moves_by_itself_where_that_is_asked_for(calm):
    """Under reduced motion the picture is where the slider is, at once; a step begins before its fold and
    waits for the reader.
    """
    calm.goto(CADDY)
    at(calm, 1)
    calm.locator("#the-fold-next").click()
    calm.wait_for_selector(".finished canvas[data-place='2.000']", timeout=400)
    part = calm.locator(".fold-this").first
    part.locator("button").click()
    calm.wait_for_selector(".shape-after canvas[data-place='0.000']")
    calm.wait_for_timeout(400)
    assert calm.locator(".shape-after canvas").get_attribute("data-place") == "0.000"


def test_without_a_script_and_in_print_the_still_picture_stands(browser, site_url, built_site, calm):
    """No control is seen, and the finished picture is; the print view has nothing of the slider."""
    context = browser.new_context(base_url=site_url, java_script_enabled=False)
    bare = context.new_page()
    bare.goto(CADDY)
    assert bare.locator(".finished svg").first.is_visible()
    assert not bare.locator("#the-folding").is_visible() and not bare.locator(".fold-this").first.is_visible()
    context.close()
    calm.goto(CADDY)
    at(calm, 1)
    assert not calm.locator(".finished .sheet svg").is_visible()
    calm.emulate_media(media="print")
    assert calm.locator(".finished .sheet svg").is_visible() and not calm.locator("#the-folding").is_visible()
    assert not calm.locator(".finished canvas").is_visible()
    printed = (built_site / prints(built_site)[0] / "index.html").read_text(encoding="utf-8")
    assert not any(word in printed for word in ("fold.js", "fold.css", "the-folding", "fold-this"))


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_checker_finds_nothing(calm, axe, scheme):
    """With the picture in motion and a step's slider out, in both schemes, and every control at least 24 px
    each way.
    """
    calm.emulate_media(color_scheme=scheme, reduced_motion="reduce")
    calm.goto(CADDY)
    at(calm, 1)
    calm.locator(".fold-this button").first.click()
    calm.wait_for_selector(".shape-after canvas")
    assert axe(calm, scheme) == []
    for control in calm.locator("#the-folding :is(button, input, a), .fold-this :is(button, input)").all():
        box = control.bounding_box()
        assert box["width"] >= 24 and box["height"] >= 24, control.evaluate("e => e.outerHTML")


def test_colours_follow_the_scheme(calm):
    """A change of scheme while the page is open draws the picture anew in the other colours."""
    calm.emulate_media(color_scheme="light", reduced_motion="reduce")
    calm.goto(BOX)
    at(calm, 1)
    light = seen(calm.locator(".finished canvas"))
    calm.emulate_media(color_scheme="dark", reduced_motion="reduce")
    calm.wait_for_timeout(200)
    dark = seen(calm.locator(".finished canvas"))
    assert light.mean() > 180 > 80 > dark.mean() and dark.max() > 180


def test_what_cannot_be_fetched_is_said(calm):
    """Offline the still picture stays, and a sentence says why nothing moves; asked again it works."""
    calm.goto(CADDY)
    calm.route("**/fold-*.json", lambda route: route.abort())
    calm.locator("#the-fold").evaluate(SET, 1)
    calm.locator("#the-fold-failed").wait_for(state="visible")
    assert calm.locator(".finished .sheet svg").is_visible()
    calm.unroute("**/fold-*.json")
    at(calm, 0)
    assert not calm.locator("#the-fold-failed").is_visible()

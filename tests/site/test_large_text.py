"""A phone whose reader doubles the letters: nothing runs out sideways, no figure leaves its unit."""
from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser

from tests.conftest import QUIET, chromium_path
from tests.site.page_kinds import tutorials
from tests.site.page_visits import BROKEN

# WCAG 2.2, success criterion 1.4.4: text of 200 %, whether by the browser's letters or by its zoom, which
# halves the pixels that a page has. Width and height in px, and how many of the screen are one.
ENLARGED = {"letters": (360, 740, 1), "zoom": (180, 370, 2)}
NOW = """([units, opened]) => { document.documentElement.dataset.units = units;
    document.querySelectorAll('details').forEach(each => each.open = opened); }"""
TOO_WIDE = """() => document.documentElement.scrollWidth <= document.documentElement.clientWidth ? []
    : [...document.querySelectorAll('main *, .top *, .foot *')].filter(e => e.checkVisibility()
        && e.getBoundingClientRect().right > document.documentElement.clientWidth + 1)
        .map(e => e.outerHTML.slice(0, 90)).slice(0, 5)"""
# A figure with its unit that stands on two lines, in whatever element.
PARTED = r"""() => {
    const found = [], range = document.createRange();
    const unit = /\d[\d.,⁄]*\s?(?:mm|cm|in|Zoll|min|h|gsm|g|°)(?![a-zäöüß])/g;
    const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node = walk.nextNode(); node; node = walk.nextNode()) {
        const held = node.parentElement;
        if (!/\d/.test(node.data) || held.closest('svg, script, style, .spoken') || !held.checkVisibility())
            continue;
        for (const one of node.data.matchAll(unit)) {
            range.setStart(node, one.index);
            range.setEnd(node, one.index + one[0].length);
            const lines = [...range.getClientRects()].filter(box => box.width).map(box => box.bottom);
            if (Math.max(...lines) - Math.min(...lines) > 8) found.push(held.textContent.slice(0, 80));
        }
    }
    return found;
}"""


@pytest.fixture(scope="module")
def large_letters(browser: Browser) -> Iterator[Browser]:
    """A browser whose reader asked for letters twice as large, which the widths of style sheets follow."""
    own = browser.browser_type.launch(executable_path=chromium_path(),
                                      args=[*QUIET, "--blink-settings=defaultFontSize=32"])
    yield own
    own.close()


@pytest.mark.parametrize("how", sorted(ENLARGED))
def test_twice_as_large_letters_fit(browser, large_letters, built_site, site_url, how):
    """Of every tutorial in both languages, in either unit and in both, folded and with all of it opened."""
    width, height, ratio = ENLARGED[how]
    page = (large_letters if how == "letters" else browser).new_page(
        base_url=site_url, viewport={"width": width, "height": height}, device_scale_factor=ratio)
    faults = {}
    for address in (path for one in tutorials(built_site) for path in (one, f"{one}de/")
                    if (built_site / path / "index.html").is_file()):
        page.goto(address)
        assert page.evaluate("matchMedia('(max-width: 12em)').matches"), "the letters are twice as large"
        for units, opened in (("mm", False), ("in", True), ("both", True)):
            page.evaluate(NOW, [units, opened])
            if found := page.evaluate(TOO_WIDE) + page.evaluate(BROKEN) + page.evaluate(PARTED):
                faults[address, units, opened] = found
    page.close()
    assert not faults

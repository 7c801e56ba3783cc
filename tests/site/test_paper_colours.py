"""Coloured paper on the built site: pages, gallery and share pictures of both languages wear it."""
from __future__ import annotations

import pytest
from PIL import Image

from tests.website.test_colours import SCHEMES, contrast, luminance

FILLS = """side => [...new Set([...document.querySelectorAll(
    `.drawing [class*="${side}-"][class*=" ${side}-"]`)].map(e => getComputedStyle(e).fill))]"""


def _hex(fill: str) -> str:
    return "#" + "".join(f"{int(part):02x}" for part in fill[4:-1].split(","))


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("address", ["hinged-box/", "hinged-box/de/", "seed-envelope/"])
def test_folded_paper_wears_its_colour(browser, site_url, address, scheme):
    """The tones in a browser are none of the house's own, and each stands out from the table there."""
    context = browser.new_context(base_url=site_url, color_scheme=scheme, java_script_enabled=False)
    page = context.new_page()
    page.goto(address)
    shown = [_hex(fill) for fill in page.evaluate(FILLS, "printed")]
    assert len(shown) >= 2 and not set(shown) & set(SCHEMES[scheme].values())
    lightest = max(shown, key=luminance)
    assert contrast(lightest, SCHEMES[scheme]["ground"]) >= 1.2
    assert luminance(lightest) < luminance(SCHEMES[scheme]["paper"])
    context.close()


def test_cards_and_share_pictures_wear_it(built_site):
    """The colour of the band is in the gallery's picture, for both schemes, and in the one that is shared."""
    card = (built_site / "hinged-box/card.svg").read_text(encoding="utf-8")
    assert "printed-b5c9a8" in card and card.count(".printed-b5c9a8{") == 2
    with Image.open(built_site / "hinged-box/share.png") as picture:
        colours = {colour for count, colour in picture.convert("RGB").getcolors(1 << 20) if count > 2000}
    assert any(green > red + 8 > 128 for red, green, _ in colours)
    assert not (built_site / "tea-caddy/papers.css").exists()

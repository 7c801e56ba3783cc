"""Folded paper on the pages: the finished piece at the head, what a step leaves behind, the gallery, the
shared picture.
"""
from __future__ import annotations

import io
import re

import pytest
from PIL import Image

from generator.drawing.pen import Contour
from generator.locale import ENGLISH
from generator.website.pictures import FoldedPictures, folded_pictures, standing_picture
from generator.website.share_picture import share_picture
from tests.tutorial.small_source import tutorial_of

BOX = '''

## Fold it

Fold the panels and glue the tab.

```geometry
fold(panels, mountain)
walls = faces(strip, x=panels.bays, y=bottom..top)
flap  = faces(strip, x=panels.last..right, y=bottom..top)
glue(flap, under=walls.first)
```
'''


@pytest.fixture(scope="module")
def tray() -> FoldedPictures:
    """What the theme is handed of the tray."""
    tutorial = tutorial_of("tray")
    return folded_pictures(tutorial, "card-1")


def test_the_finished_piece_heads_the_page_and_closes_its_steps(project):
    """A sleeve that is glued: its picture at the head of page and print view, after the step that folds it,
    and in the gallery.
    """
    text = project.source.read_text(encoding="utf-8")
    project.source.write_text(text.replace("every(panel, 2)",
                                           "every(panel, 4)").replace("2*panel + tab", "4*panel + tab")
                              .replace("panel: 60 mm", "panel: 40 mm").replace("2 3/8 in", "1 5/8 in") + BOX,
                              encoding="utf-8")
    result = project.build()
    assert result.exit_code == 0, result.output
    for address in ("soap-sleeve/index.html", "soap-sleeve/print/index.html"):
        page = project.page(address)
        (head,) = page.xpath("//figure[contains(@class, 'finished')]")
        (svg,) = head.xpath(".//svg[@role='img']")
        assert re.match("Folded paper: .* Seen from the front", svg.get("aria-label"))
        after = page.xpath("//*[contains(@class, 'task')][.//figure[contains(@class, 'shape-after')]]")
        assert len(after) == 1 and after[0].xpath(
            "string(.//figure[contains(@class, 'shape-after')]/figcaption/p)") == "after this step"
        assert len(set(page.xpath("//@id"))) == len(page.xpath("//@id"))
    (card,) = project.page("index.html").xpath("//li[contains(@class, 'card')]//img")
    assert "folded" in card.get("alt") and (project.site / card.get("src")).is_file()


def test_without_anything_that_closes_the_blank_stands_for_it(project):
    """A strip that is only scored has no finished picture; the gallery shows its blank."""
    assert project.build().exit_code == 0
    page = project.page("soap-sleeve/index.html")
    assert not page.xpath("//figure[contains(@class, 'finished') or contains(@class, 'shape-after')]")
    (card,) = project.page("index.html").xpath("//li[contains(@class, 'card')]//img")
    assert "folded" not in card.get("alt")


def test_the_finished_picture_is_cropped_to_the_piece(tray):
    """Its window is little larger than the paper, and its words stay."""
    box = [float(x) for x in re.search(r'viewBox="([^"]*)"', tray.finished.svg)[1].split()]
    assert box[2] < 115 and 'aria-label="Folded paper' in tray.finished.svg
    assert [item.words for item in tray.finished.legend] == ["plain side", "printed side"]


def test_samples_look_like_what_they_stand_for(tray):
    """The plain side hatched, the printed side in its tone, none with a style of its own."""
    plain, printed = (item.sample for item in tray.finished.legend)
    assert 'class="plain-2"' in plain and 'class="hatch-inside"' in plain
    assert 'class="printed-2"' in printed and "hatch" not in printed and "style=" not in printed


def test_every_meaning_of_folded_paper_has_words():
    """Whatever the legend may name is in the catalogue."""
    for name in ("plain-2", "printed-2", Contour.MARK, Contour.RIBBON):
        assert ENGLISH.say(f"drawing.legend.{name}")


def test_the_shared_picture_shows_the_finished_piece():
    """1200 × 630 pixels, both sides of the paper and ink in it, nothing at its edges, the same bytes each
    time.
    """
    standing = standing_picture(tutorial_of("tray")).recording
    data = share_picture("Tray with splayed walls", standing)
    assert data == share_picture("Tray with splayed walls", standing) and len(data) < 60_000
    image = Image.open(io.BytesIO(data)).convert("RGB")
    assert image.size == (1200, 630)
    colours = {colour: count for count, colour in image.getcolors(1 << 16)}

    def near(wanted: tuple[int, int, int]) -> int:
        return sum(n for c, n in colours.items()
                   if max(abs(a - b) for a, b in zip(c, wanted, strict=True)) < 8)

    assert near((0xc0, 0xae, 0x86)) > 5_000 and near((0xef, 0xe7,
                                                      0xd8)) > 5_000 and near((0x23, 0x1d, 0x17)) > 3_000
    for strip in ((0, 0, 1200, 20), (0, 610, 1200, 630), (1180, 0, 1200, 630)):
        assert image.crop(strip).getcolors(4)


def test_a_long_title_keeps_clear_of_the_picture():
    """Beside a picture that is not wide the title stays in its column."""
    tall = standing_picture(tutorial_of("ornament")).recording
    image = Image.open(io.BytesIO(share_picture("A caddy for biscuits and for tea " * 6,
                                                tall))).convert("RGB")
    assert len(image.crop((64 + 500, 0, 64 + 530, 630)).getcolors(99)) == 1

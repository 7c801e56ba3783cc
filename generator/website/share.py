"""The picture that stands for a tutorial where its address is shared: its title, and its paper with all marks."""
from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import replace

from PIL import Image, ImageDraw

from generator.drawing import Recording, png_font, png_picture
from generator.drawing.style import PALETTE
from generator.tutorial import Tutorial, overview
from generator.website.pictures import PAPER

SHARE = "share.png"         # beside the page
WIDE, HIGH = 1200, 630      # pixels; the size that previews of links are cut to (common practice, no source)
EDGE = 64
TITLE, LINES = 62, 2        # pixels high; lines at most
COLOURS = 64
WEIGHT = 0.6                # of the lines: the paper is shown larger than in the pictures of the page


def share_picture(tutorial: Tutorial) -> bytes:
    """A PNG of :data:`WIDE` × :data:`HIGH` pixels."""
    image = Image.new("RGB", (WIDE, HIGH), PALETTE["ground"])
    below = _title(ImageDraw.Draw(image), tutorial.front.title)
    drawn = overview(tutorial)
    if drawn:
        _picture(image, paper_only(drawn[0].recording), below)
    out = io.BytesIO()
    image.quantize(COLOURS).save(out, "PNG", optimize=True)
    return out.getvalue()


def paper_only(recording: Recording) -> Recording:
    """What is paper and line in a picture, without the words and measures around it, cropped to it."""
    return replace(recording, items=tuple(item for item in recording.items if item.process in PAPER))


def _title(draw: ImageDraw.ImageDraw, title: str) -> int:
    """Write the title, and give where it ends."""
    letters, y = png_font(TITLE), EDGE - 12
    for line in list(_lines(title, draw, letters))[:LINES]:
        draw.text((EDGE, y), line, PALETTE["ink"], letters)
        y += round(TITLE * 1.15)
    return y + 34


def _lines(title: str, draw: ImageDraw.ImageDraw, letters: object) -> Iterator[str]:
    line = ""
    for word in title.split():
        longer = f"{line} {word}".strip()
        if line and draw.textlength(longer, letters) > WIDE - 2 * EDGE:
            yield line
            line = word
        else:
            line = longer
    yield line


def _picture(image: Image.Image, recording: Recording, top: int) -> None:
    """The paper as large as fits below the title."""
    box = recording.bounds().grown(1.5)
    scale = min((WIDE - 2 * EDGE) / box.width, (HIGH - EDGE * 0.7 - top) / box.height)
    whole = png_picture(recording, scale, whole=True, weight=WEIGHT)
    left, upper = round(box.x0 * scale), round((recording.height - box.y1) * scale)
    part = whole.crop((left, upper, left + round(box.width * scale), upper + round(box.height * scale)))
    image.paste(part, (EDGE, top))

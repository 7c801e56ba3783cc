"""The picture that stands for a tutorial where its address is shared: its title, and the finished piece.

Where nothing tells how far the paper is folded it is the blank with all its marks.
"""
from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import replace

from PIL import Image, ImageDraw

from generator.drawing import Recording, png_font, png_picture
from generator.drawing.style import PALETTE
from generator.website.pictures import PAPER

SHARE = "share.png"         # beside the page
WIDE, HIGH = 1200, 630      # pixels; the size that previews of links are cut to (common practice, no source)
EDGE = 64
TITLE, LINES = 62, 2        # pixels high; lines at most
COLUMN, MORE = 500, 6       # pixels beside a picture that is not wide; lines at most there
COLOURS = 64
WEIGHT = 0.6                # of the lines: the paper is shown larger than in the pictures of the page
FOLDED_WEIGHT = 1.0         # … of folded paper, which has few lines
BROAD = 1.9                 # times as wide as high: such a picture goes below the title, others beside it


def share_picture(title: str, standing: Recording | None) -> bytes:
    """A PNG of :data:`WIDE` × :data:`HIGH` pixels with the title and what stands for the tutorial."""
    image = Image.new("RGB", (WIDE, HIGH), PALETTE["ground"])
    draw = ImageDraw.Draw(image)
    drawn = standing and paper_only(standing)
    if drawn and (box := drawn.bounds()).width < BROAD * box.height:
        _title(draw, title, COLUMN, MORE)
        _picture(image, drawn, (EDGE + COLUMN + EDGE // 2, EDGE * 0.7, WIDE - EDGE, HIGH - EDGE * 0.7))
    else:
        below = _title(draw, title, WIDE - 2 * EDGE, LINES)
        if drawn:
            _picture(image, drawn, (EDGE, below, WIDE - EDGE, HIGH - EDGE * 0.7))
    out = io.BytesIO()
    image.quantize(COLOURS).save(out, "PNG", optimize=True)
    return out.getvalue()


def paper_only(recording: Recording) -> Recording:
    """What is paper and line in a picture, without the words and measures around it, cropped to it."""
    return replace(recording, items=tuple(item for item in recording.items if item.process in PAPER))


def _title(draw: ImageDraw.ImageDraw, title: str, wide: int, most: int) -> int:
    """Write the title, and give where it ends."""
    letters, y = png_font(TITLE), EDGE - 12
    for line in list(_lines(title, draw, letters, wide))[:most]:
        draw.text((EDGE, y), line, PALETTE["ink"], letters)
        y += round(TITLE * 1.15)
    return y + 34


def _lines(title: str, draw: ImageDraw.ImageDraw, letters: object, wide: int) -> Iterator[str]:
    line = ""
    for word in title.split():
        longer = f"{line} {word}".strip()
        if line and draw.textlength(longer, letters) > wide:
            yield line
            line = word
        else:
            line = longer
    yield line


def _picture(image: Image.Image, recording: Recording, room: tuple[float, float, float, float]) -> None:
    """The paper as large as its room lets it be; in the middle of a room that stands beside the title."""
    left, top, right, low = room
    box = recording.bounds().grown(1.5)
    scale = min((right - left) / box.width, (low - top) / box.height)
    folded = any(recording.of("face"))
    whole = png_picture(recording, scale, whole=True, weight=FOLDED_WEIGHT if folded else WEIGHT)
    x, y = round(box.x0 * scale), round((recording.height - box.y1) * scale)
    part = whole.crop((x, y, x + round(box.width * scale), y + round(box.height * scale)))
    beside = left > EDGE
    image.paste(part, (round(left + (right - left - part.width) / 2 * beside), round(top + (low - top - part.height) / 2 * beside)))

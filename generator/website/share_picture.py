"""The picture that stands for a tutorial where its address is shared: its title, and the finished piece.

Where nothing tells how far the paper is folded it is the blank with all its marks.
"""
from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import replace
from functools import cache

from PIL import Image, ImageColor, ImageDraw, ImageFont

from generator.drawing import Recording, displayed, png_font, png_picture
from generator.drawing.style import LINE_COLOURS, PALETTE
from generator.tutorial import Tutorial
from generator.units import memoised
from generator.website.navigation import SHARE_SIZE
from generator.website.pictures import PAPER_LAYERS, standing_picture

SHARE_WIDTH, SHARE_HEIGHT = SHARE_SIZE
MARGIN = 64
TITLE_HEIGHT, TITLE_LINES = 62, 2        # pixels high; lines at most
COLUMN_WIDTH, COLUMN_LINES = 500, 6       # pixels beside a picture that is not wide; lines at most there
EDGE_SHARES = (0.25, 0.5, 0.75)  # of the ground in the pixels of an edge, which is drawn twice as large
COMPRESSION = 7                  # of zlib: the highest takes six times as long for a tenth less
FLAT_WEIGHT = 0.6                # of the lines: the paper is shown larger than in the pictures of the page
FOLDED_WEIGHT = 1.0         # … of folded paper, which has few lines
# times as wide as high: such a picture goes below the title, others beside it
WIDE_ASPECT = 1.9


def share_picture_of(tutorial: Tutorial) -> bytes:
    """The picture of a tutorial, as :func:`share_picture` draws it."""
    stands = standing_picture(tutorial)
    return share_picture(tutorial.front.title, stands.recording if stands is not None else None)


def share_picture(title: str, standing: Recording | None) -> bytes:
    """A PNG of :data:`SHARE_WIDTH` × :data:`SHARE_HEIGHT` pixels: the title and the tutorial's picture."""
    image = Image.new("RGB", (SHARE_WIDTH, SHARE_HEIGHT), PALETTE["ground"])
    draw = ImageDraw.Draw(image)
    drawn = standing and paper_only(standing)
    if drawn and (box := drawn.bounds()).width < WIDE_ASPECT * box.height:
        _draw_title(draw, title, COLUMN_WIDTH, COLUMN_LINES)
        _paste_picture(image, drawn,
                       (MARGIN + COLUMN_WIDTH + MARGIN // 2, MARGIN * 0.7, SHARE_WIDTH - MARGIN,
                        SHARE_HEIGHT - MARGIN * 0.7))
    else:
        below = _draw_title(draw, title, SHARE_WIDTH - 2 * MARGIN, TITLE_LINES)
        if drawn:
            _paste_picture(image, drawn, (MARGIN, below, SHARE_WIDTH - MARGIN, SHARE_HEIGHT - MARGIN * 0.7))
    out = io.BytesIO()
    image.quantize(palette=_colours(), dither=Image.Dither.NONE).save(out, "PNG", compress_level=COMPRESSION)
    return out.getvalue()


@cache
def _colours() -> Image.Image:
    """A palette of all that is drawn with, and of what lies between a line and its ground at a smooth edge.

    To find the colours of each picture would take longer than to draw it, and miss those of its areas.
    """
    drawn = {name: ImageColor.getrgb(colour) for name, colour in PALETTE.items()}
    edges = (tuple(round(a + (b - a) * share) for a, b in zip(drawn[line], ground, strict=True))
             for line in LINE_COLOURS for ground in drawn.values() for share in EDGE_SHARES)
    palette = Image.new("P", (1, 1))
    palette.putpalette([part for colour in dict.fromkeys((*drawn.values(), *edges)) for part in colour])
    return palette


@memoised(2)        # every language takes the same
def paper_only(recording: Recording) -> Recording:
    """What is paper and line in a picture, without the words and measures around it, cropped to it."""
    return replace(recording, items=tuple(item for item in recording.items if item.process in PAPER_LAYERS))


def _draw_title(draw: ImageDraw.ImageDraw, title: str, wide: int, most: int) -> int:
    """Write the title, and give where it ends."""
    letters, y = png_font(TITLE_HEIGHT), MARGIN - 12
    for line in list(_title_lines(title, draw, letters, wide))[:most]:
        draw.text((MARGIN, y), line, PALETTE["ink"], letters)
        y += round(TITLE_HEIGHT * 1.15)
    return y + 34


def _title_lines(title: str, draw: ImageDraw.ImageDraw, letters: ImageFont.FreeTypeFont,
                 wide: int) -> Iterator[str]:
    line = ""
    for word in displayed(title).split():
        longer = f"{line} {word}".strip()
        if line and draw.textlength(longer, letters) > wide:
            yield line
            line = word
        else:
            line = longer
    yield line


def _paste_picture(image: Image.Image, recording: Recording, room: tuple[float, float, float, float]) -> None:
    """The paper as large as its room lets it be; in the middle of a room that stands beside the title."""
    left, top, right, low = room
    part = _paper_picture(recording, right - left, low - top)
    beside = left > MARGIN
    image.paste(part, (round(left + (right - left - part.width) / 2 * beside),
                       round(top + (low - top - part.height) / 2 * beside)))


@memoised(2)        # every language takes the same
def _paper_picture(recording: Recording, wide: float, high: float) -> Image.Image:
    """The paper, as large as it can be in so many pixels."""
    box = recording.bounds().grown(1.5)
    scale = min(wide / box.width, high / box.height)
    folded = any(recording.of("face"))
    whole = png_picture(recording, scale, whole=True, weight=FOLDED_WEIGHT if folded else FLAT_WEIGHT)
    x, y = round(box.x0 * scale), round((recording.height - box.y1) * scale)
    return whole.crop((x, y, x + round(box.width * scale), y + round(box.height * scale)))

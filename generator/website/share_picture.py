"""The picture that stands for a tutorial where its address is shared: its title, and the finished piece.

It is a photo where there is one, else drawn; where nothing tells how far the paper is folded it is the blank
with all its marks.
"""
from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path
from urllib.parse import unquote

from PIL import Image, ImageColor, ImageDraw, ImageFont, ImageOps

from generator.drawing.backends.png import font as png_font
from generator.drawing.backends.png import png as png_picture
from generator.drawing.paper_colours import tone_colour
from generator.drawing.recording import Recording
from generator.drawing.style import LINE_COLOURS, PALETTE
from generator.drawing.typeface import displayed
from generator.findings import Span
from generator.language.source.files_beside import photo_findings
from generator.tutorial import Photo, Tutorial
from generator.units import memoised
from generator.website.navigation import SHARE_SIZE
from generator.website.photos import narrower_copies
from generator.website.pictures import PAPER_LAYERS, standing_picture

SHARE_WIDTH, SHARE_HEIGHT = SHARE_SIZE
MARGIN = 64
TITLE_HEIGHT, TITLE_LINES = 62, 2        # pixels high; lines at most
COLUMN_WIDTH, COLUMN_LINES = 500, 6       # pixels beside a picture that is not wide; lines at most there
EDGE_SHARES = (0.25, 0.5, 0.75)  # of the ground in the pixels of an edge, which is drawn twice as large
PHOTO_COLOURS = 256
COMPRESSION = 7                  # of zlib: the highest takes six times as long for a tenth less
FLAT_WEIGHT = 0.6                # of the lines: the paper is shown larger than in the pictures of the page
FOLDED_WEIGHT = 1.0         # … of folded paper, which has few lines
# times as wide as high: such a picture goes below the title, others beside it
WIDE_ASPECT = 1.9
_MARKDOWN_PHOTO = re.compile(r"!\[(?P<alt>[^\]]*)\]\(<?(?P<src>[^\s<>()]+)")


def finished_photo(tutorial: Tutorial) -> Photo | None:
    """The photo of the made box: the first of the introduction, else the last of the last step."""
    for part in tutorial.intro:     # its photos are Markdown still
        if isinstance(part, str) and (found := _MARKDOWN_PHOTO.search(part)):
            return Photo(found["src"], found["alt"], "", Span(tutorial.file))
    last = tutorial.steps[-1].prose if tutorial.steps else ()
    return next((part for part in reversed(last) if isinstance(part, Photo)), None)


def photo_to_share(tutorial: Tutorial, folder: Path | None) -> bytes:
    """Its photo of the made box in the ``folder`` of its source, as WebP; b"" where none can be shown."""
    photo = finished_photo(tutorial)
    path = folder / unquote(photo.src) if folder is not None and photo is not None else None
    if path is None or not path.is_file() or any(photo_findings({path: Span(tutorial.file)})):
        return b""
    copies = narrower_copies(path)
    return next((data for wide, data in copies.items() if wide >= SHARE_WIDTH // 2), copies[max(copies)])


def share_picture_of(tutorial: Tutorial, photo: bytes = b"") -> bytes:
    """The picture of a tutorial, as :func:`share_picture` draws it."""
    stands = standing_picture(tutorial) if not photo else None
    return share_picture(tutorial.front.title, stands.recording if stands is not None else None, photo)


def share_picture(title: str, standing: Recording | None, photo: bytes = b"") -> bytes:
    """A PNG of :data:`SHARE_WIDTH` × :data:`SHARE_HEIGHT` pixels: the title, and the photo or the picture."""
    image = Image.new("RGB", (SHARE_WIDTH, SHARE_HEIGHT), PALETTE["ground"])
    draw = ImageDraw.Draw(image)
    drawn = standing and paper_only(standing)
    if photo:
        _draw_title(draw, title, COLUMN_WIDTH, COLUMN_LINES)
        _paste_photo(image, photo)
    elif drawn and (box := drawn.bounds()).width < WIDE_ASPECT * box.height:
        _draw_title(draw, title, COLUMN_WIDTH, COLUMN_LINES)
        _paste_picture(image, drawn,
                       (MARGIN + COLUMN_WIDTH + MARGIN // 2, MARGIN * 0.7, SHARE_WIDTH - MARGIN,
                        SHARE_HEIGHT - MARGIN * 0.7))
    else:
        below = _draw_title(draw, title, SHARE_WIDTH - 2 * MARGIN, TITLE_LINES)
        if drawn:
            _paste_picture(image, drawn, (MARGIN, below, SHARE_WIDTH - MARGIN, SHARE_HEIGHT - MARGIN * 0.7))
    out = io.BytesIO()
    few = (image.quantize(PHOTO_COLOURS, Image.Quantize.MAXCOVERAGE) if photo
           else image.quantize(palette=_colours(_worn(drawn) if drawn else ()), dither=Image.Dither.NONE))
    few.save(out, "PNG", compress_level=COMPRESSION)
    return out.getvalue()


def _worn(recording: Recording) -> tuple[str, ...]:
    """The colours that authors gave the paper in it."""
    faces = (item.arguments[1] for item in recording.of("face"))
    return tuple(dict.fromkeys((
        *(tone_colour(face.colour, face.side, face.tone) for face in faces if face.colour),
        *(colour for item in recording.of("area") for colour in item.arguments[2:] if colour))))


@cache
def _colours(worn: tuple[str, ...]) -> Image.Image:
    """A palette of all that is drawn with, and of what lies between a line and its ground at a smooth edge.

    To find the colours of each picture would take longer than to draw it, and miss those of its areas.
    """
    drawn = {name: ImageColor.getrgb(colour) for name, colour in PALETTE.items()}
    edges = (tuple(round(a + (b - a) * share) for a, b in zip(drawn[line], ground, strict=True))
             for line in LINE_COLOURS for ground in drawn.values() for share in EDGE_SHARES)
    palette = Image.new("P", (1, 1))
    palette.putpalette([part for colour in [*dict.fromkeys((
        *drawn.values(), *map(ImageColor.getrgb, worn), *edges))][:PHOTO_COLOURS] for part in colour])
    return palette


def _paste_photo(image: Image.Image, photo: bytes) -> None:
    """The photo over the whole height beside the title, its middle where it is wider than that."""
    left = MARGIN + COLUMN_WIDTH + MARGIN // 2
    with Image.open(io.BytesIO(photo)) as shown:
        image.paste(ImageOps.fit(shown.convert("RGB"), (SHARE_WIDTH - left, SHARE_HEIGHT)), (left, 0))


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

"""The PNG back end: a recording as pixels, through Pillow, for pictures that are shared.

It draws twice as large and halves the picture in the end, so that edges are smooth.
"""
from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache

from PIL import Image, ImageChops, ImageDraw, ImageFont

from generator.drawing.lettering import LEADING
from generator.drawing.paper_colours import tone_colour
from generator.drawing.pen import (
    Badge,
    Contour,
    Dimension,
    FoldedFace,
    Label,
    Leader,
    Path,
    Pen,
    Role,
    Surface,
    Symbol,
)
from generator.drawing.recording import BADGE_DIAMETER, BADGE_LETTER_SIZE, Recording
from generator.drawing.style import (
    BLEED,
    CONTOURS,
    DIMENSION_LINE_WIDTH,
    FILLS,
    HATCHES,
    LINES,
    PALETTE,
    RIBBON_LINE_WIDTH,
    SOLID_NARROW,
    SOLID_WIDE,
    face_name,
)
from generator.drawing.symbols import SymbolStrokes, dimension_strokes, leader_strokes, symbol_strokes
from generator.drawing.typeface import REGULAR, displayed
from generator.geometry import Circle, Point
from generator.geometry.tolerances import PIXEL_CHORD_TOLERANCE

OVERSAMPLING = 2            # times larger while drawing
HATCH_SPACING = 2.2         # mm between the lines of a hatched area
INSIDE_HATCH_SPACING = 1.5  # mm between those of the plain side of folded paper, measured along the picture
SIGN_LINE_WIDTH = 0.5          # mm: width of a sign's line

Pixel = tuple[float, float]


@lru_cache(maxsize=16)
def font(size: float) -> ImageFont.FreeTypeFont:
    """The bundled font for Pillow, without kerning, as it is measured; ``size`` is its em in pixels."""
    return ImageFont.truetype(REGULAR.path, max(size, 1), layout_engine=ImageFont.Layout.BASIC)


def png(recording: Recording, scale: float, whole: bool = False, weight: float = 1.0) -> Image.Image:
    """A picture of ``scale`` pixels a millimetre; ``whole`` draws all lines in ink.

    ``weight`` makes them thinner or wider, where a picture is shown much larger than it lies on paper.
    Raises ValueError unless ``scale`` is above 0.
    """
    if not scale > 0:
        raise ValueError("a picture needs some pixels a millimetre")
    size = (max(1, round(recording.width * scale)), max(1, round(recording.height * scale)))
    pen = _PngPen(Image.new("RGB", (size[0] * OVERSAMPLING, size[1] * OVERSAMPLING), PALETTE["ground"]),
                 recording.height, scale * OVERSAMPLING,
                 "ink" if whole else "accent", weight)
    recording.replay(pen)
    return pen.image.resize(size, Image.Resampling.BOX)


class _PngPen(Pen):
    """Draws on ``image``; ``height`` is in mm, ``scale`` in pixels a millimetre; ``fresh`` names a colour."""

    def __init__(self, image: Image.Image, height: float, scale: float, fresh: str = "accent",
                 weight: float = 1.0):
        self.image = image
        self._draw = ImageDraw.Draw(image)
        self._height = height
        self._scale = scale
        self._fresh = PALETTE[fresh]
        self._weight = weight

    def begin(self, process: str) -> None:
        """Groups leave no trace in pixels."""

    def end(self) -> None:
        """See :meth:`begin`."""

    def area(self, loops: tuple[Path, ...], surface: Surface, colour: str = "") -> None:
        inside = self._mask(loops)
        if surface in FILLS:
            self.image.paste(colour or PALETTE[FILLS[surface]], mask=inside)
        if surface in HATCHES:
            self.image.paste(PALETTE[HATCHES[surface]],
                             mask=ImageChops.logical_and(inside, self._hatch(surface)))

    def stroke(self, path: Path, role: Role, fresh: bool) -> None:
        style = LINES[role]
        colour = self._fresh if fresh else PALETTE["quiet"]
        points = self._points(path)
        if len(points) > 2 and math.dist(points[0], points[-1]) < 1e-3:
            points.append(points[1])    # so that the last corner is joined as well
        for piece in dashed_line(points, [part * self._scale * self._weight for part in style.dashes(fresh)]):
            self._line(piece, style.width(fresh) * self._weight, colour)

    def face(self, loops: tuple[Path, ...], face: FoldedFace) -> None:
        colour, outlines = _face_colour(face), [self._points(loop) for loop in loops]
        if len(loops) == 1:
            self._draw.polygon(outlines[0], colour)
        else:
            self.image.paste(colour, mask=self._mask(loops))
        for points in outlines:
            self._draw.line(points, colour, round(BLEED * self._scale))
        if face.side is Surface.PLAIN:
            lines = self._hatch(Surface.PLAIN, INSIDE_HATCH_SPACING, 0.1)
            self.image.paste(PALETTE["quiet"], mask=ImageChops.logical_and(self._mask(loops), lines))

    def contour(self, path: Path, contour: Contour) -> None:
        style = CONTOURS[contour]
        width = RIBBON_LINE_WIDTH if contour is Contour.RIBBON else SOLID_WIDE if style.wide else SOLID_NARROW
        colour = PALETTE["accent" if contour is Contour.RIBBON else "ink"]
        points = self._points(path)
        for piece in dashed_line(points, [part * width * self._scale for part in style.dash]):
            self._line(piece, width * self._weight, colour)
            for end in (piece[0], piece[-1]):
                self._line([end], width * self._weight, colour)

    def hole(self, circle: Circle, fresh: bool) -> None:
        self._circle(circle, PALETTE["ground"], self._fresh if fresh else PALETTE["quiet"], 0.6 if fresh
                     else 0.3)

    def label(self, label: Label) -> None:
        colour = PALETTE["quiet" if label.quiet else "ink"]
        lines = label.words.lines
        for number, (_, words) in enumerate(lines):
            off = (number - (len(lines) - 1) / 2) * LEADING * label.size
            self._text(words, label.at, label.size, colour, off, label.upright)

    def dimension(self, dimension: Dimension) -> None:
        self._figure(dimension_strokes(dimension), PALETTE["ink"], DIMENSION_LINE_WIDTH)

    def leader(self, leader: Leader) -> None:
        self._figure(leader_strokes(leader), PALETTE["ink"], DIMENSION_LINE_WIDTH)

    def symbol(self, symbol: Symbol) -> None:
        self._figure(symbol_strokes(symbol), PALETTE["accent"], SIGN_LINE_WIDTH)

    def badge(self, badge: Badge) -> None:
        self._circle(Circle(badge.at, BADGE_DIAMETER / 2), PALETTE["ground"], PALETTE["ink"],
                     DIMENSION_LINE_WIDTH)
        self._text(str(badge.number), badge.at, BADGE_LETTER_SIZE, PALETTE["ink"], 0.0, False)

    # -- pixels ---------------------------------------------------------------

    def _pixel(self, point: Point) -> Pixel:
        return float(point[0]) * self._scale, (self._height - float(point[1])) * self._scale

    def _points(self, path: Path) -> list[Pixel]:
        points: list[Pixel] = []
        for stroke in path:
            bent = [self._pixel(p) for p in stroke.flattened(PIXEL_CHORD_TOLERANCE)]
            points += bent[1:] if points and math.dist(points[-1], bent[0]) < 1e-3 else bent
        return points

    def _line(self, points: Sequence[Pixel], width: float, colour: str) -> None:
        wide = max(1, round(width * self._scale))
        if len(points) == 1:
            (x, y), half = points[0], wide / 2
            self._draw.ellipse((x - half, y - half, x + half, y + half), fill=colour)
        elif points:
            self._draw.line(points, fill=colour, width=wide, joint="curve")

    def _circle(self, circle: Circle, fill: str, line: str, width: float) -> None:
        (x, y), r = self._pixel(circle.center), float(circle.radius) * self._scale
        self._draw.ellipse((x - r, y - r, x + r, y + r), fill, line, max(1, round(width * self._scale)))

    def _figure(self, shape: SymbolStrokes, colour: str, width: float) -> None:
        for path in shape.lines:
            self._line(self._points(path), width, colour)
        for heads, fill in ((shape.solid, colour), (shape.hollow, PALETTE["ground"])):
            for head in heads:
                self._draw.polygon([self._pixel(p) for p in head], fill, colour)
        for dot in shape.dots:
            self._circle(dot, colour, colour, width)
        for ring in shape.rings:
            self._circle(ring, PALETTE["ground"], colour, width)

    def _text(self, words: str, at: Point, size: float, colour: str, off: float, upright: bool) -> None:
        """Words around ``at``, moved ``off`` mm down; upright ones are drawn level and turned."""
        letters, words = font(size * self._scale), displayed(words)
        x, y = self._pixel(at)
        if not upright:
            self._draw.text((x, y + off * self._scale), words, colour, letters, "mm")
            return
        x0, y0, x1, y1 = map(round, letters.getbbox(words))
        level = Image.new("L", (max(x1 - x0, 1), max(y1 - y0, 1)), 0)
        ImageDraw.Draw(level).text((-x0, -y0), words, 255, letters)
        turned = level.transpose(Image.Transpose.ROTATE_90)
        left, top = round(x + off * self._scale - turned.width / 2), round(y - turned.height / 2)
        self.image.paste(colour, (left, top), turned)

    def _mask(self, loops: tuple[Path, ...]) -> Image.Image:
        """What an odd number of loops go round."""
        inside = Image.new("1", self.image.size)
        for loop in loops:
            one = Image.new("1", self.image.size)
            ImageDraw.Draw(one).polygon(self._points(loop), fill=1)
            inside = ImageChops.logical_xor(inside, one)
        return inside

    def _hatch(self, surface: Surface, spacing: float = HATCH_SPACING, wide_mm: float = 0.3) -> Image.Image:
        """Slanted lines over the whole picture; level ones for glue below, the other way under paper."""
        wide, high = self.image.size
        lines = Image.new("1", self.image.size)
        pen, gap, width = ImageDraw.Draw(lines), spacing * self._scale, max(1, round(wide_mm * self._scale))
        for k in range(int((wide + high) / gap) + 1):
            at = k * gap
            ends = {Surface.UNDER: (at - high, 0, at, high),
                    Surface.GLUE_BELOW: (0, at, wide, at)}.get(surface, (at, 0, at - high, high))
            pen.line(ends, 1, width)
        return lines


def _face_colour(face: FoldedFace) -> str:
    return tone_colour(face.colour, face.side, face.tone) if face.colour else PALETTE[face_name(face)]


def dashed_line(points: Sequence[Pixel], pattern: Sequence[float]) -> Iterator[list[Pixel]]:
    """A line cut into its dashes; ``pattern`` has dash and gap by turns, 0 for a dot; () leaves it whole."""
    if not pattern or sum(pattern) <= 0:
        yield list(points)
        return
    part, left, piece = 0, pattern[0], [points[0]]
    for start, end in zip(points, points[1:], strict=False):
        length, gone = math.dist(start, end), 0.0
        while length - gone > left:
            gone += left
            place = _point_between(start, end, gone / length)
            if part % 2 == 0:
                yield [*piece, place] if left else [place]
            part = (part + 1) % len(pattern)
            left, piece = pattern[part], [place]
        left -= length - gone
        piece.append(end)
    if part % 2 == 0 and len(piece) > 1:
        yield piece


def _point_between(start: Pixel, end: Pixel, share: float) -> Pixel:
    return start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share

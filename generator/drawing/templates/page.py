"""The three faces of a template.

The paper a template is printed on: its size, and what of it a plan may use.

What every page of a template says of itself.

Pages as the PDF back end takes them: what is drawn on each, and the part of a plan that lies there.

Short ways to draw the furniture of a page.

Ticks true to size: along the edges of a page, and the bars that are measured first.

Codes that lead a camera to a page of the web.
"""
from __future__ import annotations

from collections.abc import Iterable, Iterator
from enum import StrEnum
from functools import lru_cache
from itertools import pairwise

import segno

from generator.dataclass import dataclass
from generator.drawing import lettering
from generator.drawing.lettering import DualText
from generator.drawing.pen import Label, Role
from generator.drawing.picture_geometry import Box
from generator.drawing.recording import Recording, RecordingPen
from generator.geometry import Arc, Line, Point
from generator.locale import ENGLISH, Locale
from generator.paper.sheet_layouts import STOCK_SHEETS
from generator.units import INCH, SYSTEMS, memoised, unit_text


class TemplateFace(StrEnum):
    """What of a piece a template shows."""

    INSIDE = "inside"       # as seen from the plain side, which becomes the inside
    MIRRORED = "mirrored"   # as seen from the other side: to be printed on it
    TICKS = "ticks"         # as seen from the inside, prick points alone


UNPRINTABLE_EDGE = 10.0         # mm along each side where nothing prints: home printers cannot
TILE_OVERLAP = 10.0      # mm that two neighbouring tiles have in common
# mm for the ticks along the left and the lower side, and for the title line at the top
TICK_BAND = 6.0
TICK_CLEARANCE = 1.5     # mm between the ticks' line and words
PRINT_PAPERS = tuple(each.print_paper for each in SYSTEMS.values())


@dataclass(frozen=True, slots=True)
class PrintPaper:
    """A sheet of ``paper`` as it is held: upright, or ``landscape``. All sizes in mm."""

    paper: str
    landscape: bool = False

    @property
    def width(self) -> float:
        """In mm."""
        return self._sides[self.landscape]

    @property
    def height(self) -> float:
        """In mm."""
        return self._sides[not self.landscape]

    @property
    def _sides(self) -> tuple[float, float]:
        sheet = STOCK_SHEETS[self.paper]
        return float(sheet.width), float(sheet.height)

    @property
    def title(self) -> str:
        """The paper as readers know it, "A4" or "Letter"."""
        return STOCK_SHEETS[self.paper].title

    @property
    def printed(self) -> Box:
        """Where anything may be printed."""
        return Box(0, 0, self.width, self.height).grown(-UNPRINTABLE_EDGE)

    @property
    def window(self) -> Box:
        """Where the plan may lie: clear of the ticks and of the title line."""
        inside = self.printed
        return Box(inside.x0 + TICK_BAND, inside.y0 + TICK_BAND, inside.x1, inside.y1 - TICK_BAND)

    @property
    def beside_ticks(self) -> Box:
        """Where words may stand on a page with ticks and without a title line."""
        return Box(self.window.x0 + TICK_CLEARANCE, self.window.y0, self.window.x1, self.printed.y1)


@dataclass(frozen=True, slots=True)
class PageHeading:
    """What every page says: ``title``, the edition's ``system``, ``revision`` mark, ``paper`` and ``face``.

    Everything on the pages is said in ``locale``. ``finished`` is how large the
    box comes out, in words, which cards say.
    """

    title: str
    system: str
    revision: str
    paper: str
    face: TemplateFace | None = None
    locale: Locale = ENGLISH
    finished: str = ""

    @property
    def edition(self) -> str:
        """"metric edition"."""
        return self.locale.say(f"templates.edition.{self.system}")

    @property
    def seen(self) -> str:
        """How the paper lies, in words."""
        return self.locale.say(f"templates.face.{self.face}") if self.face else ""


PAGE_GROUP = "page"      # the group of what belongs to no layer


@dataclass(frozen=True, slots=True)
class BoldLabel(Label):
    """Words of a heading, set bold."""


@dataclass(frozen=True, slots=True)
class PlacedDrawing:
    """``recording`` shifted by ``dx``, ``dy`` mm; only ``clip`` (mm of the page) is shown of it."""

    recording: Recording
    dx: float
    dy: float
    clip: Box


@dataclass(frozen=True, slots=True)
class Page:
    """``width`` × ``height`` mm: the page's own ``drawing``, under it a plan; ``solid`` boxes are all ink."""

    width: float
    height: float
    drawing: Recording
    placed: PlacedDrawing | None = None
    solid: tuple[Box, ...] = ()


THIN_LINE, BROAD_LINE = Role.TICK, Role.EDGE


class PagePen(RecordingPen):
    """A pen for rules, words and boxes in mm of the page."""

    def line(self, x0: float, y0: float, x1: float, y1: float, role: Role = THIN_LINE) -> None:
        """A straight line."""
        self.stroke((Line(Point(x0, y0), Point(x1, y1)),), role, False)

    def rectangle(self, box: Box, role: Role = THIN_LINE) -> None:
        """A frame."""
        self.stroke(polygon(((box.x0, box.y0), (box.x1, box.y0), (box.x1, box.y1), (box.x0, box.y1))), role,
                    False)

    def words(self, text: str, x: float, y: float, size: float = 3.2, align: str = "start",
              upright: bool = False,
              quiet: bool = False, bold: bool = False) -> None:
        """One line of words; ``y`` is its middle height."""
        self.label((BoldLabel if bold else Label)(DualText.plain(text), Point(x, y), size, upright, quiet,
                                                  align))

    def text(self, text: str, x: float, y: float, most: float, size: float = 3.2,
             leading: float = 1.35) -> float:
        """Words in lines no wider than ``most``, the first around ``y``; gives where the next line goes."""
        for line in lettering.wrapped_lines(text, size, most):
            self.words(line, x, y, size)
            y -= leading * size
        return y

    def page(self) -> None:
        """Begin the group that belongs to no layer."""
        self.begin(PAGE_GROUP)

    def repeat(self, drawn: Recording) -> None:
        """What was drawn before and stands on many pages, in the groups that it was drawn in."""
        self._items += drawn.items


def polygon(points: Iterable[tuple[float, float]]) -> tuple[Line, ...]:
    """A closed path."""
    corners = [Point(*map(float, p)) for p in points]
    return tuple(Line(a, b) for a, b in zip(corners, (*corners[1:], corners[0]), strict=True))


def rounded_rectangle(box: Box, radius: float) -> tuple[Line | Arc, ...]:
    """A rectangle with round corners, counter-clockwise."""
    path: list[Line | Arc] = []
    bulge = -radius * (1 - 0.5 ** 0.5)      # a quarter's sagitta, to the right of travel: outward
    corners = ((box.x1, box.y0, 0, 1), (box.x1, box.y1, -1, 0), (box.x0, box.y1, 0, -1),
               (box.x0, box.y0, 1, 0))
    at = Point(box.x0 + radius, box.y0)
    for x, y, dx, dy in corners:
        # we come along the direction turned right from (dx, dy)
        before = Point(x - dy * radius, y + dx * radius)
        after = Point(x + dx * radius, y + dy * radius)
        path += [Line(at, before), Arc(before, after, bulge)]
        at = after
    return tuple(path)


@lru_cache(256)         # the head of every page of a document
def shortened(text: str, size: float, most: float, bold: bool = False) -> str:
    """A text cut short with "…" where it is wider than ``most``."""
    if lettering.line_width(text, size, bold) <= most:
        return text
    while text and lettering.line_width(text + "…", size, bold) > most:
        text = text[:-1].rstrip()
    return text + "…"


SHORT_TICK, MIDDLE_TICK, LONG_TICK = 1.4, 2.2, 3.4     # mm: every 10, every 50, every 100 mm
TICK_GAP = 0.8                             # mm between the line of the ticks and the plan's window
TICK_LETTER_SIZE = 2.65                          # mm: 7.5 points
BAR_MM = 100.0                             # mm
BAR_INCHES = 4
INCH_MM = float(INCH.mm)
BAR_TICK_LENGTH = 3.0                              # mm that a bar's ticks stand out


@lru_cache(16)          # of each paper, upright or landscape
def edge_ticks(window: Box, system: str = "", locale: Locale = ENGLISH) -> Recording:
    """Ticks every 10 mm along the left and the lower side, long ones with their number every 100 mm.

    In the unit of an edition's ``system`` that halves: every quarter of an inch, long ones every inch.
    """
    halves = bool(system) and SYSTEMS[system].halves
    step, every, middle = (INCH_MM / 4, 4, 2) if halves else (10.0, 10, 5)
    ink = PagePen()
    ink.begin("dimensions")
    x, y = window.x0 - TICK_GAP, window.y0 - TICK_GAP
    for upright, length in ((False, window.width), (True, window.height)):
        steps = int(length // step)
        if upright:
            ink.line(x, window.y0, x, window.y0 + step * steps)
        else:
            ink.line(window.x0, y, window.x0 + step * steps, y)
        for k in range(steps + 1):
            size = LONG_TICK if k % every == 0 else MIDDLE_TICK if k % middle == 0 else SHORT_TICK
            at = (window.y0 if upright else window.x0) + step * k
            if upright:
                ink.line(x, at, x - size, at)
            else:
                ink.line(at, y, at, y - size)
            if k % every == 0 and k:
                text = f"{k // every} {unit_text('in', locale)}" if halves else f"{10 * k} mm"
                _tick_number(ink, text, at, x if upright else y, upright)
    return ink.recording(window.width, window.height)


def _tick_number(ink: PagePen, text: str, at: float, edge: float, upright: bool) -> None:
    off = edge - MIDDLE_TICK - 1.5
    if upright:
        ink.words(text, off, at - 1.2, TICK_LETTER_SIZE, "end", upright=True, quiet=True)
    else:
        ink.words(text, at - 1.2, off, TICK_LETTER_SIZE, "end", quiet=True)


def draw_bar(ink: PagePen, x: float, y: float, length: float, parts: int, words: str,
             upright: bool = False) -> None:
    """A bar from (x, y) to the right, or upward, with a tick at each of its parts and its length in words.

    Ticks rise to the upper side of a level bar, to the left of an upright one.
    """
    for k in range(parts + 1):
        at, end = length * k / parts, k in (0, parts)
        size = 2 * BAR_TICK_LENGTH if end else BAR_TICK_LENGTH * (1.3 if 2 * k == parts else 0.8)
        line = (x - size, y + at, x, y + at) if upright else (x + at, y, x + at, y + size)
        ink.line(*line, role=BROAD_LINE if end else THIN_LINE)
    ink.line(x, y, *((x, y + length) if upright else (x + length, y)), role=BROAD_LINE)
    if upright:
        ink.words(words, x + 3.2, y + length / 2, 4.0, "middle", upright=True)
    else:
        ink.words(words, x + length / 2, y - 3.2, 4.0, "middle")


def code_boxes(link: str, right: float, top: float, side: float) -> Iterator[Box]:
    """The dark modules of a QR code (ISO/IEC 18004) in runs, below and left of a corner, in mm."""
    modules, runs = _code_runs(link)
    module, left = side / modules, right - side
    for number, start, end in runs:
        y = top - module * (number + 1)
        yield Box(left + start * module, y, left + end * module, y + module)


@memoised(8)
def _code_runs(link: str) -> tuple[int, tuple[tuple[int, int, int], ...]]:
    """How many modules a side has, and every run of dark ones: its row, its first and after its last."""
    rows = segno.make(link, error="m", micro=False, boost_error=False).matrix
    runs = []
    for number, row in enumerate(rows):
        edges = [at for at, (before, after) in enumerate(pairwise((0, *row, 0))) if before != after]
        runs += [(number, start, end) for start, end in zip(edges[::2], edges[1::2], strict=True)]
    return len(rows), tuple(runs)

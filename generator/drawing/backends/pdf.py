"""The PDF back end: pages at true size, in layers. Same input, same bytes.

A curve is drawn as cubic arcs of at most an eighth of a turn, which leave a
circle of 1 m radius by less than 0.005 mm (the error of the usual
approximation, 4/3·tan(θ/4), is about r·θ⁶/55 000).
"""
from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING

from generator.drawing.backends.pdf_document import saved_document
from generator.drawing.backends.pdf_fonts import fill_font, shown_text
from generator.drawing.lettering import DualText
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
from generator.drawing.picture_geometry import XY, same_place
from generator.drawing.process_table import PROCESS_BY_KEY, PROCESS_LAYERS
from generator.drawing.recording import BADGE_DIAMETER, BADGE_LETTER_SIZE, Recording
from generator.drawing.style import CONTOURS, DIMENSION_LINE_WIDTH, LINES, SOLID_NARROW, SOLID_WIDE
from generator.drawing.symbols import SymbolStrokes, dimension_strokes, leader_strokes, symbol_strokes
from generator.drawing.templates.page import BoldLabel, Page, PlacedDrawing
from generator.drawing.typeface import BOLD, REGULAR, Typeface
from generator.geometry import Arc, Circle, EllipseArc, Line, Point
from generator.geometry.plane import floats
from generator.units import INCH, memoised

if TYPE_CHECKING:
    import pikepdf

PDF_DECIMALS = 4              # decimals of mm
MAX_CUBIC_ANGLE = math.pi / 4    # of one cubic arc
HALF_CAPITAL_HEIGHT = 0.36              # half the height of capitals, in em
LABEL_SHARES = {"start": 0.0, "middle": 0.5, "end": 1.0}      # of the width of a label, before its place
LABEL_LEADING = 1.3           # from one line of a label to the next, in em
GREYS = {Surface.GLUE: 0.9, Surface.PRINTED: 0.93, Surface.REMOVED: 0.85, Surface.UNDER: 0.95,
         Surface.PLAIN: 1.0}
BELOW_HATCH = 2.0              # mm from one dashed line to the next over what is glued on its other side
BELOW_PATTERN = "0.2 w 0 0.5 m 1 0.5 l 1 1.5 m 2 1.5 l S"
TONE_STEP = 0.06             # from one tone of folded paper to the next darker one
QUIET_GREY = 0.35            # grey of quiet words


@lru_cache(maxsize=16384)       # rulers and heads stand at the same places on every page
def pdf_number(value: float) -> str:
    """A number of mm rounded to 0.0001, as short as can be. Raises ValueError for what is not finite."""
    if not math.isfinite(value):
        raise ValueError("a page cannot be drawn at a place that is not a number")
    text = f"{value:.{PDF_DECIMALS}f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def pdf_numbers(*values: float) -> str:
    """Several numbers with a space between."""
    return " ".join(map(pdf_number, values))


def _place(point: Point) -> str:
    return pdf_numbers(*floats(point))


@lru_cache
def _line_state(role: Role, fresh: bool) -> str:
    """How the lines of a role are set."""
    style = LINES[role]
    dashes, cap = " ".join(map(pdf_number, style.dashes(fresh))), int(style.round_ends)
    return f"{pdf_number(style.width(fresh))} w [{dashes}] 0 d {cap} J"


@memoised(2048)     # bars and ticks are the very same on many pages
def path_data(path: Path) -> str:
    """A path of strokes that join, closed where it ends at its beginning."""
    start, end = path[0].start, path[-1].end
    closed = (len(path) > 1 or isinstance(path[0], Circle)) and same_place(start, end)
    drawn = path[:-1] if closed and isinstance(path[-1], Line) else path
    parts = [f"{_place(start)} m"]
    for stroke in drawn:
        if isinstance(stroke, Line):
            parts.append(f"{_place(stroke.end)} l")
        else:
            parts += _cubics(stroke)
    return "\n".join([*parts, "h"] if closed else parts)


def _cubics(curve: Arc | EllipseArc | Circle) -> Iterable[str]:
    """An arc of a circle or an ellipse as cubic arcs."""
    cx, cy, ux, uy, vx, vy = curve.frame
    pieces = max(1, math.ceil(abs(curve.sweep) / MAX_CUBIC_ANGLE - 1e-9))
    step = curve.sweep / pieces
    reach = 4 / 3 * math.tan(step / 4)
    for k in range(pieces):
        a, b = curve.first + k * step, curve.first + (k + 1) * step
        ca, sa, cb, sb = math.cos(a), math.sin(a), math.cos(b), math.sin(b)
        controls = ((ca - reach * sa, sa + reach * ca), (cb + reach * sb, sb - reach * cb))
        *bent, end = ((cx + p * ux + q * vx, cy + p * uy + q * vy) for p, q in (*controls, (cb, sb)))
        if k == pieces - 1:
            end = float(curve.end[0]), float(curve.end[1])
        yield f"{pdf_numbers(*(x for point in (*bent, end) for x in point))} c"


class _ContentPen(Pen):
    """Writes a recording; ``glyphs`` are those that it shows of each typeface."""

    def __init__(self) -> None:
        self.parts: list[str] = []
        self.processes: list[str] = []
        self.glyphs: dict[Typeface, set[int]] = {}
        self.hatches = False
        self._in_layer = False

    def data(self) -> bytes:
        """The content stream."""
        return "\n".join(self.parts).encode("ascii")

    def _add(self, *lines: str) -> None:
        self.parts += lines

    def begin(self, process: str) -> None:
        self._in_layer = process in PROCESS_BY_KEY
        if self._in_layer:
            if process not in self.processes:
                self.processes.append(process)
            self._add(f"/OC /{process} BDC")
        self._add("q")

    def end(self) -> None:
        self._add("Q")
        if self._in_layer:
            self._add("EMC")

    # -- lines and areas ----------------------------------------------------

    def area(self, loops: tuple[Path, ...], surface: Surface, _colour: str = "") -> None:
        below = surface is Surface.GLUE_BELOW
        self.hatches = self.hatches or below
        fill = "/Pattern cs /Below scn" if below else f"{pdf_number(GREYS[surface])} g"
        self._add("q", fill, *map(path_data, loops), "f*", "Q")

    def stroke(self, path: Path, role: Role, fresh: bool) -> None:
        self._add(_line_state(role, fresh), path_data(path), "S")

    def face(self, loops: tuple[Path, ...], face: FoldedFace) -> None:
        grey = GREYS[face.side] - TONE_STEP * (face.tone - 1)
        self._add("q", f"{pdf_number(grey)} g", *map(path_data, loops), "f*", "Q")

    def contour(self, path: Path, contour: Contour) -> None:
        self._add(f"{pdf_number(SOLID_WIDE if CONTOURS[contour].wide else SOLID_NARROW)} w [] 0 d 1 J",
                  path_data(path), "S")

    def hole(self, circle: Circle, fresh: bool) -> None:  # noqa: ARG002 - pages show all holes alike
        self._thin((circle,))

    def _thin(self, path: Path, paint: str = "S") -> None:
        self._add(f"{pdf_number(DIMENSION_LINE_WIDTH)} w [] 0 d 0 J", path_data(path), paint)

    # -- measures and notes -------------------------------------------------

    def dimension(self, dimension: Dimension) -> None:
        self._figure(dimension_strokes(dimension))

    def leader(self, leader: Leader) -> None:
        self._figure(leader_strokes(leader))

    def symbol(self, symbol: Symbol) -> None:
        self._figure(symbol_strokes(symbol))

    def _figure(self, shape: SymbolStrokes) -> None:
        for path in shape.lines:
            self._thin(path)
        for head in (*shape.solid, *shape.hollow):
            data = path_data(tuple(Line(a, b) for a, b in zip(head, (*head[1:], head[0]), strict=True)))
            self._add(data, "f" if head in shape.solid else "S")
        for circle in shape.dots:
            self._add(path_data((circle,)), "f")
        for circle in shape.rings:
            self._add("q 1 g", f"{pdf_number(DIMENSION_LINE_WIDTH)} w [] 0 d", path_data((circle,)), "B Q")

    def badge(self, badge: Badge) -> None:
        self._add("q 1 g", f"{pdf_number(DIMENSION_LINE_WIDTH)} w [] 0 d",
                  path_data((Circle(badge.at, BADGE_DIAMETER / 2),)), "B Q")
        self._text(Label(DualText.plain(str(badge.number)), badge.at, BADGE_LETTER_SIZE), floats(badge.at),
                   str(badge.number), 0.5)

    def label(self, label: Label) -> None:
        lines = label.words.mm.split("\n")
        for number, text in enumerate(lines):
            down = (number - (len(lines) - 1) / 2) * LABEL_LEADING * label.size
            at = (label.at[0] + down, label.at[1]) if label.upright else (label.at[0], label.at[1] - down)
            self._text(label, floats(at), text, LABEL_SHARES[label.align])

    def _text(self, label: Label, at: XY, text: str, share: float) -> None:
        """One line of a label: ``share`` of its width lies before ``at``, its middle height is at ``at``."""
        face, size = BOLD if isinstance(label, BoldLabel) else REGULAR, label.size
        string, width, glyphs = shown_text(face, text)
        self.glyphs.setdefault(face, set()).update(glyphs)
        back, low = -share * width * size, -HALF_CAPITAL_HEIGHT * size
        x, y = (at[0] - low, at[1] + back) if label.upright else (at[0] + back, at[1] + low)
        turn = "0 1 -1 0" if label.upright else "1 0 0 1"
        self._add(f"BT {pdf_number(QUIET_GREY) if label.quiet else '0'} g /{face.name} {pdf_number(size)} Tf "
                  f"{turn} {pdf_numbers(x, y)} Tm", f"{string} Tj", "ET 0 g")


POINTS_PER_MM = Fraction(72) / INCH.mm      # points in a mm
POINT_STEP = Decimal("0.000001")              # to which page boxes are rounded, in points
POINT_SCALE = f"{float(POINTS_PER_MM):.10f}"


def in_points(mm: float) -> Decimal:
    """A length on the page in points, to 0.000001."""
    exact = Fraction(mm).limit_denominator(10_000_000) * POINTS_PER_MM
    return (Decimal(exact.numerator) / Decimal(exact.denominator)).quantize(POINT_STEP)


def pdf(title: str, pages: Sequence[Page], language: str = "en") -> bytes:
    """A whole document. Raises ValueError where a coordinate is not a number."""
    writer = _PdfWriter()
    for page in pages:
        writer.add_page(page)
    return writer.document(title, language)


class _PdfWriter:
    """One document in the making; a plan that lies on several pages is written once."""

    def __init__(self) -> None:
        import pikepdf

        self._lib = pikepdf
        self._pdf = pikepdf.new()
        self._forms: dict[int, pikepdf.Object] = {}
        self._groups: dict[str, pikepdf.Object] = {}
        self._fonts: dict[Typeface, pikepdf.Object] = {}
        self._glyphs: dict[Typeface, set[int]] = {}
        self._patterns: dict[float, pikepdf.Object] = {}

    def document(self, title: str, language: str) -> bytes:
        """The bytes of the document; no page can be added after that."""
        for face, font in self._fonts.items():
            fill_font(self._pdf, font, face, self._glyphs[face])
        groups = [self._groups[layer.key] for layer in PROCESS_LAYERS if layer.key in self._groups]
        return saved_document(self._pdf, title, language, groups)

    def add_page(self, page: Page) -> None:
        """Draw one page."""
        box = [0, 0, in_points(page.width), in_points(page.height)]
        parts, forms = [f"q {POINT_SCALE} 0 0 {POINT_SCALE} 0 0 cm".encode()], {}
        if page.placed:
            forms["/P"] = self._form(page.placed.recording)
            parts += [line.encode() for line in _placement_operator(page.placed)]
        pen = _ContentPen()
        if page.solid:
            parts += [*(f"{pdf_numbers(box.x0, box.y0, box.width, box.height)} re".encode()
                        for box in page.solid), b"f"]
        page.drawing.replay(pen)
        resources = self._resources(pen, float(POINTS_PER_MM))
        if forms:
            resources.XObject = self._lib.Dictionary(forms)
        self._pdf.pages.append(self._lib.Page(self._pdf.make_indirect(self._lib.Dictionary(
            Type=self._lib.Name.Page, MediaBox=box, CropBox=box, TrimBox=box, Resources=resources,
            Contents=self._pdf.make_stream(b"\n".join([*parts, pen.data(), b"Q"]))))))

    def _form(self, recording: Recording) -> pikepdf.Object:
        if id(recording) not in self._forms:
            pen = _content_stream(recording)
            self._forms[id(recording)] = self._pdf.make_stream(
                pen.data(), Type=self._lib.Name.XObject, Subtype=self._lib.Name.Form,
                Resources=self._resources(pen),
                BBox=[0, 0, _rounded_up(recording.width), _rounded_up(recording.height)])
        return self._forms[id(recording)]

    def _resources(self, pen: _ContentPen, scale: float = 1.0) -> pikepdf.Object:
        """What a stream names; ``scale`` is a mm in the units in which it begins."""
        fonts = {f"/{face.name}": self._font(face, glyphs) for face, glyphs in pen.glyphs.items()}
        resources = self._lib.Dictionary(Font=self._lib.Dictionary(fonts))
        if pen.processes:
            resources.Properties = self._lib.Dictionary(
                {f"/{process}": self._group(process) for process in sorted(pen.processes)})
        if pen.hatches:
            resources.Pattern = self._lib.Dictionary(Below=self._pattern(scale))
        return resources

    def _pattern(self, scale: float) -> pikepdf.Object:
        """The hatch of glue on the side that is down, a tiling pattern (ISO 32000-2, 8.7.3)."""
        if scale not in self._patterns:
            size = [Decimal(pdf_number(part)) for part in (scale, 0, 0, scale, 0, 0)]
            self._patterns[scale] = self._pdf.make_stream(
                BELOW_PATTERN.encode("ascii"), Type=self._lib.Name.Pattern, PatternType=1, PaintType=1,
                TilingType=1, BBox=[0, 0, BELOW_HATCH, BELOW_HATCH], XStep=BELOW_HATCH, YStep=BELOW_HATCH,
                Resources=self._lib.Dictionary(), Matrix=size)
        return self._patterns[scale]

    def _font(self, face: Typeface, glyphs: set[int]) -> pikepdf.Object:
        """The font of a face, which is filled in when all its glyphs are known."""
        self._glyphs.setdefault(face, set()).update(glyphs)
        if face not in self._fonts:
            self._fonts[face] = self._pdf.make_indirect(self._lib.Dictionary())
        return self._fonts[face]

    def _group(self, process: str) -> pikepdf.Object:
        if process not in self._groups:
            layer = PROCESS_BY_KEY[process]
            steps = self._lib.Dictionary(GTS_ProcStepsGroup=self._lib.Name(f"/{layer.group}"))
            if layer.kind:
                steps.GTS_ProcStepsType = self._lib.Name(f"/{layer.kind}")
            self._groups[process] = self._pdf.make_indirect(self._lib.Dictionary(
                Type=self._lib.Name.OCG, Name=self._lib.String(layer.name), GTS_Metadata=steps))
        return self._groups[process]


@memoised(16)
def _content_stream(recording: Recording) -> _ContentPen:
    """A plan as a content stream, the same on every paper."""
    pen = _ContentPen()
    recording.replay(pen)
    return pen


def _rounded_up(mm: float) -> Decimal:
    """Rounded to 0.001 mm: a box that cuts nothing off."""
    return Decimal(f"{mm + 0.0005:.3f}")


def _placement_operator(placed: PlacedDrawing) -> tuple[str, ...]:
    clip = placed.clip
    return ("q", f"{pdf_numbers(clip.x0, clip.y0, clip.width, clip.height)} re W n",
            f"1 0 0 1 {pdf_numbers(placed.dx, placed.dy)} cm /P Do", "Q")

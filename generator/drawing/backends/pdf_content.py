"""Content streams of PDF, in mm: paths, line styles and text of one recording.

A curve is drawn as cubic arcs of at most an eighth of a turn, which leave a
circle of 1 m radius by less than 0.005 mm (the error of the usual
approximation, 4/3·tan(θ/4), is about r·θ⁶/55 000).
"""
from __future__ import annotations

import math
from collections.abc import Iterable
from functools import lru_cache

from generator.drawing.backends import helvetica
from generator.drawing.lettering import Pair
from generator.drawing.pen import (
    Badge,
    Contour,
    Dimension,
    FoldedFace,
    Label,
    Leader,
    Path,
    Role,
    Surface,
    Symbol,
)
from generator.drawing.process_table import PROCESS_BY_KEY
from generator.drawing.recording import BADGE, NUMBER_SIZE
from generator.drawing.style import CONTOURS, LINES, MEASURE, SOLID_NARROW, SOLID_WIDE
from generator.drawing.symbols import Figure, dimension_figure, leader_figure, symbol_figure
from generator.drawing.templates.page import HeavyDrawing
from generator.geometry import Circle, Line, Point, Stroke

PLACES = 4              # decimals of mm
WIDEST = math.pi / 4    # of one cubic arc
CAP = 0.36              # half the height of capitals, in em
LEADING = 1.3           # from one line of a label to the next, in em
GREYS = {Surface.GLUE: 0.9, Surface.PRINTED: 0.93, Surface.REMOVED: 0.85, Surface.UNDER: 0.95, Surface.PLAIN: 1.0}
QUIET = 0.35            # grey of quiet words


@lru_cache(maxsize=16384)       # rulers and heads stand at the same places on every page
def figure(value: float) -> str:
    """A number of mm rounded to 0.0001, as short as can be. Raises ValueError for what is not finite."""
    if not math.isfinite(value):
        raise ValueError("a page cannot be drawn at a place that is not a number")
    text = f"{value:.{PLACES}f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def figures(*values: float) -> str:
    """Several numbers with a space between."""
    return " ".join(map(figure, values))


def path_data(path: Path) -> str:
    """A path of strokes that join, closed where it ends at its beginning."""
    start, end = path[0].start, path[-1].end
    closed = _same(start, end) and (len(path) > 1 or isinstance(path[0], Circle))
    drawn = path[:-1] if closed and isinstance(path[-1], Line) else path
    parts = [f"{figures(*map(float, start))} m", *(part for stroke in drawn for part in _onward(stroke))]
    return "\n".join([*parts, "h"] if closed else parts)


def _onward(stroke: Stroke) -> Iterable[str]:
    if isinstance(stroke, Line):
        return (f"{figures(*map(float, stroke.end))} l",)
    return _cubics(stroke)


def _cubics(curve: Stroke) -> Iterable[str]:
    """An arc of a circle or an ellipse as cubic arcs."""
    cx, cy, ux, uy, vx, vy = curve.frame
    pieces = max(1, math.ceil(abs(curve.sweep) / WIDEST - 1e-9))
    step = curve.sweep / pieces
    reach = 4 / 3 * math.tan(step / 4)
    for k in range(pieces):
        a, b = curve.first + k * step, curve.first + (k + 1) * step
        ca, sa, cb, sb = math.cos(a), math.sin(a), math.cos(b), math.sin(b)
        controls = ((ca - reach * sa, sa + reach * ca), (cb + reach * sb, sb - reach * cb))
        end = tuple(map(float, curve.end)) if k == pieces - 1 else (cx + cb * ux + sb * vx, cy + cb * uy + sb * vy)
        yield f"{figures(*(x for p, q in controls for x in (cx + p * ux + q * vx, cy + p * uy + q * vy)), *end)} c"


def _same(a: Point, b: Point) -> bool:
    return abs(float(a[0]) - float(b[0])) < 1e-6 and abs(float(a[1]) - float(b[1])) < 1e-6


def escaped(text: str) -> bytes:
    """A text as a string of PDF, in WinAnsi."""
    raw = helvetica.shown(text).text.encode(helvetica.ENCODING)
    return b"(" + raw.replace(b"\\", b"\\\\").replace(b"(", b"\\(").replace(b")", b"\\)") + b")"


class ContentPen:
    """Writes a recording; ``lacking`` are the letters that the font does not have."""

    def __init__(self) -> None:
        self.parts: list[bytes] = []
        self.processes: list[str] = []
        self.lacking: dict[str, None] = {}
        self._in_layer = False

    def data(self) -> bytes:
        """The content stream."""
        return b"\n".join(self.parts)

    def _add(self, *lines: str | bytes) -> None:
        self.parts += [line if isinstance(line, bytes) else line.encode("ascii") for line in lines]

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

    def area(self, loops: tuple[Path, ...], surface: Surface) -> None:
        self._add("q", f"{figure(GREYS[surface])} g", *map(path_data, loops), "f*", "Q")

    def stroke(self, path: Path, role: Role, fresh: bool) -> None:
        style = LINES[role]
        dashes, cap = " ".join(map(figure, style.dashes(fresh))), int(style.round_ends)
        self._add(f"{figure(style.width(fresh))} w [{dashes}] 0 d {cap} J", path_data(path), "S")

    def face(self, loops: tuple[Path, ...], face: FoldedFace) -> None:
        self.area(loops, face.side)

    def contour(self, path: Path, contour: Contour) -> None:
        self._add(f"{figure(SOLID_WIDE if CONTOURS[contour].wide else SOLID_NARROW)} w [] 0 d 1 J", path_data(path), "S")

    def hole(self, circle: Circle, fresh: bool) -> None:
        self._thin((circle,))

    def _thin(self, path: Path, paint: str = "S") -> None:
        self._add(f"{figure(MEASURE)} w [] 0 d 0 J", path_data(path), paint)

    # -- measures and notes -------------------------------------------------

    def dimension(self, dimension: Dimension) -> None:
        self._figure(dimension_figure(dimension))

    def leader(self, leader: Leader) -> None:
        self._figure(leader_figure(leader))

    def symbol(self, symbol: Symbol) -> None:
        self._figure(symbol_figure(symbol))

    def _figure(self, shape: Figure) -> None:
        for path in shape.lines:
            self._thin(path)
        for head in (*shape.solid, *shape.hollow):
            data = path_data(tuple(Line(a, b) for a, b in zip(head, (*head[1:], head[0]), strict=True)))
            self._add(data, "f" if head in shape.solid else "S")
        for circle in shape.dots:
            self._add(path_data((circle,)), "f")
        for circle in shape.rings:
            self._add("q 1 g", f"{figure(MEASURE)} w [] 0 d", path_data((circle,)), "B Q")

    def badge(self, badge: Badge) -> None:
        self._add("q 1 g", f"{figure(MEASURE)} w [] 0 d", path_data((Circle(badge.at, BADGE / 2),)), "B Q")
        self._text(Label(Pair.plain(str(badge.number)), badge.at, NUMBER_SIZE), badge.at, str(badge.number), 0.5)

    def label(self, label: Label) -> None:
        share = {"start": 0.0, "middle": 0.5, "end": 1.0}[label.align]
        lines = label.words.mm.split("\n")
        for number, text in enumerate(lines):
            down = (number - (len(lines) - 1) / 2) * LEADING * label.size
            at = (label.at[0] + down, label.at[1]) if label.upright else (label.at[0], label.at[1] - down)
            self._text(label, Point(*map(float, at)), text, share)

    def _text(self, label: Label, at: Point, text: str, share: float) -> None:
        """One line of a label: ``share`` of its width lies before ``at``, its middle height is at ``at``."""
        size, bold = label.size, isinstance(label, HeavyDrawing)
        back, low = -share * helvetica.width(text, size, bold), -CAP * size
        x, y = (at.x - low, at.y + back) if label.upright else (at.x + back, at.y + low)
        turn = "0 1 -1 0" if label.upright else "1 0 0 1"
        self.lacking |= dict.fromkeys(helvetica.shown(text).lacking)
        self._add(f"BT {figure(QUIET) if label.quiet else '0'} g /{'B' if bold else 'H'} {figure(size)} Tf "
                  f"{turn} {figures(x, y)} Tm", escaped(text) + b" Tj", "ET 0 g")

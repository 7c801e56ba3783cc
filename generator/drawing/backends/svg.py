"""Numbers and path data of SVG. The picture's y runs upward, SVG's downward.

The SVG back end: svgwrite, wrapped once.

Lines of one meaning share one path element; the order is that of the
recording, group by group. Width, height and viewBox are in mm.
"""
from __future__ import annotations

import math
from collections.abc import Iterable
from xml.etree import ElementTree

import svgwrite
from svgwrite.container import Defs, Group, Style
from svgwrite.path import Path as PathElement
from svgwrite.pattern import Pattern
from svgwrite.text import Text

from generator.drawing.backends.stylesheet import INSIDE_HATCH, standalone_style
from generator.drawing.lettering import (
    ASCENT,
    LEADING,
    LETTER_SIZE,
    SMALL_LETTER_SIZE,
    text_block_size,
    with_fractions,
)
from generator.drawing.paper_colours import side_class
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
from generator.drawing.picture_geometry import same_place
from generator.drawing.recording import BADGE_DIAMETER, BADGE_LETTER_SIZE, Recording
from generator.drawing.style import FACE_SIDES, FACE_TONES, FILLS, HATCHES, face_name
from generator.drawing.symbols import SymbolStrokes, dimension_strokes, leader_strokes, symbol_strokes
from generator.geometry import Circle, Line, Point, Stroke

SVG_DECIMALS = 3      # decimals: 0.001 mm


def svg_number(value: float) -> str:
    """A number rounded to 0.001, as short as can be. Raises ValueError for what is not finite."""
    if not math.isfinite(value):
        raise ValueError("a picture cannot be drawn at a place that is not a number")
    text = f"{value:.{SVG_DECIMALS}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


class PathData:
    """Path data for a picture of a known height."""

    def __init__(self, height: float):
        self.height = height

    def point(self, point: Point) -> str:
        """"x y"."""
        return f"{svg_number(float(point[0]))} {svg_number(self.height - float(point[1]))}"

    def path(self, path: Path) -> str:
        """A path of strokes that join; closed with Z where it ends at its beginning."""
        if len(path) == 1 and isinstance(path[0], Circle):
            return self.circle(path[0])
        first, last = path[0].start, path[-1].end
        closed = len(path) > 1 and same_place(first, last)
        drawn = path[:-1] if closed and isinstance(path[-1], Line) else path
        parts = [f"M{self.point(first)}", *map(self.onward, drawn)]
        return "".join(parts) + ("Z" if closed else "")

    def onward(self, stroke: Stroke) -> str:
        """One stroke from where the pen is."""
        if isinstance(stroke, Line):
            return f"L{self.point(stroke.end)}"
        if isinstance(stroke, Circle):
            return self.circle(stroke)
        rx, ry = map(float, stroke.axes)
        tilt = svg_number(-math.degrees(float(stroke.tilt))) if stroke.tilt else "0"
        large, sweep = int(abs(stroke.sweep) > math.pi), int(stroke.sweep < 0)
        return f"A{svg_number(rx)} {svg_number(ry)} {tilt} {large} {sweep} {self.point(stroke.end)}"

    def circle(self, circle: Circle) -> str:
        """A whole circle as two halves."""
        (x, y), r = (float(circle.center.x), float(circle.center.y)), float(circle.radius)
        right, left = self.point(Point(x + r, y)), self.point(Point(x - r, y))
        half = f"A{svg_number(r)} {svg_number(r)} 0 0 0 "
        return f"M{right}{half}{left}{half}{right}Z"

    def polygon(self, points: Iterable[Point]) -> str:
        """A closed polygon."""
        return "M" + "L".join(map(self.point, points)) + "Z"


HALF_FIGURE_HEIGHT = 0.36          # half the height of figures, in em: what lifts a base line below a middle
# pattern of a hatched area: (spacing in mm, path data)
PATTERNS: dict[str, tuple[float, str]] = {
    Surface.REMOVED: (2.2, "M-1 1L1 -1M-1 3.2L3.2 -1M1 3.2L3.2 1"),
    Surface.GLUE: (1.6, "M0.4 0.4h0.01M1.2 1.2h0.01"),
    Surface.GLUE_BELOW: (3.2, "M0 0.8H1.6M1.6 2.4H3.2"),
    Surface.UNDER: (3.0, "M-1 -1L4 4M-1 2L2 5M2 -1L5 2"),
    Surface.SPARE: (5.0, "M-1 4L1 6M0 0L5 5M4 -1L6 1"),
}
PATTERNS[INSIDE_HATCH] = (1.5, "M-0.5 0.5L0.5 -0.5M-0.5 2L2 -0.5M1 2L2 1")
AREA_CLASSES = {*map(str, FILLS),
                *(face_name(FoldedFace(side, tone)) for side in FACE_SIDES for tone in FACE_TONES)}
# classes
_SIZE_CLASSES = {LETTER_SIZE: "", SMALL_LETTER_SIZE: "small"}
# class, shift in widths of the box
_ALIGNMENT = {"start": ("start", -0.5), "middle": ("", 0.0), "end": ("end", 0.5)}
HATCH_CLASSES = {f"{surface}-hatched": surface for surface in (*HATCHES, INSIDE_HATCH)}


DRAWN_LAST = {f"{INSIDE_HATCH}-hatched"}     # over all faces, whose order is that of their tones


def svg(recording: Recording, title: str, description: str, key: str, *, standalone: bool = False,
        kind: str = "step") -> str:
    """A picture as SVG text.

    ``key`` makes its ids unique on a page; ``standalone`` adds a style element,
    so that the file looks right alone; ``kind`` "whole" draws all lines in ink.
    Raises ValueError where a coordinate is not a number.
    """
    pen = _SvgPen(recording, key)
    recording.replay(pen)
    root = _root(recording, title, description, key, kind)
    if standalone:
        root.add(Style(standalone_style(), debug=False))
    if pen.patterns:
        defs = Defs(debug=False)
        for surface in pen.patterns:
            defs.add(_pattern(surface, key))
        root.add(defs)
    for group in pen.groups:
        root.add(group)
    return _text_of(root)


def _root(recording: Recording, title: str, description: str, key: str, kind: str) -> svgwrite.Drawing:
    wide, high = svg_number(recording.width), svg_number(recording.height)
    root = svgwrite.Drawing(size=(f"{wide}mm", f"{high}mm"), viewBox=f"0 0 {wide} {high}", debug=False,
                            role="img",
                            class_=f"drawing {kind}", aria_labelledby=f"{key}-title {key}-desc")
    root.elements.clear()       # an empty defs element
    root.set_desc(title, description)
    for element, name in zip(root.elements, ("title", "desc"), strict=True):
        element.xml.set("id", f"{key}-{name}")
    return root


def _text_of(root: svgwrite.Drawing) -> str:
    tree = root.get_xml()
    for unused in ("xmlns:ev", "xmlns:xlink", "baseProfile", "version"):
        tree.attrib.pop(unused, None)
    return ElementTree.tostring(tree, encoding="unicode")


def _pattern(surface: str, key: str) -> Pattern:
    spacing, data = PATTERNS[surface]
    pattern = Pattern(size=(svg_number(spacing), svg_number(spacing)), id=f"{key}-{surface}",
                      patternUnits="userSpaceOnUse", debug=False)
    pattern.add(PathElement(data, class_=f"hatch-{surface}", debug=False))
    return pattern


def worn(name: str, side: str, colour: str) -> str:
    """The classes of what shows a side of paper, with that of its colour, if it has one."""
    return f"{name} {side_class(side, colour)}" if colour else name


class _SvgPen(Pen):
    """Gathers what it is told into ``groups``; ``patterns`` are the hatched surfaces in use."""

    def __init__(self, recording: Recording, key: str):
        self.groups: list[Group] = []
        self.patterns: list[str] = []
        self._key = key
        self._data = PathData(recording.height)
        self._height = recording.height
        self._process = ""
        self._paths: dict[str, list[str]] = {}
        self._texts: list[Text] = []

    def begin(self, process: str) -> None:
        self._process, self._paths, self._texts = process, {}, []

    def end(self) -> None:
        group = Group(class_=f"g-{self._process}", debug=False)
        for classes, data in sorted(self._paths.items(), key=lambda row: row[0] in DRAWN_LAST):
            group.add(self._element(classes, "".join(data)))
        for text in self._texts:
            group.add(text)
        self.groups.append(group)

    def _element(self, classes: str, data: str) -> PathElement:
        if classes not in HATCH_CLASSES and classes.partition(" ")[0] not in AREA_CLASSES:
            return PathElement(data, class_=classes, debug=False)
        # even-odd, so that a hole in the paper shows what lies behind it
        element = PathElement(data, class_=classes, fill_rule="evenodd", debug=False)
        if classes in HATCH_CLASSES:
            element["fill"] = f"url(#{self._key}-{HATCH_CLASSES[classes]})"
        return element

    def _draw(self, classes: str, data: str) -> None:
        self._paths.setdefault(classes, []).append(data)

    # -- lines and areas ----------------------------------------------------

    def area(self, loops: tuple[Path, ...], surface: Surface, colour: str = "") -> None:
        data = "".join(map(self._data.path, loops))
        if surface in FILLS:
            self._draw(worn(str(surface), surface, colour), data)
        if surface in HATCHES:
            self._draw(f"{surface}-hatched", data)
            if surface not in self.patterns:
                self.patterns.append(surface)

    def stroke(self, path: Path, role: Role, fresh: bool) -> None:
        self._draw(f"line {role} now" if fresh else f"line {role}", self._data.path(path))

    def face(self, loops: tuple[Path, ...], face: FoldedFace) -> None:
        data = "".join(map(self._data.path, loops))
        self._draw(worn(face_name(face), face.side, face.colour), data)
        if face.side is Surface.PLAIN:
            self._draw(f"{INSIDE_HATCH}-hatched", data)
            if INSIDE_HATCH not in self.patterns:
                self.patterns.append(INSIDE_HATCH)

    def contour(self, path: Path, contour: Contour) -> None:
        self._draw(str(contour), self._data.path(path))

    def hole(self, circle: Circle, fresh: bool) -> None:
        self._draw("line hole now" if fresh else "line hole", self._data.circle(circle))

    # -- measures and notes -------------------------------------------------

    def dimension(self, dimension: Dimension) -> None:
        self._figure(dimension_strokes(dimension), "measure", "head")

    def leader(self, leader: Leader) -> None:
        self._figure(leader_strokes(leader), "leader", "head")

    def symbol(self, symbol: Symbol) -> None:
        self._figure(symbol_strokes(symbol), "sign", "sign-head")

    def _figure(self, shape: SymbolStrokes, line: str, head: str) -> None:
        for path in shape.lines:
            self._draw(line, self._data.path(path))
        for triangle in shape.solid:
            self._draw(head, self._data.polygon(triangle))
        for triangle in shape.hollow:
            self._draw("sign-hollow", self._data.polygon(triangle))
        for circle in shape.dots:
            self._draw("dot", self._data.circle(circle))
        for circle in shape.rings:
            self._draw("ring", self._data.circle(circle))

    def badge(self, badge: Badge) -> None:
        self._draw("ring", self._data.circle(Circle(badge.at, BADGE_DIAMETER / 2)))
        x, y = float(badge.at[0]), self._height - float(badge.at[1]) + HALF_FIGURE_HEIGHT * BADGE_LETTER_SIZE
        self._texts.append(_line(str(badge.number), "small", x, y, ""))

    def label(self, label: Label) -> None:
        x, y = float(label.at[0]), self._height - float(label.at[1])
        wide, high = text_block_size(label.words, label.size)
        turn = f"rotate(-90 {svg_number(x)} {svg_number(y)})" if label.upright else ""
        classes = " ".join(filter(None,
                                  (_SIZE_CLASSES[label.size], "quiet" if label.quiet else "",
                                   _ALIGNMENT[label.align][0])))
        x += _ALIGNMENT[label.align][1] * wide
        first = y - high / 2 + ASCENT * label.size
        for number, (system, words) in enumerate(label.words.lines):
            names = f"{classes} {system}".strip()
            self._texts.append(_line(words, names, x, first + number * LEADING * label.size, turn))


def _line(words: str, classes: str, x: float, y: float, turn: str) -> Text:
    """One line of text around ``x``, its base line at ``y``; the page's font sets its fractions."""
    return Text(with_fractions(words), x=[svg_number(x)], y=[svg_number(y)], class_=classes or None,
                transform=turn or None, debug=False)

"""Cutting files as SVG and as DXF R2010: mm, a group or a layer a process, true arcs, closed outlines."""
from __future__ import annotations

import math
from abc import abstractmethod
from io import StringIO
from typing import TYPE_CHECKING
from xml.etree import ElementTree

import svgwrite
from svgwrite.container import Group
from svgwrite.path import Path as PathElement

from generator.drawing.backends.svg import PathData, svg_number
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
from generator.drawing.process_table import PROCESS_BY_KEY, Process
from generator.drawing.recording import Recording
from generator.geometry import Arc, Circle, EllipseArc, Line, Point, Stroke
from generator.locale import ENGLISH, Locale
from generator.units import memoised

if TYPE_CHECKING:
    from ezdxf.document import Drawing

HAIRLINE_WIDTH = 0.1      # mm: the middle of the line is what counts


class _CuttingPen(Pen):
    """A machine follows strokes and holes, process by process; it has no use for areas, words and signs."""

    @abstractmethod
    def _follow(self, path: Path) -> None:
        """Cut, score or draw along a path, as the process of the group says."""

    def stroke(self, path: Path, role: Role, fresh: bool) -> None:  # noqa: ARG002 - the group says it
        self._follow(path)

    def hole(self, circle: Circle, fresh: bool) -> None:  # noqa: ARG002 - a machine makes all alike
        self._follow((circle,))

    def area(self, loops: tuple[Path, ...], surface: Surface, colour: str = "") -> None: ...

    def face(self, loops: tuple[Path, ...], face: FoldedFace) -> None: ...

    def contour(self, path: Path, contour: Contour) -> None: ...

    def label(self, label: Label) -> None: ...

    def dimension(self, dimension: Dimension) -> None: ...

    def leader(self, leader: Leader) -> None: ...

    def badge(self, badge: Badge) -> None: ...

    def symbol(self, symbol: Symbol) -> None: ...


def cutting_svg(lines: Recording, title: str, description: str, locale: Locale = ENGLISH) -> str:
    """The text of the file. Width, height and viewBox are in mm, so that 1 unit is 1 mm."""
    wide, high = svg_number(lines.width), svg_number(lines.height)
    root = svgwrite.Drawing(size=(f"{wide}mm", f"{high}mm"), viewBox=f"0 0 {wide} {high}", debug=False)
    root.elements.clear()       # an empty defs element
    root.set_desc(title, description)
    lines.replay(_SvgCuttingPen(root, PathData(lines.height), locale))
    tree = root.get_xml()
    for unused in ("xmlns:ev", "xmlns:xlink", "baseProfile"):
        tree.attrib.pop(unused, None)
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{ElementTree.tostring(tree, encoding="unicode")}\n'


class _SvgCuttingPen(_CuttingPen):
    """Adds to ``root`` a group for each process, in its colour and with its name."""

    def __init__(self, root: svgwrite.Drawing, data: PathData, locale: Locale) -> None:
        self._root, self._data, self._locale = root, data, locale

    def begin(self, process: str) -> None:
        self._group = Group(id=process, fill="none", stroke=PROCESS_BY_KEY[process].colour,
                            stroke_width=svg_number(HAIRLINE_WIDTH), debug=False)
        self._group.set_desc(self._locale.say(f"templates.process.{process}"))

    def end(self) -> None:
        self._root.add(self._group)

    def _follow(self, path: Path) -> None:
        self._group.add(PathElement(self._data.path(path), debug=False))


INSUNITS_MILLIMETRES = 4     # $INSUNITS (DXF reference)
MEASUREMENT_METRIC = 1          # $MEASUREMENT


def layer_name(process: Process) -> str:
    """Layers sort in working order: "1_SCORE_MOUNTAIN" … "7_OUTLINE"."""
    return f"{process.turn}_{process.key.upper().replace('-', '_')}"


@memoised(8)        # it has no words, so all languages share it
def dxf(lines: Recording) -> str:
    """The text of the file; the same drawing gives the same bytes."""
    import ezdxf
    from ezdxf.filemanagement import new

    options = ezdxf.options     # type: ignore[attr-defined]    # of its manual, though not marked as exported
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True      # no dates, no new identifiers
    try:
        return _dxf_text(new("R2010"), lines)
    finally:
        options.write_fixed_meta_data_for_testing = before


def _dxf_text(document: Drawing, lines: Recording) -> str:
    document.header["$INSUNITS"] = INSUNITS_MILLIMETRES
    document.header["$MEASUREMENT"] = MEASUREMENT_METRIC
    document.modelspace().reset_extents((0, 0, 0), (lines.width, lines.height, 0))
    lines.replay(_DxfPen(document))
    for kind in sorted(document.entitydb.dxf_types_in_use()):
        document.classes.add_class(kind)        # else in the order of a set, which no two runs share
    out = StringIO()
    document.write(out)
    return out.getvalue()


class _DxfPen(_CuttingPen):
    """Draws in the model space of ``document``, a layer for each process."""

    def __init__(self, document: Drawing) -> None:
        self._document, self._space = document, document.modelspace()
        self._style: dict[str, str] = {}

    def begin(self, process: str) -> None:
        layer = layer_name(PROCESS_BY_KEY[process])
        self._document.layers.add(layer, color=PROCESS_BY_KEY[process].index)
        self._style = {"layer": layer}

    def end(self) -> None:
        self._style = {}

    def _follow(self, path: Path) -> None:
        """A closed path of lines and arcs is one polyline; anything else is drawn stroke by stroke."""
        if len(path) > 1 and all(isinstance(stroke, Line | Arc) for stroke in path):
            points = [(*_xy(stroke.start), _bulge(stroke)) for stroke in path]
            self._space.add_lwpolyline(points, format="xyb", close=True, dxfattribs=self._style)
            return
        for stroke in path:
            self._add(stroke)

    def _add(self, stroke: Stroke) -> None:
        if isinstance(stroke, Line):
            self._space.add_line(_xy(stroke.start), _xy(stroke.end), dxfattribs=self._style)
        elif isinstance(stroke, Circle):
            self._space.add_circle(_xy(stroke.center), float(stroke.radius), dxfattribs=self._style)
        elif isinstance(stroke, Arc):
            first, last = _counter_clockwise(stroke)
            self._space.add_arc(stroke.frame[:2], float(stroke.radius), math.degrees(first),
                                math.degrees(last), dxfattribs=self._style)
        else:
            self._add_ellipse(stroke)

    def _add_ellipse(self, stroke: EllipseArc) -> None:
        """An ellipse names its longer half axis and counts its angle from there."""
        cx, cy, ux, uy, vx, vy = stroke.frame
        first, last = _counter_clockwise(stroke)
        major, ratio = (ux, uy), math.hypot(vx, vy) / math.hypot(ux, uy)
        if ratio > 1:
            major, ratio, first, last = (vx, vy), 1 / ratio, first - math.pi / 2, last - math.pi / 2
        self._space.add_ellipse((cx, cy), (*major, 0), ratio, first, last, dxfattribs=self._style)


def _xy(point: Point) -> tuple[float, float]:
    return float(point[0]), float(point[1])


def _bulge(stroke: Stroke) -> float:
    """The tangent of a quarter of the angle travelled, positive counter-clockwise (DXF reference)."""
    return math.tan(stroke.sweep / 4) if isinstance(stroke, Arc) else 0.0


def _counter_clockwise(stroke: Arc | EllipseArc) -> tuple[float, float]:
    """The angles between which a curve lies, radians, counter-clockwise from the first to the second."""
    angles = (stroke.first, stroke.first + stroke.sweep)
    return angles if stroke.sweep > 0 else angles[::-1]

"""The cutting file as SVG: mm, one group a process, true arcs, closed outlines.

The cutting file as DXF R2010: mm, one layer a process, true arcs, circles and ellipses, closed outlines.
"""
from __future__ import annotations

import math
from io import StringIO
from xml.etree import ElementTree

import svgwrite
from svgwrite.container import Group
from svgwrite.path import Path as PathElement

from generator.drawing.backends.svg import PathData, svg_number
from generator.drawing.pen import Path
from generator.drawing.process_table import Process
from generator.drawing.templates.cutting import ProcessLines
from generator.geometry import Arc, Circle, EllipseArc, Line, Stroke
from generator.locale import ENGLISH, Locale
from generator.units import memoised

HAIRLINE_WIDTH = 0.1      # mm: the middle of the line is what counts


def cutting_svg(process_lines: ProcessLines, title: str, description: str, locale: Locale = ENGLISH) -> str:
    """The text of the file. Width, height and viewBox are in mm, so that 1 unit is 1 mm."""
    wide, high = svg_number(process_lines.width), svg_number(process_lines.height)
    root = svgwrite.Drawing(size=(f"{wide}mm", f"{high}mm"), viewBox=f"0 0 {wide} {high}", debug=False)
    root.elements.clear()       # an empty defs element
    root.set_desc(title, description)
    data = PathData(process_lines.height)
    for process in process_lines.processes:
        group = Group(id=process.key, fill="none", stroke=process.colour,
                      stroke_width=svg_number(HAIRLINE_WIDTH), debug=False)
        group.set_desc(locale.say(f"templates.process.{process.key}"))
        for path in process_lines.paths[process.key]:
            group.add(PathElement(data.path(path), debug=False))
        root.add(group)
    tree = root.get_xml()
    for unused in ("xmlns:ev", "xmlns:xlink", "baseProfile"):
        tree.attrib.pop(unused, None)
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + ElementTree.tostring(tree, encoding="unicode") + "\n"


INSUNITS_MILLIMETRES = 4     # $INSUNITS (DXF reference)
MEASUREMENT_METRIC = 1          # $MEASUREMENT


def layer_name(process: Process) -> str:
    """Layers sort in working order: "1_SCORE_MOUNTAIN" … "7_OUTLINE"."""
    return f"{process.turn}_{process.key.upper().replace('-', '_')}"


@memoised(8)        # it has no words, so all languages share it
def dxf(process_lines: ProcessLines) -> str:
    """The text of the file; the same drawing gives the same bytes."""
    import ezdxf

    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True      # no dates, no new identifiers
    try:
        return _dxf_text(ezdxf.new("R2010"), process_lines)
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before


def _dxf_text(document, process_lines: ProcessLines) -> str:
    document.header["$INSUNITS"] = INSUNITS_MILLIMETRES
    document.header["$MEASUREMENT"] = MEASUREMENT_METRIC
    space = document.modelspace()
    space.reset_extents((0, 0, 0), (process_lines.width, process_lines.height, 0))
    for process in process_lines.processes:
        document.layers.add(layer_name(process), color=process.index)
        for path in process_lines.paths[process.key]:
            _add_path(space, path, {"layer": layer_name(process)})
    for kind in sorted(document.entitydb.dxf_types_in_use()):
        # else they come in the order of a set, which no two runs share
        document.classes.add_class(kind)
    out = StringIO()
    document.write(out)
    return out.getvalue()


def _add_path(space, path: Path, style: dict) -> None:
    """A closed path of lines and arcs is one polyline; whatever a polyline cannot hold is drawn stroke by stroke."""
    if len(path) > 1 and all(isinstance(stroke, Line | Arc) for stroke in path):
        points = [(*_xy(stroke.start), _bulge(stroke)) for stroke in path]
        space.add_lwpolyline(points, format="xyb", close=True, dxfattribs=style)
        return
    for stroke in path:
        _add_stroke(space, stroke, style)


def _xy(point) -> tuple[float, float]:
    return float(point[0]), float(point[1])


def _bulge(stroke: Stroke) -> float:
    """The tangent of a quarter of the angle travelled, positive counter-clockwise (DXF reference)."""
    return math.tan(stroke.sweep / 4) if isinstance(stroke, Arc) else 0.0


def _add_stroke(space, stroke: Stroke, style: dict) -> None:
    if isinstance(stroke, Line):
        space.add_line(_xy(stroke.start), _xy(stroke.end), dxfattribs=style)
    elif isinstance(stroke, Circle):
        space.add_circle(_xy(stroke.center), float(stroke.radius), dxfattribs=style)
    elif isinstance(stroke, Arc):
        first, last = _counter_clockwise(stroke)
        space.add_arc(_xy(stroke.frame[:2]), float(stroke.radius), math.degrees(first), math.degrees(last),
                      dxfattribs=style)
    elif isinstance(stroke, EllipseArc):
        _add_ellipse(space, stroke, style)


def _counter_clockwise(stroke: Stroke) -> tuple[float, float]:
    """The angles between which a curve lies, radians, counter-clockwise from the first to the second."""
    angles = (stroke.first, stroke.first + stroke.sweep)
    return angles if stroke.sweep > 0 else angles[::-1]


def _add_ellipse(space, stroke: EllipseArc, style: dict) -> None:
    """An ellipse names its longer half axis and counts its angle from there."""
    cx, cy, ux, uy, vx, vy = stroke.frame
    first, last = _counter_clockwise(stroke)
    major, ratio = (ux, uy), math.hypot(vx, vy) / math.hypot(ux, uy)
    if ratio > 1:
        major, ratio, first, last = (vx, vy), 1 / ratio, first - math.pi / 2, last - math.pi / 2
    space.add_ellipse((cx, cy), (*major, 0), ratio, first, last, dxfattribs=style)

"""The cutting file as DXF R2010: mm, one layer a process, true arcs, circles and ellipses, closed outlines."""
from __future__ import annotations

import math
from io import StringIO

from generator.drawing.pen import Path
from generator.drawing.process_table import Process
from generator.drawing.templates.cutting import ProcessLines
from generator.geometry import Arc, Circle, EllipseArc, Line, Stroke
from generator.units import memoised

MILLIMETRES = 4     # $INSUNITS (DXF reference)
METRIC = 1          # $MEASUREMENT


def layer_name(process: Process) -> str:
    """Layers sort in working order: "1_SCORE_MOUNTAIN" … "7_OUTLINE"."""
    return f"{process.turn}_{process.key.upper().replace('-', '_')}"


@memoised(8)        # it has no words, so all languages share it
def dxf(sheaf: ProcessLines) -> str:
    """The text of the file; the same drawing gives the same bytes."""
    import ezdxf

    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True      # no dates, no new identifiers
    try:
        return _written(ezdxf.new("R2010"), sheaf)
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before


def _written(document, sheaf: ProcessLines) -> str:
    document.header["$INSUNITS"] = MILLIMETRES
    document.header["$MEASUREMENT"] = METRIC
    space = document.modelspace()
    space.reset_extents((0, 0, 0), (sheaf.width, sheaf.height, 0))
    for process in sheaf.processes:
        document.layers.add(layer_name(process), color=process.index)
        for path in sheaf.paths[process.key]:
            _add(space, path, {"layer": layer_name(process)})
    for kind in sorted(document.entitydb.dxf_types_in_use()):
        document.classes.add_class(kind)        # else they come in the order of a set, which no two runs share
    out = StringIO()
    document.write(out)
    return out.getvalue()


def _add(space, path: Path, style: dict) -> None:
    """A closed path of lines and arcs is one polyline; whatever a polyline cannot hold is drawn stroke by stroke."""
    if len(path) > 1 and all(isinstance(stroke, Line | Arc) for stroke in path):
        points = [(*_xy(stroke.start), _bulge(stroke)) for stroke in path]
        space.add_lwpolyline(points, format="xyb", close=True, dxfattribs=style)
        return
    for stroke in path:
        _stroke(space, stroke, style)


def _xy(point) -> tuple[float, float]:
    return float(point[0]), float(point[1])


def _bulge(stroke: Stroke) -> float:
    """The tangent of a quarter of the angle travelled, positive counter-clockwise (DXF reference)."""
    return math.tan(stroke.sweep / 4) if isinstance(stroke, Arc) else 0.0


def _stroke(space, stroke: Stroke, style: dict) -> None:
    if isinstance(stroke, Line):
        space.add_line(_xy(stroke.start), _xy(stroke.end), dxfattribs=style)
    elif isinstance(stroke, Circle):
        space.add_circle(_xy(stroke.center), float(stroke.radius), dxfattribs=style)
    elif isinstance(stroke, Arc):
        first, last = _counter_clockwise(stroke)
        space.add_arc(_xy(stroke.frame[:2]), float(stroke.radius), math.degrees(first), math.degrees(last),
                      dxfattribs=style)
    elif isinstance(stroke, EllipseArc):
        _ellipse(space, stroke, style)


def _counter_clockwise(stroke: Stroke) -> tuple[float, float]:
    """The angles between which a curve lies, radians, counter-clockwise from the first to the second."""
    angles = (stroke.first, stroke.first + stroke.sweep)
    return angles if stroke.sweep > 0 else angles[::-1]


def _ellipse(space, stroke: EllipseArc, style: dict) -> None:
    """An ellipse names its longer half axis and counts its angle from there."""
    cx, cy, ux, uy, vx, vy = stroke.frame
    first, last = _counter_clockwise(stroke)
    major, ratio = (ux, uy), math.hypot(vx, vy) / math.hypot(ux, uy)
    if ratio > 1:
        major, ratio, first, last = (vx, vy), 1 / ratio, first - math.pi / 2, last - math.pi / 2
    space.add_ellipse((cx, cy), (*major, 0), ratio, first, last, dxfattribs=style)

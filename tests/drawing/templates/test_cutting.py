"""Cutting files: read back by lxml, Chromium and ezdxf, as large as the plan, each line once."""
from __future__ import annotations

import hashlib
import math
import os
import subprocess
import sys
from io import StringIO
from itertools import combinations
from pathlib import Path

import ezdxf
import pytest
from ezdxf import bbox
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree

from generator.drawing.backends.cutting_files import cutting_svg, dxf, layer_name
from generator.drawing.lettering import DualText
from generator.drawing.pen import Badge, Label, Role, Sign, Surface, Symbol
from generator.drawing.picture_geometry import Box
from generator.drawing.process_table import OUTER_EDGE, PROCESS_BY_KEY, WORKING_ORDER
from generator.drawing.recording import RecordingPen
from generator.drawing.templates.cutting import PIECE_GAP, Scoring, cutting_lines
from generator.drawing.templates.page import TemplateFace
from generator.drawing.templates.processes import processed_piece, uncovered_parts, without_duplicates
from generator.geometry import Arc, Circle, EllipseArc, Line, Point, overlaps
from tests.drawing.templates.sample_pieces import CADDY, NETS, strip

SVG = "{http://www.w3.org/2000/svg}"
CADDY_SHEAF = cutting_lines([processed_piece(CADDY, 0)])
PX = 96 / 25.4      # CSS pixels in a mm (CSS Values and Units)


def paths_of(recording, process: str) -> list:
    """The paths that a machine follows in one process, holes as circles."""
    return [item.arguments[0] if item.method == "stroke" else (item.arguments[0],) for item in recording.items
            if item.process == process]


def read_dxf(text: str):
    """A document as ezdxf reads it."""
    return ezdxf.read(StringIO(text))


def test_the_dxf_is_in_millimetres_and_sound():
    """$INSUNITS 4 is mm (DXF reference); the audit reports nothing; the extents are those of the plan."""
    document = read_dxf(dxf(CADDY_SHEAF))
    auditor = document.audit()
    assert not auditor.errors and not auditor.fixes and document.header["$INSUNITS"] == 4
    extents = bbox.extents(document.modelspace())
    state = CADDY.state(0)
    assert (extents.size.x, extents.size.y) == pytest.approx((float(state.width), float(state.height)),
                                                             abs=0.01)
    assert document.dxfversion == "AC1024"


@settings(deadline=None, max_examples=15)
@given(plan=NETS)
def test_the_dxf_of_any_net_is_as_large_as_the_net(plan):
    """Whatever the outline, and with nothing to audit."""
    process_lines = cutting_lines([processed_piece(plan, 0)])
    document = read_dxf(dxf(process_lines))
    assert not document.audit().errors
    size = bbox.extents(document.modelspace()).size
    assert (size.x, size.y) == pytest.approx((process_lines.width, process_lines.height), abs=0.01)


def test_outlines_are_closed_and_curves_are_curves():
    """A closed polyline for the outline, arcs and circles for what is round."""
    space = read_dxf(dxf(CADDY_SHEAF)).modelspace()
    outlines = space.query(f'*[layer=="{layer_name(PROCESS_BY_KEY[OUTER_EDGE])}"]')
    assert [e.dxftype() for e in outlines] == ["LWPOLYLINE"] and outlines[0].closed
    assert len(space.query("CIRCLE")) == 8 and len(space.query("ARC")) == 16
    assert {round(c.dxf.radius, 6) for c in space.query("CIRCLE")} == {1.5}


def test_an_arc_is_where_the_plan_has_it():
    """Start, end and middle of each arc and of a bulging edge, worked out by ezdxf."""
    arc = Arc(Point(10.0, 0.0), Point(0.0, 0.0), -3.0)
    space = _of((Line(Point(0.0, 0.0), Point(10.0, 0.0)), arc))
    (edge,) = space.query("LWPOLYLINE")
    top = bbox.extents([edge]).extmax.y
    assert top == pytest.approx(3.0,
                                abs=1e-3) or bbox.extents([edge]).extmin.y == pytest.approx(-3.0, abs=1e-3)
    assert bbox.extents([edge]).extmax.y == pytest.approx(float(arc.bounds()[3]), abs=1e-3)


@pytest.mark.parametrize(("rx", "ry"), [(40.0, 20.0), (20.0, 40.0)])
@pytest.mark.parametrize("left", [True, False])
def test_an_ellipse_is_where_the_plan_has_it(rx, ry, left):
    """Points of the plan's arc lie on the ellipse of the file, between its ends."""
    arc = EllipseArc(Point(0.0, 0.0), Point(15.0, 12.0), rx, ry, left)
    (found,) = _of((arc,)).query("ELLIPSE")
    ends = {tuple(round(c, 6) for c in (p.x, p.y)) for p in (found.start_point, found.end_point)}
    assert ends == {(0.0, 0.0), (15.0, 12.0)}
    drawn = list(found.flattening(1e-5))
    for k in range(1, 10):
        x, y = arc.at(k / 10)
        assert min(math.dist((x, y), (p.x, p.y)) for p in drawn) < 0.1
    assert found.dxf.ratio <= 1


def _of(path):
    pen = RecordingPen()
    pen.begin("outline")
    pen.stroke(path, Role.EDGE, False)
    process_lines = pen.recording(20, 20)
    return read_dxf(dxf(process_lines)).modelspace()


def test_the_svg_is_in_millimetres_and_in_working_order():
    """Width and height in mm, the viewBox the same figures, groups from scores to outline, no curve made of
    chords.
    """
    root = etree.fromstring(cutting_svg(CADDY_SHEAF, "Caddy", "All of it").encode())
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("252mm", "139mm", "0 0 252 139")
    assert root[0].text == "Caddy" and root[1].text == "All of it"
    order = [process.key for process in WORKING_ORDER]
    groups = [g.get("id") for g in root.findall(f"{SVG}g")]
    assert groups == sorted(groups,
                            key=order.index) and groups[-1] == "outline" and "score-mountain" in groups[0]
    (outline,) = root.xpath("//*[@id='outline']/*[local-name()='path']/@d")
    assert outline.endswith("Z") and "A" in "".join(root.xpath("//*[@id='score']/*/@d"))


def test_a_browser_shows_the_svg_at_its_size(browser, tmp_path):
    """Chromium gives a 100 mm strip 377.95 CSS pixels (96 px are 1 in: CSS Values and Units)."""
    file = tmp_path / "strip.svg"
    file.write_text(cutting_svg(cutting_lines([processed_piece(strip(100, 50), 0)]), "x", "y"),
                    encoding="utf-8")
    page = browser.new_page()
    page.goto(file.as_uri())
    box = page.evaluate("(({width, height}) => [width, height])(document.querySelector('#outline path')"
                        ".getBoundingClientRect())")
    page.close()
    assert box == pytest.approx([100 * PX, 50 * PX], abs=0.5 * PX) and 377.9 < box[0] < 378.5


def test_no_line_is_drawn_twice():
    """A machine that goes over a line twice cuts through a score."""
    strokes = [stroke for path in (path for process in WORKING_ORDER
                                   for path in paths_of(CADDY_SHEAF, process.key))
               for stroke in path]
    assert len(strokes) > 60
    for a, b in combinations(strokes, 2):
        assert sum(float(t1 - t0) for t0, t1 in overlaps(a, b)) * float(a.length()) < 1e-3


def test_what_a_line_covers_is_left_out():
    """The middle of a line, an end of it, and half of a circle's circumference."""
    line = Line(Point(0.0, 0.0), Point(10.0, 0.0))
    assert [s.length() for s in uncovered_parts(line,
                                                [Line(Point(4.0, 0.0), Point(6.0,
                                                                             0.0))])] == pytest.approx([4, 4])
    assert uncovered_parts(line, [line.reversed()]) == ()
    half = Circle(Point(0.0, 0.0), 5.0).part(0, 0.5)
    (rest,) = uncovered_parts(Circle(Point(0.0, 0.0), 5.0), [half])
    assert rest.length() == pytest.approx(5 * math.pi)
    assert len(without_duplicates([line, line, half])) == 2


def test_pieces_lie_side_by_side_without_touching():
    """Three pieces in a row, each GAP from the next, the bottoms level."""
    pieces = [processed_piece(strip(width, 40), 0) for width in (30, 50, 20)]
    process_lines = cutting_lines(pieces)
    boxes = [Box(*map(float, path[0].bounds())) for path in paths_of(process_lines, "outline")]
    lefts = [min(float(s.start.x) for s in path) for path in paths_of(process_lines, "outline")]
    assert process_lines.width == 100 + 2 * PIECE_GAP and lefts == [0, 30 + PIECE_GAP,
                                                                    80 + 2 * PIECE_GAP] and len(boxes) == 3


def test_mirrored_twice_is_the_original():
    """The mirrored face of a plan, mirrored back, has every line where it was; mountains have
    become valleys.
    """
    inside, mirrored = processed_piece(CADDY, 0), processed_piece(CADDY, 0, TemplateFace.MIRRORED)
    back = {_key(stroke, -1) for stroke in mirrored.strokes()}
    assert back == {_key(stroke, 1) for stroke in inside.strokes()} and len(back) > 60
    assert [len(mirrored.of(f"score-{way}")) for way in ("mountain", "valley")] == [
        len(inside.of(f"score-{way}")) for way in ("valley", "mountain")]


def _key(stroke, sign):
    points = sorted((round(sign * float(p[0]), 6) + 0.0, round(float(p[1]), 6) + 0.0)
                    for p in (stroke.start, stroke.end, stroke.at(0.5)))
    if isinstance(stroke, Circle):
        points = [(round(sign * float(stroke.center.x), 6), round(float(stroke.center.y), 6),
                   float(stroke.radius))]
    return type(stroke).__name__, tuple(points)


def test_a_machine_passes_over_what_it_cannot_follow():
    """Areas, words and signs that stand in a group leave both files as they are."""
    pen = RecordingPen()
    CADDY_SHEAF.replay(pen)
    pen.begin("outline")
    pen.area(((Circle(Point(20.0, 20.0), 5.0),),), Surface.GLUE)
    pen.label(Label(DualText.plain("glue"), Point(20.0, 20.0), 4.2))
    pen.badge(Badge(1, Point(20.0, 20.0)))
    pen.symbol(Symbol(Sign.GOES, Point(0.0, 0.0), Point(20.0, 20.0)))
    more = pen.recording(CADDY_SHEAF.width, CADDY_SHEAF.height)
    assert dxf(more) == dxf(CADDY_SHEAF) and cutting_svg(more, "", "") == cutting_svg(CADDY_SHEAF, "", "")


def test_two_processes_write_the_same_bytes():
    """No date and no new identifier in either file."""
    code = ("import hashlib; from tests.drawing.templates.test_cutting import *;"
            "print(hashlib.sha256((dxf(CADDY_SHEAF) + cutting_svg(CADDY_SHEAF, 'a', "
            "'b')).encode()).hexdigest())")
    root = Path(__file__).resolve().parents[3]
    done = subprocess.run([sys.executable, "-c", code], cwd=root, env={**os.environ, "PYTHONHASHSEED": "1"},
                          capture_output=True, text=True, check=True).stdout
    data = dxf(CADDY_SHEAF) + cutting_svg(CADDY_SHEAF, "a", "b")
    assert hashlib.sha256(data.encode()).hexdigest() == done.strip()


def test_the_kinds_of_records_come_in_one_order():
    """Whatever order the library keeps them in: that of a set is another one in every run."""
    document = read_dxf(dxf(CADDY_SHEAF))
    used = document.entitydb.dxf_types_in_use()
    names = [each.dxf.name for each in document.classes if each.dxf.name in used]
    assert len(names) > 1 and names == sorted(names)


def test_scores_stop_short_of_the_edge():
    """By a millimetre at the edges they run into, and nowhere else: foot and shoulder meet the outline,
    curves its top.
    """
    before, after = CADDY_SHEAF, cutting_lines([processed_piece(CADDY, 0)], Scoring(short=1.0))
    assert (after.width, paths_of(after, "outline"), paths_of(after, "cut")) == (before.width,
                                                                         paths_of(before, "outline"),
                                                                        paths_of(before, "cut"))
    shorter = [float(a[0].length()) - float(b[0].length())
               for name in ("score-mountain", "score-valley", "score")
               for a, b in zip(paths_of(before, name), paths_of(after, name), strict=True)]
    assert {round(gap, 3) for gap in shorter} <= {0.0, 1.0, 2.0} and shorter.count(0.0) < len(shorter)
    top = float(CADDY.state(0).height)
    ends = [p for path in paths_of(after, "score") for p in (path[0].start, path[0].end)]
    assert all(top - float(p[1]) > 0.4 for p in ends)     # curves end aslant


@settings(deadline=None)
@given(size=st.integers(1, 500), dash=st.integers(1, 12))
def test_a_dashed_cut_begins_and_ends_with_a_dash(size, dash):
    """Dashes and gaps are alike, near the length that was asked for, and lie on the score."""
    line = Line(Point(0.0, 0.0), Point(float(size), 0.0))
    made = Scoring(dash=float(dash)).scored([line], ())
    assert made[0].start == line.start and made[-1].end == line.end
    lengths = [float(part.length()) for part in made]
    if len(made) > 1:
        gaps = [b.start.x - a.end.x for a, b in zip(made, made[1:], strict=False)]
        assert [*lengths, *gaps] == pytest.approx([lengths[0]] * (len(lengths) + len(gaps)))
        assert dash * 0.7 < lengths[0] < dash * 1.6
    else:
        assert size < 3 * dash

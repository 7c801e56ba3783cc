"""What is printed is as large as the plan says: read back by pdfplumber, and measured in PDFium's pixels."""
from __future__ import annotations

import hashlib
import math
import os
import subprocess
import sys
from io import BytesIO
from itertools import pairwise
from pathlib import Path

import numpy as np
import pikepdf
import pytest
from hypothesis import given, settings

from generator.drawing.backends.pdf import pdf
from generator.drawing.picture_geometry import Box, View
from generator.drawing.recording import Recording
from generator.drawing.templates.documents import template_pages
from generator.drawing.templates.page import PRINT_PAPERS, UNPRINTABLE_EDGE, Page, PlacedDrawing, TemplateFace
from generator.drawing.templates.plan import moved_piece, true_size_piece
from generator.geometry import Circle, Line, Stroke
from generator.paper.records import Orientation
from generator.units import parse_length
from tests.drawing.templates import pdf_reader, test_guides
from tests.drawing.templates.sample_pieces import CADDY, NETS, caddy_plates, heading, lines_of
from tests.folding.sample_boxes import plan_of, source
from tests.paper.statement_evaluation import evaluated

FINE = 0.01     # mm
# pt: check-values, from ISO 216 and ANSI/ASME Y14.1
SIZES = {"a4": (595.27559, 841.88976), "letter": (612.0, 792.0)}


def document(paper: str = "a4", face: TemplateFace = TemplateFace.INSIDE) -> bytes:
    """The caddy's template."""
    return pdf("Tea caddy", template_pages(caddy_plates(face), heading(paper, face)))


def points_of(stroke, shift, mirrored=False) -> np.ndarray:
    """Points along a stroke of the plan, as it lies on the page."""
    found = np.array([[float(c) for c in stroke.at(k / 24)] for k in range(25)])
    return found * ((-1, 1) if mirrored else (1, 1)) + shift


def alone(plan, face=TemplateFace.INSIDE) -> tuple[pdf_reader.Drawn, np.ndarray]:
    """A page that holds nothing but the plan, and where the plan's own origin lies on it."""
    made = true_size_piece(plan, 0, face)
    box = made.box
    page = Page(box.width, box.height, Recording(box.width, box.height, ()),
                PlacedDrawing(made.recording, 0, 0, box))
    outline = np.array([[float(c) for c in s.start] for s in (rim.stroke for rim in plan.state(0).outline)])
    low = outline.min(axis=0)
    there = np.array([[float(c) for c in s.start] for s in made.piece.outline]).min(axis=0)
    return pdf_reader.read(pdf("x", [page]))[0], there - low


@settings(deadline=None, max_examples=15)
@given(plan=NETS)
def test_every_line_of_a_plan_is_drawn_and_nothing_else(plan):
    """To 0.01 mm: each point of each line and circle lies on a path of the page, and each path on a line of
    the plan.
    """
    page, shift = alone(plan)
    drawn = page.segments()
    expected = [points_of(stroke, shift) for stroke in lines_of(plan)]
    assert all(pdf_reader.distances(points, drawn).max() < FINE for points in expected)
    strokes = np.vstack([np.hstack((p[:-1], p[1:])) for stroke in lines_of(plan)
                         for p in [np.array([[float(c) for c in q] for q in stroke.flattened(0.003)])
                                   + shift]])
    assert all(pdf_reader.distances(pdf_reader.along(path)[::3], strokes).max() < FINE for path in page.paths)


def test_every_line_of_the_caddy_is_drawn_and_nothing_else():
    """The same with arcs, folds, ticks and holes; its glue is an area, and its edges lie on lines of the plan
    too.
    """
    page, shift = alone(CADDY)
    drawn = page.segments()
    assert all(pdf_reader.distances(points_of(s, shift), drawn).max() < FINE for s in lines_of(CADDY))
    strokes = np.vstack([np.hstack((p[:-1], p[1:])) for stroke in lines_of(CADDY)
                         for p in [np.array([[float(c) for c in q] for q in stroke.flattened(0.003)])
                                   + shift]])
    assert len(page.paths) > 40
    assert all(pdf_reader.distances(pdf_reader.along(path)[::3], strokes).max() < FINE for path in page.paths)


@pytest.mark.parametrize("paper", PRINT_PAPERS)
def test_every_line_stands_in_the_whole_document(paper):
    """On its tile, among titles, ticks and marks, the plan is as large as it is alone."""
    for page in pdf_reader.read(document(paper))[1:]:
        shift = page.rings(1.5)[0] - np.array([float(c) for c in _holes()[0]])
        drawn = page.segments()
        assert all(pdf_reader.distances(points_of(s, shift), drawn).max() < FINE for s in lines_of(CADDY))


def _holes():
    return [mark.whole[0].center for mark in CADDY.state(0).marks if mark.verb == "punch"]


def test_the_mirrored_face_is_the_mirror_image():
    """To be printed on the other side: left and right change places, no more."""
    made = true_size_piece(CADDY, 0, TemplateFace.MIRRORED)
    page = Page(made.box.width, made.box.height, Recording(0, 0, ()),
                PlacedDrawing(made.recording, 0, 0, made.box))
    drawn = pdf_reader.read(pdf("x", [page]))[0].segments()
    width = max(float(s.start.x) for s in lines_of(CADDY))
    low = min(float(s.start[0]) for s in made.piece.outline)
    shift = np.array((width + low, min(float(s.start[1]) for s in made.piece.outline)))
    assert all(pdf_reader.distances(points_of(s, shift, mirrored=True), drawn).max() < FINE
               for s in lines_of(CADDY))


@settings(deadline=None, max_examples=12)
@given(plan=NETS)
def test_mirrored_twice_is_the_original(plan):
    """The mirrored face, mirrored once more, has every line where the face from the inside has it, to 0.01
    mm.
    """
    faces = {face: true_size_piece(plan, 0, face) for face in (TemplateFace.INSIDE, TemplateFace.MIRRORED)}
    shown = {}
    for face, made in faces.items():
        page = Page(made.box.width, made.box.height, Recording(0, 0, ()),
                    PlacedDrawing(made.recording, 0, 0, made.box))
        shown[face] = pdf_reader.read(pdf("x", [page]))[0].segments()
    back = shown[TemplateFace.MIRRORED] * (-1, 1, -1, 1)
    back[:, ::2] += shown[TemplateFace.INSIDE][:, ::2].min() - back[:, ::2].min()
    assert len(back) == len(shown[TemplateFace.INSIDE])
    for ends in (back[:, :2], back[:, 2:]):
        assert pdf_reader.distances(ends, shown[TemplateFace.INSIDE]).max() < FINE
    twice = moved_piece(moved_piece(faces[TemplateFace.INSIDE].piece, View(Orientation(0, True))),
                        View(Orientation(0, True)))
    for a, b in zip(twice.strokes(), faces[TemplateFace.INSIDE].piece.strokes(), strict=True):
        assert math.dist(a.at(0.3), b.at(0.3)) < 1e-9


@pytest.mark.parametrize("paper", PRINT_PAPERS)
def test_page_boxes_are_exact(paper):
    """To 0.0001 pt, upright or landscape."""
    with pikepdf.open(BytesIO(document(paper))) as opened:
        for page in opened.pages:
            for box in (page.mediabox, page.cropbox, page.trimbox):
                assert sorted(map(float, box)) == pytest.approx([0, 0, *SIZES[paper]], abs=1e-4)


@pytest.mark.parametrize("paper", PRINT_PAPERS)
@pytest.mark.parametrize("face", TemplateFace)
def test_nothing_is_drawn_near_the_edge(paper, face):
    """Home printers leave 10 mm blank on each side; what is clipped away does not count."""
    data = document(paper, face)
    for number, page in enumerate(pdf_reader.read(data), start=1):
        image = pdf_reader.rendered(data, number, 100)
        edge = int(pdf_reader.pixels(UNPRINTABLE_EDGE, 100)) - 2
        inside = image[edge:-edge, edge:-edge]
        assert inside.any() and image.sum() == inside.sum(), page.text[:40]


@pytest.mark.parametrize("paper", PRINT_PAPERS)
@pytest.mark.parametrize("upright", [False, True])
def test_the_bars_measure_what_they_say(paper, upright):
    """At 600 dpi the middles of a bar's end ticks are 100 mm and 4 in apart, to a pixel, level and
    upright.
    """
    image = pdf_reader.rendered(document(paper))
    rows = image.T if upright else image
    spans = {round(b - a) for row in rows[::7] for ends in [pdf_reader.middles(row)] for a,
             b in pairwise(ends)}
    for mm in (100.0, 101.6):
        assert any(abs(span - pdf_reader.pixels(mm)) <= 1 for span in spans), mm


@pytest.mark.parametrize("paper", PRINT_PAPERS)
@pytest.mark.parametrize(("system", "apart", "number"), [("mm", 10.0, "100 mm"), ("in", 6.35, "7 in")])
def test_the_edges_of_the_scale_page_have_ticks_in_the_editions_own_unit(paper, system, apart, number):
    """Along the left and the lower edge, every 10 mm or every quarter of an inch, to 0.01 mm."""
    page = pdf_reader.read(pdf("Tea caddy", template_pages(caddy_plates(),
                                                           heading(paper, system=system))))[0]
    for along, room in ((0, page.width), (1, page.height)):
        short = [p for p in page.paths if len(p) == 2 and np.ptp(p[:, along]) < 1e-4
                 and np.ptp(p[:, 1 - along]) < 4 and p.max(axis=0)[1 - along] < UNPRINTABLE_EDGE + 6]
        places = sorted({round(float(p[0][along]), 3) for p in short})
        assert len(places) == int((room - 2 * UNPRINTABLE_EDGE - (6 if along == 0 else 12)) / apart) + 1
        assert np.diff(places) == pytest.approx(apart, abs=FINE)
    assert number in page.text


@pytest.mark.parametrize("paper", PRINT_PAPERS)
def test_the_card_is_a_bank_card(paper):
    """85.60 × 53.98 mm with corners of 2.88 to 3.48 mm (ISO/IEC 7810, ID-1)."""
    page = pdf_reader.read(document(paper))[0]
    frames = [p for p in page.paths if np.allclose(np.ptp(p, axis=0), (85.60, 53.98), atol=FINE)]
    assert len(frames) == 1
    left = frames[0][np.abs(frames[0][:, 0] - frames[0][:, 0].min()) < 1e-4][:, 1]
    assert 2.88 <= (53.98 - np.ptp(left)) / 2 <= 3.48


@pytest.mark.parametrize(("words", "across"), [
    ("24.26 mm", 24.26), ("19.05 mm", 19.05), ("3/4 in", 19.05), ("23.25 mm", 23.25), ("25.75 mm", 25.75)],
    ids=["US quarter", "US cent", "US cent in inches", "1 euro", "2 euro"])
def test_a_coin_lies_on_a_circle_of_its_size(words, across):
    """A circle of a coin's width is as wide in the print (US Mint; Regulation (EC) 975/98; row 6).

    Print and coin may differ by 0.3 mm, the file by a hundredth.
    """
    plan = evaluated("p = sheet(width=2*size, height=2*size)\npunch(p, x=size, y=size, diameter=size)",
                size=parse_length(words).value).plan
    page, _ = alone(plan)
    assert len(page.paths) == 2 and len(page.rings(across / 2)) == 1
    (hole,) = (p for p in page.paths if len(p) > 5)
    assert np.ptp(hole, axis=0) == pytest.approx((across, across), abs=FINE)


def test_two_processes_write_the_same_bytes():
    """Nothing of the day, the machine or the order of sets is in the file."""
    code = ("import hashlib; from tests.drawing.templates import test_guides as g, test_true_size as t;"
            "data = t.document('letter') + g.document(g.SHALLOW, g.OVAL, g.ROUND);"
            "print(hashlib.sha256(data).hexdigest())")
    root = Path(__file__).resolve().parents[3]
    done = subprocess.run([sys.executable, "-c", code], cwd=root, env={**os.environ, "PYTHONHASHSEED": "1"},
                          capture_output=True, text=True, check=True).stdout
    data = document("letter") + test_guides.document(test_guides.SHALLOW, test_guides.OVAL, test_guides.ROUND)
    assert hashlib.sha256(data).hexdigest() == done.strip()


def test_the_ticks_face_leaves_no_ink_on_the_box_but_dots():
    """Whatever is longer than a prick point lies beyond the paper."""
    page, shift = alone(CADDY, TemplateFace.TICKS)
    made = true_size_piece(CADDY, 0, TemplateFace.TICKS)
    xs = [float(s.start[0]) for s in made.piece.outline]
    ys = [float(s.start[1]) for s in made.piece.outline]
    box = Box(min(xs), min(ys), max(xs), max(ys))
    long = [p for p in page.paths if np.ptp(p, axis=0).max() > 0.5]
    assert len(long) > 20 and len(page.paths) > len(long)
    tab = Box(240 + box.x0, box.y0, box.x1, box.y1)     # beside the tab the paper has been cut away
    for path in long:
        middle = tuple(path.mean(axis=0))
        assert not box.holds(middle) or tab.holds(middle)


def test_the_ticks_face_pricks_every_hole():
    """A dot in the middle of each punched hole."""
    page, shift = alone(CADDY, TemplateFace.TICKS)
    dots = np.array(page.rings(0.2))
    for hole in _holes():
        at = np.array([float(c) for c in hole]) + shift
        assert np.hypot(*(dots - at).T).min() < FINE


@pytest.mark.parametrize("name", ["published", "six-sided", "pouch", "lidded-box", "ornament"])
def test_each_prick_is_a_point_of_the_plan(name):
    """A dot belongs to the end of a line, to a curve, to a corner or to the middle of a hole.

    Not to where a tick happens to end in the paper; on curves dots follow each other by 10 mm at most.
    """
    plan = plan_of(source(name))
    page, shift = alone(plan, TemplateFace.TICKS)
    dots = np.array(page.rings(0.2)).reshape(-1, 2) - shift
    state = plan.state(0)
    strokes = [run for mark in state.marks if mark.verb != "tick" for run in mark.runs]
    strokes += [rim.stroke for path in (state.outline, *state.holes) for rim in path]
    circles = [stroke for stroke in strokes if isinstance(stroke, Circle)]
    curves = [stroke for stroke in strokes if not isinstance(stroke, Line | Circle)]
    ends = [[float(c) for c in stroke.at(t)] for stroke in strokes for t in (0, 1)]
    points = np.array(ends + [[float(c) for c in circle.center] for circle in circles])
    stray = [dot for dot in dots if np.hypot(*(points - dot).T).min() > FINE]
    on = [[dot for dot in stray if stroke_distance(dot, curve) < FINE] for curve in curves]
    assert {tuple(dot) for dot in stray} == {tuple(dot) for row in on for dot in row}
    for curve, row in zip(curves, on, strict=True):
        assert len(row) >= math.ceil(float(curve.length()) / 10) - 1


def stroke_distance(point: np.ndarray, stroke: Stroke) -> float:
    """How far a point lies from a curve that is flattened to a thousandth."""
    chords = np.array([[float(c) for c in p] for p in stroke.flattened(0.001)])
    return float(pdf_reader.distances(point[None], np.hstack((chords[:-1], chords[1:])))[0])

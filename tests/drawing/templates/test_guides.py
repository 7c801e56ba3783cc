"""Guides: the edge lies beside the line by the tip's radius, at true size, with ticks on its ends and its
middle.
"""
from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction
from io import BytesIO

import numpy as np
import pikepdf
import pytest
import shapely

from generator.drawing.backends.pdf import pdf
from generator.drawing.templates.curves import GuideCurve, curves_of
from generator.drawing.templates.documents import guide_pages, guide_tile_count
from generator.drawing.templates.guides import StylusTip, guides_of
from generator.drawing.templates.page import PRINT_PAPERS, PageHeading
from generator.geometry import Arc, Circle, EllipseArc, Point
from generator.locale import ENGLISH
from generator.paper.records import Plan
from generator.units import length
from tests.drawing.sample_plans import Work
from tests.drawing.templates import pdf_reader
from tests.drawing.templates.sample_pieces import CADDY

FINE = 0.01     # mm
TIP = 0.5       # mm
SHALLOW, DEEP = Arc(Point(0.0, 0.0), Point(41.785, 0.0), 3.0), Arc(Point(0.0, 0.0), Point(20.0, 0.0), 16.0)
OVAL = EllipseArc(Point(0.0, 0.0), Point(60.0, 0.0), 50.0, 30.0, True, 0.2)
ROUND = Circle(Point(0.0, 0.0), 30.0)
LARGE = Arc(Point(0.0, 0.0), Point(260.0, 0.0), 30.0)


def document(*strokes, edge: str = "outside", paper: str = "a4", tip: float = TIP,
             verb: str = "score") -> bytes:
    """The guides of these curves."""
    curves = [GuideCurve(stroke, ("bow",), 2, verb, verb == "punch") for stroke in strokes]
    guides = tuple(guides_of(curves, StylusTip(length(Fraction(tip)), edge), "mm"))
    return pdf("x", guide_pages(guides, PageHeading("Box", "mm", "ABC123", paper)))


def guide_page(stroke, **chosen: str) -> pdf_reader.Drawn:
    """The page with the guide of a curve; of a scale page what lies below the frame for a bank card."""
    page = pdf_reader.read(document(stroke, **chosen))[-1]
    card = [p for p in page.paths if np.ptp(p, axis=0) == pytest.approx((85.60, 53.98), abs=FINE)]
    low = card[0][:, 1].min() if card else page.height
    return replace(page, paths=tuple(p for p in page.paths if p[:, 1].max() < low))


def traced(plan: Plan) -> Plan:
    """The same plan, its curves made with a template."""
    def made(mark):
        return mark if mark.axis else replace(mark, tool="template")
    return replace(plan, states={piece: tuple((act, replace(state, marks=tuple(map(made, state.marks))))
                                              for act, state in found)
                                 for piece, found in plan.states.items()})


def outline(page: pdf_reader.Drawn) -> np.ndarray:
    """The guide's own outline: of all closed paths that are no rings, the longest."""
    closed = [p for p in page.paths if len(p) > 3 and np.allclose(p[0], p[-1], atol=1e-4)
              and np.ptp(p, axis=0).max() > 10]
    return max(closed, key=lambda p: np.hypot(*np.diff(p, axis=0).T).sum())


def line_of(stroke, page: pdf_reader.Drawn) -> np.ndarray:
    """Points of the line to be scored, where it lies on the page: its ends and its middle have rings of 0.9
    mm.
    """
    rings = np.array(page.rings(0.9))
    low = rings[np.argmin(rings[:, 0])]
    return np.array([[float(c) for c in stroke.at(k / 60)] for k in range(61)]) + low


@pytest.mark.parametrize("stroke", [SHALLOW, OVAL], ids=["arc", "oval"])
@pytest.mark.parametrize("edge", ["outside", "inside"])
def test_the_edge_lies_beside_the_line_by_the_tip(stroke, edge):
    """Everywhere between the ends the cut-out edge is 0.5 mm from the line, inside it or outside;
    to 0.01 mm.
    """
    page = guide_page(stroke, edge=edge)
    line, cut = line_of(stroke, page), outline(page)
    segments = np.hstack((cut[:-1], cut[1:]))
    assert np.abs(pdf_reader.distances(line, segments) - TIP).max() < FINE
    # the edge at the middle of the line
    above = cut[(cut[:, 0] > line[28, 0]) & (cut[:, 0] < line[32, 0])]
    nearest = above[np.argmin(np.abs(above[:, 1] - line[30, 1]))]
    assert (nearest[1] < line[30, 1]) == (edge == "outside")


@pytest.mark.parametrize("stroke", [SHALLOW, OVAL], ids=["arc", "oval"])
@pytest.mark.parametrize("edge", ["outside", "inside"])
def test_what_is_cut_has_the_line_for_its_edge(stroke, edge):
    """A blade has no tip to allow for, whichever edge it follows (common practice, no source)."""
    page = guide_page(stroke, edge=edge, verb="cut")
    cut = outline(page)
    assert pdf_reader.distances(line_of(stroke, page), np.hstack((cut[:-1], cut[1:]))).max() < FINE
    assert "tip" not in page.text.partition("How to use")[2] and "blade runs along the edge" in page.text


def test_the_ends_and_the_middle_are_where_they_are_on_the_plan():
    """Three rings: the chord and the bulge of the caddy's curves, to 0.01 mm."""
    rings = np.array(sorted(map(tuple, guide_page(SHALLOW).rings(0.9))))
    assert len(rings) == 3
    assert math.dist(rings[0], rings[2]) == pytest.approx(41.785, abs=FINE)
    assert rings[1] == pytest.approx((rings[0] + rings[2]) / 2 + (0, 3), abs=FINE)


@pytest.mark.parametrize(("edge", "radius"), [("outside", 29.5), ("inside", 30.5)])
def test_a_disc_is_smaller_and_an_opening_larger(edge, radius):
    """A circle of 60 mm: a disc of 59 mm to run around, or a hole of 61 mm to run in."""
    assert len(guide_page(ROUND, edge=edge).rings(radius)) == 1


def test_a_hole_is_drawn_as_large_as_its_punch():
    """No tip to allow for: 3 mm, a cross through its middle, in a square to cut out."""
    page = guide_page(Circle(Point(0.0, 0.0), 1.5), verb="punch")
    (middle,) = page.rings(1.5)
    assert outline(page).mean(axis=0) == pytest.approx(middle, abs=4)
    arms = [p for p in page.paths if len(p) == 2 and math.isclose(math.dist(*p), 24, abs_tol=FINE)]
    assert len(arms) == 2 and all(p.mean(axis=0) == pytest.approx(middle, abs=FINE) for p in arms)


def test_an_arc_of_more_than_half_a_circle_stays_in_one_piece():
    """Its ends lie under its widest place; the outline never crosses itself, whichever edge is followed."""
    for edge in ("outside", "inside"):
        cut = outline(guide_page(DEEP, edge=edge))
        assert shapely.LinearRing(np.round(cut, 6)).is_simple


@pytest.mark.parametrize("paper", PRINT_PAPERS)
def test_what_is_larger_than_the_paper_comes_in_tiles(paper):
    """260 mm on paper of 210: the words on one page, two tiles after it."""
    pages = pdf_reader.read(document(SHALLOW, LARGE, paper=paper))
    words = [number for number, page in enumerate(pages) if "tiles are on the pages that follow" in page.text]
    assert words == [len(pages) - 3] and len(pages) <= 4 and "tile A2 of 2" in pages[-1].text


@pytest.mark.parametrize("paper", PRINT_PAPERS)
def test_a_small_guide_shares_the_scale_page(paper):
    """A hole in a square of 28 mm takes no page of its own; what does not fit any more goes to the next."""
    hole = Circle(Point(0.0, 0.0), 1.5)
    alone, many = (pdf_reader.read(document(*[hole] * count, verb="punch", paper=paper))
                   for count in (1, 3))
    assert len(alone) == 1 and len(alone[0].rings(1.5)) == 1 and "this page alone" in alone[0].text
    assert [len(page.rings(1.5)) for page in many] == [1, 2] and "1 page of guides" in many[0].text


def test_page_one_has_the_bars():
    """As in every template: measured first."""
    first = pdf_reader.read(document(SHALLOW))[0]
    assert ("Guides to cut out, metric edition." in first.text and "100 mm" in first.text
            and "104 %" in first.text)


def test_what_no_tip_can_follow_has_no_guide():
    """A curve of 0.4 mm radius, and a tip of 0.5 mm: pricked, not traced.

    Without curves there is no document.
    """
    narrow = GuideCurve(Arc(Point(0.0, 0.0), Point(0.8, 0.0), 0.4), ("bow",), 1, "score")
    assert not tuple(guides_of([narrow], StylusTip(length(Fraction(1, 2)), "outside"), "mm"))
    assert guide_pages((), PageHeading("Box", "mm", "ABC123", "a4")) == ()


def test_each_shape_of_a_plan_comes_once():
    """Sixteen curves of the caddy are one shape and its mirror image; eight holes are one size."""
    curves = curves_of(traced(CADDY))
    arcs = [c for c in curves if not c.punched]
    assert [(c.count, c.names_text(ENGLISH)) for c in arcs] == [(16, "curves")]
    assert [(c.count, c.punched) for c in curves if c.punched] == [(8, True)]
    assert guide_tile_count(tuple(guides_of(curves, StylusTip(length(Fraction(1, 2)), "outside"), "mm")),
                            "a4") == 2


def test_a_turned_or_mirrored_oval_is_the_same_shape():
    """However it lies on the sheet, a guide can be turned, and turned over."""
    work = Work("mm")
    work.next_step()
    work.sheet("strip", length(200), length(200))
    work.next_step()
    a = EllipseArc(Point(10.0, 10.0), Point(60.0, 20.0), 50.0, 30.0)
    turned = EllipseArc(Point(100.0 - 10.0, 100 + 10.0), Point(100.0 - 20.0, 160.0), 30.0, 50.0)
    mirrored = EllipseArc(Point(190.0, 10.0), Point(140.0, 20.0), 50.0, 30.0, False)
    other = EllipseArc(Point(10.0, 50.0), Point(60.0, 40.0), 50.0, 30.0)
    work.marks("score", "bows", [a, turned, mirrored, other])
    assert [curve.count for curve in curves_of(traced(work.plan()))] == [4]


def test_the_file_is_sound():
    """The checker of qpdf finds nothing, and the layers are there."""
    with pikepdf.open(BytesIO(document(SHALLOW, OVAL, ROUND))) as opened:
        assert opened.check_pdf_syntax() == []
        assert {"Cut", "Tick", "Legend"} <= {str(group.Name) for group in opened.Root.OCProperties.OCGs}

"""What the SVG back end writes, read back by an independent parser."""
from __future__ import annotations

import re
from fractions import Fraction

import pytest
from lxml import etree

from generator.drawing.backends.stylesheet import stylesheet
from generator.drawing.backends.svg import PathData, svg, svg_number
from generator.drawing.lettering import LETTER_SIZE, DualText
from generator.drawing.pen import Label, Role, Surface
from generator.drawing.recording import RecordingPen
from generator.drawing.steps.step_picture import step_pictures
from generator.geometry import Arc, Circle, EllipseArc, Line, Point
from tests.drawing.sample_plans import STEPS, caddy

NS = {"s": "http://www.w3.org/2000/svg"}
DRAWN, OTHER = caddy("mm"), caddy("in")
PICTURES = [picture for step in range(1, len(STEPS) + 1) for picture in step_pictures(DRAWN, OTHER, step)]


def written(picture, **options) -> etree._Element:
    """A picture as a tree of elements."""
    return etree.fromstring(svg(picture.recording, picture.title, picture.description, picture.key,
                                **options))


def bar(length: float = 100.0):
    """A recording of one level line."""
    pen = RecordingPen()
    pen.begin("now")
    pen.stroke((Line(Point(10.0, 20.0), Point(10.0 + length, 20.0)),), Role.CUT, True)
    pen.end()
    return pen.recording(120.0, 40.0)


def test_size_is_in_millimetres_and_in_the_view_box():
    """Width and height carry their unit, and a unit of the view box is a millimetre."""
    root = etree.fromstring(svg(bar(), "Bar", "A bar.", "bar"))
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("120mm", "40mm", "0 0 120 40")


def test_a_bar_of_100_mm_is_100_mm_long():
    """The path data says 100 between its ends, and y runs down from the top."""
    root = etree.fromstring(svg(bar(), "Bar", "A bar.", "bar"))
    data = root.find(".//s:path", NS).get("d")
    assert data == "M10 20L110 20"
    assert etree.fromstring(svg(bar(Fraction(127, 5)), "t", "d", "k")).find(".//s:path",
                                                                            NS).get("d") == "M10 20L35.4 20"


@pytest.mark.parametrize("picture", PICTURES, ids=lambda p: p.key)
def test_every_picture_is_named_and_described(picture):
    """Title and description come first, with ids that the root refers to, and say something."""
    root = written(picture)
    title, desc = root[0], root[1]
    assert [etree.QName(e).localname for e in (title, desc)] == ["title", "desc"]
    assert root.get("role") == "img"
    assert root.get("aria-labelledby").split() == [title.get("id"), desc.get("id")]
    assert len(title.text) > 10 and len(desc.text) > 30


@pytest.mark.parametrize("picture", PICTURES, ids=lambda p: p.key)
def test_every_class_is_styled_and_every_reference_is_answered(picture):
    """The stylesheet knows each class that draws something; url(#…) finds its pattern in the same picture."""
    root = written(picture)
    known = set(re.findall(r"\.([a-z-]+)", stylesheet())) | {"step", "whole", "line", "mm", "in"}
    used = {c for e in root.iter() if e.get("class") for c in e.get("class").split()
            if not c.startswith("g-")}
    assert used <= known, used - known
    ids = {e.get("id") for e in root.iter() if e.get("id")}
    assert {i for e in root.iter() for i in re.findall(r"url\(#([^)]+)\)", e.get("style") or "")} <= ids
    assert all(i.startswith(picture.key) for i in ids)


@pytest.mark.parametrize("picture", PICTURES, ids=lambda p: p.key)
def test_nothing_is_fetched_and_nothing_is_left_over(picture):
    """No link, no script, no name space but SVG's own, no element without effect."""
    text = svg(picture.recording, picture.title, picture.description, picture.key)
    assert text.count("xmlns") == 1 and "href" not in text and "script" not in text and "<defs />" not in text


@pytest.mark.parametrize("picture", PICTURES, ids=lambda p: p.key)
def test_the_same_picture_gives_the_same_bytes(picture):
    """Drawn again from plans made again, every byte is the same."""
    step = int(picture.key.split("-")[1])
    again = [p for p in step_pictures(caddy("mm"), caddy("in"), step) if p.key == picture.key]
    assert [svg(p.recording, p.title, p.description, p.key) for p in again] == [
        svg(picture.recording, picture.title, picture.description, picture.key)]


def test_keys_are_unique():
    """Two pictures of one tutorial may stand on one page."""
    assert len({picture.key for picture in PICTURES}) == len(PICTURES)


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_what_is_no_number_is_refused(value):
    """NaN would make a browser drop the whole path in silence."""
    with pytest.raises(ValueError, match="not a number"):
        svg_number(value)
    pen = RecordingPen()
    pen.begin("notes")
    pen.label(Label(DualText.plain("here"), Point(value, 1.0), LETTER_SIZE))
    with pytest.raises(ValueError, match="not a number"):
        svg(pen.recording(10, 10), "t", "d", "k")


@pytest.mark.parametrize(("value", "text"),
                         [(0.0, "0"), (-0.0001, "0"), (1.0005, "1"), (2.5, "2.5"), (-3.14159, "-3.142"),
                                             (100.0, "100"), (0.1 + 0.2, "0.3")])
def test_numbers_are_rounded_to_a_thousandth(value, text):
    """As short as can be, and never "-0"."""
    assert svg_number(value) == text


def test_arcs_bulge_the_right_way():
    """A positive bulge lies to the left of travel: above a line to the right, clockwise (1) in SVG."""
    data = PathData(100.0)
    a, b = Point(0.0, 0.0), Point(10.0, 0.0)
    assert data.path((Arc(a, b, 2.0),)) == "M0 100A7.25 7.25 0 0 1 10 100"
    assert data.path((Arc(a, b, -2.0),)) == "M0 100A7.25 7.25 0 0 0 10 100"
    assert data.path((Arc(a, b, 8.0),)).startswith("M0 100A5.562 5.562 0 1 1 ")
    assert data.path((EllipseArc(a, b, 8.0, 4.0, True),)) == "M0 100A8 4 0 0 1 10 100"


def test_closed_paths_are_closed():
    """A loop ends with Z, a circle is two halves."""
    data = PathData(10.0)
    corners = [Point(0.0, 0.0), Point(4.0, 0.0), Point(4.0, 3.0)]
    loop = tuple(Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True))
    assert data.path(loop) == "M0 10L4 10L4 7Z"
    assert data.path((Circle(Point(5.0, 5.0), 2.0),)) == "M7 5A2 2 0 0 0 3 5A2 2 0 0 0 7 5Z"


def test_holes_in_the_paper_are_holes():
    """Areas are filled by the even-odd rule, so that a loop in a loop shows what lies behind."""
    pen = RecordingPen()
    pen.begin("paper")
    outer = tuple(Line(Point(*a), Point(*b)) for a,
                  b in (((0, 0), (9, 0)), ((9, 0), (9, 9)), ((9, 9), (0, 0))))
    pen.area((outer, (Circle(Point(5, 3), 1),)), Surface.PLAIN)
    root = etree.fromstring(svg(pen.recording(10, 10), "t", "d", "k"))
    path = root.find(".//s:path", NS)
    assert path.get("fill-rule") == "evenodd" and path.get("d").count("M") == 2


def test_labels_are_in_pairs_that_a_page_can_hide():
    """Every measure stands once in class "in" and once in class "mm", each in a text of its own."""
    root = written(PICTURES[1])
    by_class = {name: ["".join(t.itertext()) for t in root.iterfind(".//s:text", NS)
                       if name in (t.get("class") or "").split()] for name in ("in", "mm")}
    assert by_class["mm"] == ["30", "60", "90", "120", "150", "180", "210", "240", "mm"]
    assert by_class["in"] == ["1\u202f1⁄4", "2\u202f1⁄2", "3\u202f3⁄4", "5", "6\u202f1⁄4", "7\u202f1⁄2",
                              "8\u202f3⁄4", "10", "in"]


def test_alone_it_brings_its_style():
    """A standalone picture has a style element; one for a page has none."""
    alone, on_page = written(PICTURES[0], standalone=True), written(PICTURES[0])
    assert stylesheet() in alone.find("s:style", NS).text and on_page.find("s:style", NS) is None


def test_titles_are_escaped():
    """Words with signs of XML stay words."""
    root = etree.fromstring(svg(bar(), "A < B & C", "\"quoted\" > unquoted", "bar"))
    assert (root[0].text, root[1].text) == ("A < B & C", "\"quoted\" > unquoted")

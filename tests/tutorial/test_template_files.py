"""The files of every tutorial: sound, and line for line what its plan says."""
from __future__ import annotations

from collections import Counter
from dataclasses import replace
from io import BytesIO, StringIO
from itertools import combinations

import ezdxf
import numpy as np
import pdfplumber
import pikepdf
import pytest
from ezdxf import bbox
from ezdxf.layouts import Modelspace
from lxml import etree

from generator.drawing.backends.pdf import pdf
from generator.drawing.recording import Recording
from generator.drawing.templates.curves import curves_of
from generator.drawing.templates.page import Page, PlacedDrawing, TemplateFace
from generator.drawing.templates.plan import true_size_piece
from generator.drawing.templates.processes import template_pieces
from generator.geometry import Line, Point
from generator.paper.glue_sides import glued_areas
from generator.tutorial import Tutorial, load_text
from generator.tutorial.template_files import TemplateFile, TemplateSet, template_files
from tests.drawing.templates import pdf_reader
from tests.language.small_tutorials import BENCHES
from tests.language.small_tutorials import tutorial as small_tutorial
from tests.tutorial.site_tutorials import SHELF, on_shelf

TUTORIALS = [*SHELF, "caddy", "envelope", "lidded-box", "ornament", "pouch", "tray"]
FINE = 0.01     # mm
MANY_SCRAPS = ("biscuit-box", "hinged-box")
_MADE: dict[str, TemplateSet] = {}


@pytest.fixture
def tutorial(request) -> Tutorial:
    """One of :data:`TUTORIALS`, loaded once for all tests."""
    return on_shelf(request.param) if request.param in SHELF else small_tutorial(request.param)


def made_of(tutorial) -> TemplateSet:
    """All files of a tutorial, made once for all tests."""
    if tutorial.file not in _MADE:
        _MADE[tutorial.file] = template_files(tutorial)
    return _MADE[tutorial.file]


def test_there_are_tutorials():
    """The checks below look at something: boxes of both ways of building."""
    assert len(TUTORIALS) >= 5


@pytest.mark.parametrize("tutorial", TUTORIALS, indirect=True)
@pytest.mark.parametrize("system", ["mm", "in"])
def test_every_line_of_every_piece_is_on_its_template(tutorial, system):
    """Outlines, holes, and whatever is left of each mark, read back by pdfplumber; and no line that the plan
    has not.
    """
    plan = tutorial.plans[system]
    for info in template_pieces(plan):
        made, state = true_size_piece(plan, info.id, TemplateFace.INSIDE), plan.state(info.id)
        page = Page(made.box.width, made.box.height, Recording(0, 0, ()),
                    PlacedDrawing(made.recording, 0, 0, made.box))
        drawn = pdf_reader.read(pdf("x", [page]))[0]
        rims = [rim.stroke for path in (state.outline, *state.holes) for rim in path]
        strokes = [*rims, *(run for mark in state.marks for run in mark.runs)]
        mirror = np.array((-1.0 if info.up == "printed" else 1.0, 1.0))
        shift = low(s.start for s in made.piece.outline) - low(np.array(as_floats(s.start)) * mirror
                                                               for s in rims)
        lines = [np.array([as_floats(p) for p in s.flattened(0.003)]) * mirror + shift for s in strokes]
        segments = np.vstack([np.hstack((p[:-1], p[1:])) for p in lines])
        assert all(pdf_reader.distances(p, drawn.segments()).max() < FINE for p in lines), info.name
        unglued = [path for path in drawn.paths if len(path) > 1]
        faces = [np.array([as_floats(p) for s in face.outline for p in s.flattened(0.003)]) * mirror + shift
                 for face in glued_areas(plan) if face.piece == info.id]
        known = np.vstack([segments, *(np.hstack((p[:-1], p[1:])) for p in faces)])
        assert all(pdf_reader.distances(pdf_reader.along(path), known).max() < FINE
                   for path in unglued), info.name


def as_floats(point) -> tuple[float, float]:
    """Both coordinates."""
    return float(point[0]), float(point[1])


def low(points) -> np.ndarray:
    """The lower left corner of all points."""
    return np.array([as_floats(p) for p in points]).min(axis=0)


@pytest.mark.parametrize("tutorial", TUTORIALS, indirect=True)
def test_every_file_is_sound(tutorial):
    """No finding; qpdf's checker, the XML parser and ezdxf's audit hold nothing against any file."""
    made = made_of(tutorial)
    guides = 4 if any(curves_of(plan) for plan in tutorial.plans.values()) else 0
    papers = {info.paper for info in template_pieces(tutorial.drawn)}
    assert not made.findings and len(made.files) == 24 + 4 * len(papers) + guides
    assert len({file.name for file in made.files}) == len(made.files)
    for file in made.files:
        if file.format == "pdf":
            with pikepdf.open(BytesIO(file.data)) as document:
                assert not document.check_pdf_syntax() and len(document.pages) == file.pages, file.name
        elif file.format == "svg":
            root = etree.fromstring(file.data)
            assert root.get("width") == f"{root.get('viewBox').split()[2]}mm"
        else:
            document = ezdxf.read(StringIO(file.data.decode("utf-8")))
            assert not document.audit().errors and not document.audit().fixes, file.name


@pytest.mark.parametrize("tutorial", TUTORIALS, indirect=True)
def test_a_bench_card_is_one_page(tutorial):
    """For either hand on either paper; in large print two at most, or three for a box with more than ten
    pieces to be cut away: each of them has a row.
    """
    cards = [file for file in made_of(tutorial).files if file.kind == "bench-card"]
    most = 3 if tutorial.slug in MANY_SCRAPS else 2
    assert len(cards) == 12 and all(card.pages == 1 or card.face == "large" and card.pages <= most
                                    for card in cards)


@pytest.mark.parametrize("tutorial", SHELF, indirect=True)
def test_no_bench_card_is_in_too_small_letters(tutorial):
    """However much it says: 8.9 pt and more, in rows 18 pt in large print."""
    for card in (file for file in made_of(tutorial).files if file.kind == "bench-card"):
        with pdfplumber.open(BytesIO(card.data)) as document:
            sizes = Counter(char["size"] for page in document.pages for char in page.chars if char["upright"])
        usual = max(sizes, key=sizes.__getitem__)
        assert min(sizes) > 8.9 and usual > (17.9 if card.face == "large" else 8.9), (card.name, sizes)


def test_a_piece_without_an_area_is_named():
    """An outline that runs out and back encloses nothing: a finding for each edition, and no file of it."""
    tutorial = small_tutorial("tray")
    emptied = {}
    for system, plan in tutorial.plans.items():
        state = plan.state(0)
        there, back = Line(Point(0, 0), Point(100, 0)), Line(Point(100, 0), Point(0, 0))
        rims = tuple(replace(state.outline[0], stroke=stroke) for stroke in (there, back))
        emptied[system] = replace(plan, states={0: ((99, replace(state, outline=rims, marks=(), folds=())),)},
                                  acts=())
    made = template_files(replace(tutorial, plans=emptied))
    assert not made.files and made.findings
    assert [(each.code, "has no area" in each.message)
            for each in made.findings] == [("template-empty", True)] * 2


@pytest.mark.parametrize("tutorial", TUTORIALS, indirect=True)
def test_both_cutting_files_are_equally_wide(tutorial):
    """DXF and SVG of one edition agree to 0.01 mm."""
    files = {f.name: f for f in made_of(tutorial).files if f.kind == "cutting"}
    for name, file in files.items():
        if file.format == "svg":
            wide = float(etree.fromstring(file.data).get("viewBox").split()[2])
            space = modelspace(files[name.replace(".svg", ".dxf")])
            assert bbox.extents(space).size.x == pytest.approx(wide, abs=FINE)


def modelspace(file: TemplateFile) -> Modelspace:
    """All that a cutting machine reads of a DXF."""
    return ezdxf.read(StringIO(file.data.decode("utf-8"))).modelspace()


@pytest.mark.parametrize("tutorial", SHELF, indirect=True)
def test_a_cutting_file_holds_the_pieces_of_one_paper_and_lies_on_a_sheet(tutorial):
    """Read back: each piece once, of its size in either turn, in the file of its paper; the whole no larger
    than one of the sheets that the tutorial lists, and pieces at least 3 mm apart.
    """
    files = [f for f in made_of(tutorial).files if f.kind == "cutting"]
    sheets = [sorted(map(float, (sheet.width, sheet.height))) for sheet in tutorial.front.sheets]
    for system, plan in tutorial.plans.items():
        wanted: dict[str, list[list[float]]] = {}
        for info in template_pieces(plan):
            ends = np.array([as_floats(p) for rim in plan.state(info.id).outline
                             for p in rim.stroke.flattened(0.001)])
            wanted.setdefault(info.paper.name, []).append(sorted(np.ptp(ends, axis=0)))
        papers = [f for f in files if (f.system, f.format) == (system, "dxf")]
        assert len(papers) == len(wanted)
        for file, sizes in zip(papers, wanted.values(), strict=True):
            boxes = [bbox.extents(group) for group in outlines(modelspace(file))]
            found = sorted(sorted((box.size.x, box.size.y)) for box in boxes)
            assert np.allclose(found, sorted(sizes), atol=FINE), file.name
            short, long = sorted(bbox.extents(modelspace(file)).size)[1:]
            assert any(short <= low + FINE and long <= high + FINE for low, high in sheets), file.name
            assert all(max(max(a.extmin.x - b.extmax.x, b.extmin.x - a.extmax.x),
                           max(a.extmin.y - b.extmax.y, b.extmin.y - a.extmax.y)) > 3 - FINE
                       for a, b in combinations(boxes, 2)), file.name


def outlines(space: Modelspace) -> list[list]:
    """The lines of each outline: a closed polyline, or lines, arcs and ovals that join end to end."""
    found = [[each] for each in space.query("LWPOLYLINE[layer=='7_OUTLINE']")]
    loose = list(space.query("LINE ARC ELLIPSE CIRCLE[layer=='7_OUTLINE']"))
    while loose:
        group = [loose.pop(0)]
        while near := next((each for each in loose if any(touch(each, other) for other in group)), None):
            loose.remove(near)
            group.append(near)
        found.append(group)
    return found


def touch(first, second) -> bool:
    """True where an end of one is an end of the other."""
    def points(each):
        return ((each.dxf.start, each.dxf.end) if each.dxftype() == "LINE"
                else (each.start_point, each.end_point))
    return any(a.isclose(b, abs_tol=1e-3) for a in points(first) for b in points(second))


def test_every_cutting_file_has_a_name_of_its_own():
    """Also where the second sheet of one paper is called as another paper."""
    text = """\
---
title: Cards
summary: Three cards.
drawn_in: mm
lengths: {a: 180 mm}
editions: {in: {a: 7 in}}
papers: {card: {}, card_2: {}}
sheets: [A4]
---

## Cut

Cut three.

```geometry
one = sheet(width=a, height=a, paper=card)
two = sheet(width=a, height=a, paper=card)
three = sheet(width=a, height=a, paper=card_2)
```
"""
    loaded = load_text(text, "cards/index.md", BENCHES, "cards")
    assert loaded.tutorial is not None, loaded.findings
    names = [file.name for file in template_files(loaded.tutorial, ["mm"]).files if file.kind == "cutting"]
    assert len(names) == len(set(names)) == 6, names

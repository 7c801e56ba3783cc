"""Pieces for templates: the caddy, and rectangles and stars of any size with marks in them."""
from __future__ import annotations

import math
from fractions import Fraction

from hypothesis import strategies as st

from generator.drawing.templates.page import PageHeading, TemplateFace
from generator.drawing.templates.plan import TrueSizePiece, true_size_piece
from generator.geometry import Circle, Point
from generator.paper.records import Plan
from generator.units import Quantity
from tests.drawing.sample_plans import Work, caddy, loop

CADDY = caddy("mm")


def heading(paper: str, face: TemplateFace = TemplateFace.INSIDE, system: str = "mm") -> PageHeading:
    """A heading for tests."""
    return PageHeading("Tea caddy", system, "ABC123", paper, face)


def caddy_plates(face: TemplateFace = TemplateFace.INSIDE, system: str = "mm") -> list[TrueSizePiece]:
    """The caddy's only piece of paper."""
    return [true_size_piece(CADDY if system == "mm" else caddy("in"), 0, face)]


def strip(width, height, scores=(), holes=()) -> Plan:
    """A rectangle with upright scores at these shares of its width, and holes at these (share,
    share) of it.
    """
    work = Work("mm")
    work.next_step()
    w, h = Fraction(width), Fraction(height)
    work.sheet("strip", Quantity(w, 1), Quantity(h, 1))
    work.next_step()
    places = [Quantity(w * Fraction(s), 1) for s in scores]
    if places:
        work.upright("score", "lines", places, 0, h)
    if holes:
        circles = [Circle(Point(w * Fraction(a), h * Fraction(b)), min(w, h) / 20) for a, b in holes]
        work.marks("punch", "eyes", circles, positions=[((Quantity(c.center.x, 1), None),) for c in circles])
    return work.plan()


def star(points: int, radius: float) -> Plan:
    """A star: an outline that turns in and out."""
    work = Work("mm")
    work.next_step()
    corners = [(radius * (1 + size * math.cos(k * math.pi / points)),
                radius * (1 + size * math.sin(k * math.pi / points)))
               for k in range(2 * points) for size in ((1.0, 0.45)[k % 2],)]
    work.sheet("star", Quantity(Fraction(2 * radius), 1), Quantity(Fraction(2 * radius), 1))
    work.change("remove", outline=work.rims(loop(*corners)))
    return work.plan()


SHARE = st.integers(1, 99).map(lambda n: Fraction(n, 100))
SIZE = st.integers(6, 900)
STRIPS = st.builds(strip, SIZE, SIZE, st.lists(SHARE, max_size=5, unique=True),
                   st.lists(st.tuples(st.integers(10, 90).map(lambda n: Fraction(n, 100)),
                                      st.integers(10, 90).map(lambda n: Fraction(n, 100))), max_size=4,
                                      unique=True))
STARS = st.builds(star, st.integers(3, 9), st.integers(20, 400).map(float))
NETS = st.one_of(STRIPS, STARS)


def lines_of(plan: Plan) -> list:
    """Every line and circle of a plan's first piece, straight from its records."""
    state = plan.state(0)
    strokes = [rim.stroke for path in (state.outline, *state.holes) for rim in path]
    return strokes + [run for mark in state.marks for run in mark.runs]

"""Strips with marks anywhere, in both editions, for properties of pictures."""
from __future__ import annotations

from fractions import Fraction

from hypothesis import strategies as st

from generator.geometry import Circle, Line, Point
from generator.paper.records import Orientation, Plan, Side
from generator.units import Quantity
from tests.drawing.sample_plans import INCH, Work

MM = st.integers(min_value=8, max_value=400)
SHARES = st.lists(st.integers(min_value=1, max_value=199), min_size=1, max_size=40, unique=True).map(sorted)
SIDES = {"x": (Side.LEFT, Side.RIGHT), "y": (Side.BOTTOM, Side.TOP)}
VERBS = st.sampled_from(("score", "cut", "tick"))
SERIES = st.tuples(st.sampled_from("xy"), st.booleans(), VERBS, SHARES, st.booleans())


@st.composite
def jobs(draw):
    """(width, height, series of marks, shares of holes, lie): a job that :func:`made` can do in either
    edition.
    """
    wide, high = draw(MM), draw(MM)
    holes = draw(st.lists(st.tuples(st.integers(20, 180), st.integers(20, 180)), max_size=6, unique=True))
    orientation = Orientation(draw(st.integers(0, 3)), draw(st.booleans()))
    return wide, high, draw(st.lists(SERIES, min_size=1, max_size=3)), holes, orientation, draw(st.booleans())


def plans(job) -> tuple[Plan, Plan]:
    """A job in millimetres and, at other sizes, in inches."""
    return made("mm", Fraction(1), job), made("in", INCH / 24, job)


def made(system: str, unit: Fraction, job) -> Plan:
    """Step 1 cuts the strip and lays it as wanted, step 2 marks it; with the last flag all is one step."""
    wide, high, series, holes, orientation, at_once = job
    work = Work(system)
    work.next_step()
    width, height = Quantity(wide * unit, 1), Quantity(high * unit, 1)
    work.sheet("strip", width, height)
    if not at_once:
        work.set_orientation("turn", orientation)
        work.next_step()
    for axis, far, verb, shares, short in series:
        _series(work, axis, SIDES[axis][far], verb, shares, short, orientation if not at_once
                else Orientation())
    if holes:
        _holes(work, holes, unit, orientation if not at_once else Orientation())
    return work.plan()


def _size(work: Work, axis: str, orientation: Orientation) -> Quantity:
    state = work.state()
    return state.width if (axis == "x") == (orientation.quarters % 2 == 0) else state.height


def _own(work: Work, orientation: Orientation, x, y) -> Point:
    """A point as seen (from the lower left corner as it lies) in the own frame."""
    w, h = work.state().width.value, work.state().height.value
    wide = w if orientation.quarters % 2 == 0 else h
    if orientation.over:
        x = wide - x
    return {0: Point(x, y), 1: Point(w - y, x), 2: Point(w - x, h - y),
            3: Point(y, h - x)}[orientation.quarters]


def _series(work: Work, axis: str, side: Side, verb: str, shares, short: bool,
            orientation: Orientation) -> None:
    along, across = _size(work, axis, orientation).value, _size(work, "y" if axis == "x" else "x",
                                                                orientation).value
    low, high = (across * 3 / 4, across) if short else (Fraction(0), across)
    strokes, places = [], []
    for share in shares:
        place = along * share / 200
        at = place if side in (Side.LEFT, Side.BOTTOM) else along - place
        ends = [(at, low), (at, high)] if axis == "x" else [(low, at), (high, at)]
        a, b = (_own(work, orientation, x, y) for x, y in ends)
        strokes.append(Line(a, b))
        places.append(Quantity(place, 1))
    own = axis if orientation.quarters % 2 == 0 else {"x": "y", "y": "x"}[axis]
    work.marks(verb, f"m{work.made}", strokes, places, own, side)


def _holes(work: Work, holes, unit, orientation: Orientation) -> None:
    wide, high = _size(work, "x", orientation).value, _size(work, "y", orientation).value
    circles = [Circle(_own(work, orientation, wide * a / 200, high * b / 200), Fraction(3, 2) * unit) for a,
               b in holes]
    told = [((Quantity(wide * a / 200, 1), Side.LEFT), (Quantity(high * b / 200, 1), Side.BOTTOM)) for a,
            b in holes]
    work.marks("punch", "eyes", circles, positions=told, sizes=(Quantity(3 * unit, 1),))

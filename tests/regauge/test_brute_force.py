"""The ranked list against brute force: every mark of the rule tried for every length, nothing cut off,
nothing shared.
"""
from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from math import sqrt

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tests.regauge.sample_boxes import INCH, answer, sheet_of, wish

BOARD, TRIMMER, RULE = INCH / 8, INCH / 16, INCH / 16
Point = dict[str, Fraction]


@dataclass(frozen=True)
class Design:
    """A box written down twice: as a source, and as plain arithmetic."""

    drawn: Point
    fence: str
    # (position in mm, what it must be a multiple of)
    marks: Callable[[Point], list[tuple[Fraction, Fraction]]]
    holds: Callable[[Point], bool] = lambda _: True
    sizes: Callable[[Point], list[float]] = lambda _: []

    @property
    def source(self) -> str:
        return sheet_of(", ".join(f"{n}: {float(v):g} mm" for n, v in self.drawn.items()), self.fence)


def finest(design: Design, name: str) -> Fraction:
    """The finest grid of the tools that make marks with a length: its marks move when it does."""
    moved = {**design.drawn, name: design.drawn[name] + Fraction(1, 7)}
    steps = [step for (a, step), (b, _) in zip(design.marks(design.drawn), design.marks(moved), strict=True)
             if a != b]
    return min(steps, default=RULE)


def every_point(design: Design, within: Fraction) -> list[Point]:
    """All choices of rule marks in the windows for which every mark lies on its tool and every requirement
    holds.
    """
    lines = []
    for name, drawn in design.drawn.items():
        reach = max(drawn * within, finest(design, name))
        lines.append([k * RULE for k in range(1, int((drawn + reach) / RULE) + 1)
                      if k * RULE >= drawn - reach])
    found = (dict(zip(design.drawn, values, strict=True)) for values in product(*lines))
    return [at for at in found if all(p % step == 0 for p, step in design.marks(at)) and design.holds(at)]


def ranked(design: Design, points: list[Point], prefer: str) -> list[Point]:
    """All of them in order: close (finished size, then the sum of changes, then coarser marks), or friendly
    first.
    """
    def key(at: Point) -> tuple:
        sizes = [round(abs(b - a) / a, 12) for a,
                 b in zip(design.sizes(design.drawn), design.sizes(at), strict=True)]
        total = sum(abs(v - design.drawn[n]) / design.drawn[n] for n, v in at.items())
        inches = [v / INCH for v in at.values()]
        fine = [sum(1 for v in inches if v.denominator == parts) for parts in (16, 8)]
        fine = [sum(1 for v in inches if v.denominator > 16), *fine]
        close = (max(sizes, default=0.0), total)
        return (*((*close, fine) if prefer == "close" else (fine, *close)), [at[n] for n in sorted(at)])
    return sorted(points, key=key)


def sleeve(panel: int, wall: int, tab: int, count: int, half: bool) -> Design:
    """A strip scored into panels, ticked half-way or not."""
    tick = "\npeaks = tick(strip, x=midway(panels), edge=top)" if half else ""

    def marks(at: Point) -> list[tuple[Fraction, Fraction]]:
        rows = [(k * at["panel"], BOARD) for k in range(1, count + 1)]
        ticks = [((k + Fraction(1, 2)) * at["panel"], BOARD) for k in range(count)] if half else []
        return [(count * at["panel"] + at["tab"], TRIMMER), (at["wall"], TRIMMER), *rows, *ticks]
    fence = (f"strip = sheet(width={count}*panel + tab, height=wall)\npanels = score(strip, x=every(panel, "
             f"{count})){tick}\n")
    return Design({"panel": Fraction(panel), "wall": Fraction(wall), "tab": Fraction(tab)},
                  fence + "finish(width=panel, height=wall)\nexpect(tab < panel)", marks,
                  lambda at: at["tab"] < at["panel"], lambda at: [float(at["panel"]), float(at["wall"])])


def tray(floor: int, side: int, rim: int) -> Design:
    """A floor between walls, with a diagonal that must stay shorter than a limit and a finished size with a
    root in it.
    """
    def marks(at: Point) -> list[tuple[Fraction, Fraction]]:
        whole = at["floor"] + 2 * at["side"]
        return [(whole + at["rim"], TRIMMER), (whole, TRIMMER), (at["side"], BOARD),
                (at["side"] + at["floor"], BOARD),
                (whole, BOARD)]
    fence = ("tray = sheet(width=floor + 2*side + rim, height=floor + 2*side)\n"
             "edges = score(tray, x=along(side, floor, side))\n"
             "expect(hypot(floor, side) <= 2*floor)\n"
             "expect(floor >= 2*rim)\n"
             "finish(width=sqrt(floor*floor + side*side), height=side)")
    return Design({"floor": Fraction(floor), "side": Fraction(side), "rim": Fraction(rim)}, fence, marks,
                  lambda at: sqrt(at["floor"] ** 2 + at["side"] ** 2) <= 2 * at["floor"]
                  and at["floor"] >= 2 * at["rim"],
                  lambda at: [sqrt(at["floor"] ** 2 + at["side"] ** 2), float(at["side"])])


def two_strips(a: int, b: int, c: int, d: int) -> Design:
    """Two strips that have nothing to do with each other, and no finished size: four parts are put
    together.
    """
    def marks(at: Point) -> list[tuple[Fraction, Fraction]]:
        return [(at["a"], TRIMMER), (at["b"], TRIMMER), (at["c"], TRIMMER), (at["d"], TRIMMER),
                (at["a"] / 2, BOARD)]
    fence = ("one = sheet(width=a, height=b)\ntwo = sheet(width=c, height=d)\nline = score(one, x=a/2)")
    return Design({"a": Fraction(a), "b": Fraction(b), "c": Fraction(c), "d": Fraction(d)}, fence, marks)


def from_sheet(width: Fraction, height: Fraction, w: Fraction, h: Fraction) -> int:
    """How many w × h come out of a sheet with cuts from edge to edge, either way round, by trying every first
    cut.
    """
    known: dict[tuple[Fraction, Fraction], int] = {}

    def most(x: Fraction, y: Fraction) -> int:
        if (x, y) not in known:
            fits = (w <= x and h <= y) or (h <= x and w <= y)
            cuts = [most(side, y) + most(x - side, y) for side in (w, h) if side < x]
            cuts += [most(x, side) + most(x, y - side) for side in (w, h) if side < y]
            known[x, y] = max([int(fits), *cuts])
        return known[x, y]
    return most(width, height)


def assert_same_choices(design: Design, prefer: str, within: int) -> None:
    """The tool's five choices are the first five of brute force, in the same order, and it covers as many
    points.
    """
    found = answer(design.source, wish(within=within, prefer=prefer))
    points = every_point(design, Fraction(within, 100))
    assert [t.values for t in found.leading.best] == ranked(design, points, prefer)[:5]
    assert found.leading.certain
    if points:
        free = Design(design.drawn, design.fence, design.marks)
        assert found.leading.counts.covered == len(every_point(free, Fraction(within, 100)))


@settings(deadline=None, max_examples=12)
@given(st.integers(20, 60), st.integers(30, 70), st.integers(6, 18), st.integers(2, 5), st.booleans(),
       st.sampled_from(("close", "friendly")))
def test_sleeves_are_ranked_as_by_brute_force(panel, wall, tab, count, half, prefer):
    """Panels, wall and tab of any size: the five best, in order."""
    assert_same_choices(sleeve(panel, wall, tab, count, half), prefer, 8)


@settings(deadline=None, max_examples=12)
@given(st.integers(30, 60), st.integers(12, 28), st.integers(4, 14), st.sampled_from(("close", "friendly")))
def test_trays_are_ranked_as_by_brute_force(floor, side, rim, prefer):
    """Sums that run through several lengths, roots in requirements and in the finished size."""
    design = tray(floor, side, rim)
    assume(design.holds(design.drawn))
    assert_same_choices(design, prefer, 10)


@pytest.mark.parametrize("prefer", ["close", "friendly"])
def test_a_wide_window(prefer):
    """Many points: with 25 % there are hundreds, and still the first five are theirs."""
    assert_same_choices(sleeve(40, 60, 12, 3, True), prefer, 25)


@settings(deadline=None, max_examples=8)
@given(*[st.integers(18, 40)] * 4, st.sampled_from(("close", "friendly")))
def test_lengths_apart_are_put_together_as_by_brute_force(a, b, c, d, prefer):
    """What is searched apart is ranked as if it had been searched as one."""
    assert_same_choices(two_strips(a, b, c, d), prefer, 8)


@pytest.mark.parametrize(("panel", "wall", "tab", "number"),
                         [(40, 60, 12, 7), (40, 58, 12, 8), (28, 52, 8, 12), (45, 64, 14, 6),
                          (45, 64, 14, 9)])
def test_yields_bound_the_choices_as_by_brute_force(panel, wall, tab, number):
    """So many strips from a Letter sheet: the five best of those that come out of it, by cutting
    tried out.
    """
    plain = sleeve(panel, wall, tab, 3, False)
    design = Design(plain.drawn, plain.fence, plain.marks, lambda at: plain.holds(at) and from_sheet(
        INCH * 17 / 2, INCH * 11, 3 * at["panel"] + at["tab"], at["wall"]) >= number, plain.sizes)
    found = answer(design.source, wish(("letter", number), within=12))
    wanted = ranked(design, every_point(design, Fraction(12, 100)), "close")[:5]
    assert [t.values for t in found.leading.best] == wanted
    # the sheet does bind
    assert wanted != ranked(plain, every_point(plain, Fraction(12, 100)), "close")[:5]

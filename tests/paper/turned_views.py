"""The table as the reader sees it: pictures of a piece, turned by hand.

A picture is a list of points. ``quarter`` turns it clockwise, ``over`` turns
it over about its upright middle line; either way it is then laid back with
its lower left corner at the origin.
"""
from __future__ import annotations

from collections.abc import Callable, Sequence

Points = list[tuple[float, float]]
Move = Callable[[Points], Points]

# what the source says, and what happens to the picture
TURNS: dict[str, tuple[str, ...]] = {
    "as it was": (),
    "a quarter": ("turn(p, quarter)",),
    "half round": ("turn(p, half)",),
    "a quarter back": ("turn(p, quarter_back)",),
    "over": ("turn_over(p)",),
    "over, then a quarter": ("turn_over(p)", "turn(p, quarter)"),
    "a quarter, then over": ("turn(p, quarter)", "turn_over(p)"),
    "over, then a quarter back": ("turn_over(p)", "turn(p, quarter_back)"),
    "half round, then over": ("turn(p, half)", "turn_over(p)"),
    "over twice with a quarter between": ("turn_over(p)", "turn(p, quarter)", "turn_over(p)"),
}


def clockwise(points: Points) -> Points:
    """A quarter turn clockwise: what was at the left lies at the top."""
    return [(y, -x) for x, y in points]


def turned_page(points: Points) -> Points:
    """Turned over as one turns a page: left and right change places."""
    return [(-x, y) for x, y in points]


MOVES: dict[str, tuple[Move, ...]] = {
    "turn(p, quarter)": (clockwise,), "turn(p, half)": (clockwise, clockwise),
    "turn(p, quarter_back)": (clockwise, clockwise, clockwise), "turn_over(p)": (turned_page,),
}


def quarters(turns: Sequence[str]) -> int:
    """How many quarter turns there are in all: an odd number exchanges width and height."""
    return sum(len(MOVES[turn]) for turn in turns if turn != "turn_over(p)")


def seen(points: Points, turns: Sequence[str], corner: Points) -> Points:
    """Points of a picture after these turns.

    ``corner`` are all corners of the piece, which find its new lower left.
    """
    for turn in turns:
        for move in MOVES[turn]:
            points, corner = move(points), move(corner)
    left, low = min(x for x, _ in corner), min(y for _, y in corner)
    return [(x - left, y - low) for x, y in points]

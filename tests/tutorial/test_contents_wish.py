"""What goes into a box, read from words."""
from __future__ import annotations

import pytest

from generator.tutorial.contents_wish import UnclearWish, read_wish


@pytest.mark.parametrize(("words", "count", "sides"), [
    ("54 mm across, 70 mm high", 1, (54, None, 70)),
    ("candle, 5.4 cm across, 7 cm tall", 1, (54, None, 70)),
    ("2 in across, 1 1/2 in high", 1, (50.8, None, 38.1)),
    ("60 mm wide, 40 mm deep, 20 mm high", 1, (60, 40, 20)),
    ("a ball, 45 mm across", 1, (45, None, None)),
    ("4 biscuits, 60 mm across, 9 mm high, stacked", 4, (60, None, 36)),
    ("3 balls, 40 mm across, stacked", 3, (40, None, 120)),
    ("2 jars, 60 mm across, 80 mm high, in a row", 2, (120, 60, 80)),
    # a row along 20 mm leaves 60 × 60 mm, along 60 mm it would leave 180 × 20 mm
    ("3 bars of soap, 60 mm wide, 20 mm deep, 30 mm high, side by side", 3, (60, 60, 30))])
def test_a_wish_by_hand(words, count, sides):
    """How many things there are, and the body around all of them, in mm."""
    wish = read_wish(words)
    room = wish.room
    assert wish.count == count
    assert tuple(None if mm is None else float(mm) for mm in (room.width, room.depth, room.height)) == sides


@pytest.mark.parametrize(("words", "reason"), [
    ("", "no side of a thing is given"), ("54 mm across", "how high it is is missing"),
    ("54 mm wide, 70 mm high", "how deep it is is missing"),
    ("54 mm across, 40 mm deep, 70 mm high", "what is round"),
    ("54 mm across, 60 mm across, 70 mm high", "given twice"),
    ("54 across, 70 mm high", "54 across"), ("0 mm across, 70 mm high", "0 mm is nothing"),
    ("54 mm across, 3 in high", "in one system"), ("54 mm", "is no side of a thing"),
    ("4 biscuits, 60 mm across, 9 mm high", "say “stacked” or “in a row”"),
    ("4 biscuits, 60 mm across, 9 mm high, stacked, in a row", "leave one out"),
    ("0 biscuits, 60 mm across, 9 mm high, stacked", "no number for one box")])
def test_what_is_unclear_is_asked_for(words, reason):
    """Each is refused with what is missing or contradicts."""
    with pytest.raises(UnclearWish, match=reason):
        read_wish(words)

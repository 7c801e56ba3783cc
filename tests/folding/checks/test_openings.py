"""Holes and windows: clear of folds, alike on panels that meet, and covered."""
from __future__ import annotations

import pytest

from tests.folding.checks.sources import SLEEVE, found

SPOT = "spot = punch(strip, x={}, y=wall/2, diameter=hole)\nfold(posts"


def with_spot(x: str) -> list[tuple[str, str]]:
    """A sleeve with one hole, found as codes and statements."""
    return found(SLEEVE, ("fold(posts", SPOT.format(x)))


@pytest.mark.parametrize(("x", "clear"), (("posts.first", False), ("posts.first + hole/4", False),
                                          ("posts.first + hole/2", False),
                                          ("posts.first + hole/2 + ease/5", True), ("front/2", True)))
def test_a_hole_does_not_touch_a_fold(x, clear):
    """Its rim may come near a score, 0.2 mm here, but not touch it (common practice, no source)."""
    assert {code for code, _ in with_spot(x)} == (set() if clear else {"hole-near-fold"})


def test_a_hole_beside_a_line_that_is_not_folded():
    """A line that only guides the eye tears nothing 0.2 mm from a rim."""
    line = "guide = score(strip, x=front/2, keep=flat)\n"
    assert found(SLEEVE, ("fold(posts", line + SPOT.format("front/2 + hole/2 + ease/5"))) == []


def test_a_window_over_a_fold():
    """The fold is parted where the window crosses it; within one panel, beside the tab, it is left alone."""
    window = "remove(strip, x={}..{}, y=lap..wall - lap)\nfold(posts"
    within = window.format("tab", "front - lap")
    over = window.format("front - lap", "front + lap")
    assert found(SLEEVE, ("fold(posts", within)) == []
    assert ("hole-near-fold", over.split("\n")[0]) in found(SLEEVE, ("fold(posts", over))


def test_a_tab_in_a_window():
    """A tab 15 wide shows by 5 mm in a window that begins 10 mm from the fold: the window is named."""
    window = "remove(strip, x=lap..front - lap, y=lap..wall - lap)"
    assert found(SLEEVE, ("fold(posts", f"{window}\nfold(posts")) == [("tab-sticks-out", window)]


@pytest.mark.parametrize(("gap", "crowded"), (("hole/2", True), ("hole", True), ("hole + ease/2", True),
                                              ("hole + ease", False)))
def test_holes_beside_each_other(gap, crowded):
    """Less than a millimetre of paper between two holes tears (common practice, no source)."""
    spots = f"spots = punch(strip, x=group(front/2, front/2 + {gap}), y=wall/2, diameter=hole)"
    assert found(SLEEVE, ("fold(posts", f"{spots}\nfold(posts")) == [("hole-near-edge", spots)] * crowded


@pytest.mark.parametrize(("more", "codes"), (("0*hole", []), ("hole/10", []), ("more", ["holes-apart"]),
                                             ("4*hole", [])))
def test_holes_of_panels_that_lie_on_each_other(more, codes):
    """As far from the fold on both sides they meet; 5 mm off they are apart; 16 mm off they are two holes.

    What is meant for each other lies within three widths (common practice, no source).
    """
    text = f"""
card_ = sheet(width=2*front, height=side)
spine = score(card_, x=front)
spots = punch(card_, x=group(front - lap, front + lap + {more}), y=side/2, diameter=hole)
fold(spine, mountain, by=180 deg)
"""
    assert [code for code, _ in found(text)] == codes


def test_holes_of_panels_that_stand_apart():
    """Opposite walls of a sleeve are 40 mm apart: their holes belong to nothing but themselves."""
    spots = ("spots = punch(strip, x=group(front - lap, front + side + lap), y=wall/2, "
             "diameter=hole)\nfold(posts")
    assert found(SLEEVE, ("fold(posts", spots)) == []


@pytest.mark.parametrize(("border", "codes"),
                         (("-hole/2", ["window-uncovered"]), ("0*hole", ["window-uncovered"]),
                                               ("0.9*hole/2", ["window-uncovered"]), ("1.1*hole/2", [])))
def test_a_film_reaches_two_millimetres_beyond_its_window(border, codes):
    """hole/2 is 2 mm (common practice, no source); the window is 40 by 60 mm in a wall of 60 by 80 mm."""
    film = f"""remove(strip, x=lap..front - lap, y=lap..wall - lap)
film = sheet(width=front - 2*lap + 2*({border}), height=wall - 2*lap + 2*({border}))
pane = faces(film, x=left..right, y=bottom..top)
fold(posts"""
    assert [code for code, _ in found(SLEEVE, ("fold(posts", film),
                                      ("glue(flap", "glue(pane, under=walls.first)\nglue(flap"), tab=10)
            ] == codes


@pytest.mark.parametrize(("near", "torn"), (("hole - ease/2", False), ("more/2", True)))
def test_an_opening_beside_an_edge(near, torn):
    """A window 3.5 mm below the rim stands, one 2.5 mm below it tears out (common practice, no source)."""
    window = f"remove(strip, x=lap..front - lap, y=wall/2..wall - ({near}))"
    assert (("hole-near-edge", window) in found(SLEEVE, ("fold(posts", f"{window}\nfold(posts"))) is torn

"""Panels that folds bring onto each other lie in some order."""
from __future__ import annotations

import pytest

from tests.folding.checks.sources import found

WAYS = {"M": "mountain", "V": "valley"}


@pytest.mark.parametrize(("lengths", "ways", "flat"), (
    ((60, 20, 20, 60), "MVM", True), ((60, 20, 20, 60), "MMM", False), ((60, 20, 20, 60), "VVV", False),
    ((60, 20, 20, 60), "MMV", True), ((20, 60, 60, 20), "MMM", True), ((20, 60, 60, 20), "VVV", True),
    ((30, 20, 25, 60), "MMM", False), ((60, 20, 25, 60), "MMM", False), ((60, 40, 30, 20), "MMM", True)))
def test_a_strip_with_three_folds(lengths, ways, flat):
    """It folds flat where crimps and folds of its ends leave nothing of it.

    E. Arkin and others, When can you fold a map?, 2004: a pair of folds of both directions is crimped round a
    segment no longer than its neighbours, an end is folded over a segment no shorter than itself.
    """
    text = ("strip = sheet(width=one + two + three + four, height=side, up=printed)\nlines = score(strip, "
            "x=along(one, two, three))\n")
    for k, way in enumerate(ways, 1):
        text += f"fold(lines[{k}], {WAYS[way]}, by=180 deg)\n"
    codes = {code for code, _ in found(text,
                                       **dict(zip(("one", "two", "three", "four"), lengths, strict=True)))}
    assert ("flat-layers" in codes) is not flat


def test_the_fold_that_mends_it_is_named():
    """Of three mountains on a strip 60, 20, 20, 60 mm long the middle one, turned, gives a pleat."""
    folds = [f"fold(lines[{k}], mountain, by=180 deg)" for k in (1, 3, 2)]
    text = "\n".join(["strip = sheet(width=2*front + side, height=side, up=printed)",
                      "lines = score(strip, x=group(front, front + side/2, front + side))", *folds])
    assert found(text) == [("flat-layers", folds[2])]

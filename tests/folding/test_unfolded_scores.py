"""A fold that forgets a score of its row, or a part of one, is named.

Scores of no fold are named themselves.
"""
from __future__ import annotations

from tests.folding.checks.sources import SLEEVE, found

POSTS = "fold(posts, mountain, by=90 deg)"


def test_one_of_a_row_is_not_folded():
    """The fold of the other three forgot it."""
    forgot = POSTS.replace("posts", "posts[1..3]")
    assert ("score-unfolded", forgot) in found(SLEEVE, (POSTS, forgot))


def test_a_part_of_a_row_is_not_folded():
    """Folded along half of their height, the scores end inside the paper."""
    half = POSTS.replace("mountain", "mountain, y=bottom..wall/2")
    assert ("score-unfolded", half) in found(SLEEVE, (POSTS, half))


def test_a_row_is_folded_by_two_statements():
    """What one leaves the other takes."""
    both = POSTS.replace("posts", "posts[1..2]") + "\n" + POSTS.replace("posts", "posts[3..4]")
    assert found(SLEEVE, (POSTS, both)) == []


def test_a_score_that_no_fold_is_told_of():
    """It stands across all panels, and nothing like it is folded: the score itself is too much."""
    level = "level = score(strip, y=lap)"
    assert ("score-unfolded", level) in found(SLEEVE, ("fold(posts", level + "\nfold(posts"))
    kept = level.replace("y=lap", "y=lap, keep=flat")
    assert found(SLEEVE, ("fold(posts", kept + "\nfold(posts")) == []

"""The revision mark tells what is made in one edition from what is made otherwise, and nothing else."""
from __future__ import annotations

import hashlib
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from generator.tutorial.revision import mark_of
from tests.tutorial.small_source import FENCE, FRONT, PROSE, STANDING, front, load, source, tutorial

MARKS = tutorial(source()).revisions
MARK = MARKS["mm"]


def test_it_is_six_characters_of_crockfords_alphabet():
    """Digits and capitals without I, L, O and U (Crockford's base 32, as published)."""
    for mark in MARKS.values():
        assert re.fullmatch(r"[0-9A-HJKMNP-TV-Z]{6}", mark) and not set(mark) & set("ILOU")


@pytest.mark.parametrize("text", [
    source(prose=PROSE + " Mind your fingers."), source(prose="{{ panel }}, {{ wall }}, {{ tab }}"),
    source(front=front("A sleeve for seed packets", "Another title")),
    source().replace("It holds seeds.", "It holds beans."),
    source().replace("## Make it", "## Make the sleeve"),
    source(fence=FENCE.replace("panels", "lines"), prose=PROSE.replace("panels", "lines")),
    source(fence=FENCE + "\nhalf_way = panel/2", prose=PROSE + " {{ half_way }}"),
    source(fence=FENCE.replace("\n", "\n\n# a remark\n"))])
def test_words_do_not_change_it(text):
    """Prose, titles, remarks, names of marks and sums that make no mark leave the plan as it is."""
    assert tutorial(text).revisions == MARKS


@pytest.mark.parametrize("text", [
    source(front=front("200 gsm", "220 gsm")), source(front=front("0.26 mm", "0.3 mm")),
    source(front=front("200 gsm", "200 gsm, grain: along"))])
def test_another_paper_moves_no_line(text):
    """A heavier or thicker paper leaves old prints as good as they were."""
    assert tutorial(text).revisions == MARKS


def test_what_one_edition_measures_leaves_the_other():
    """A length of one edition alone changes the mark of that edition alone."""
    inch = tutorial(source(front=front("wall: 2 1/2 in", "wall: 2 7/16 in"))).revisions
    metric = tutorial(source(front=front("wall: 60 mm", "wall: 61 mm"))).revisions
    assert inch["mm"] == MARKS["mm"] and inch["in"] != MARKS["in"]
    assert metric["in"] == MARKS["in"] and metric["mm"] != MARKS["mm"]


TAB = "\nw = faces(strip, x=panels.bays)\nf = faces(strip, x=panels.last..right)\n"
ROLLED = FENCE.replace("mountain", "valley")        # so that its sides come to lie on each other
CHANGES = {
    "a length of the drawn edition": source(front=front("wall: 60 mm", "wall: 61 mm")),
    "a count": source(front=front("sides: 4", "sides: 5")),
    "the side that lies up": source(fence=FENCE.replace("paper=card", "paper=card, up=printed")),
    "a fold's direction": source(fence=FENCE.replace("mountain", "valley")),
    "a fold's angle": source(fence=FENCE.replace("mountain", "mountain, by=90 deg")),
    "a wider sheet": source(fence=FENCE.replace("tab,", "panel,")),
    "the edge it is measured from": source(fence=FENCE.replace("sides))",
                                                               "sides), measured_from=right)").replace("tab,",
    "panel,")),
    "the tool": source(fence=FENCE.replace("sides))", "sides), tool=rule)")),
    "one mark more": source(fence=FENCE + "\ntick(strip, x=panel/2, edge=top)"),
    "what is cut away": source(fence=FENCE + "\nremove(strip, x=panels.last..right, y=bottom..panel)"),
    "a turn": source(fence=FENCE + "\nturn(strip, quarter)"),
    "another turn": source(fence=FENCE + "\nturn(strip, half)"),
    "the finished size": source(fence=FENCE.replace("finish(width=panel,", "finish(depth=panel,")),
    "glue": source(fence=ROLLED + "\nf = faces(strip, x=panels.bays)\nglue(f)"),
    "the order of glue": source(fence=ROLLED + "\nf = faces(strip, x=panels.bays)\nglue(f, order=opposite)"),
    "over for under": source(fence=FENCE + TAB + "glue(f, over=w.first)"),
    "under for over": source(fence=FENCE + TAB + "glue(f, under=w.first)"),
}


def test_whatever_is_made_otherwise_changes_it():
    """Each change to what the reader makes gives a mark of its own, different from all others."""
    found = {name: tutorial(text).revisions["mm"] for name, text in CHANGES.items()}
    assert len({MARK, *found.values()}) == len(CHANGES) + 1, found


def test_the_step_of_a_mark_changes_it():
    """The same marks in two steps instead of one are another tutorial to follow."""
    two = source().replace("\nfold(panels", "\n```\n\n## Fold\n\nFold.\n\n```geometry\nfold(panels")
    assert tutorial(two).revisions["mm"] != MARK


def test_it_is_the_same_on_every_machine():
    """Another process with another seed for Python's hashes comes to the same mark."""
    code = ("from tests.tutorial.small_source import source, tutorial\n"
            "print(tutorial(source()).revisions['mm'])")
    for seed in ("0", "12345"):
        done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True,
                              cwd=Path(__file__).parents[2], env={**os.environ, "PYTHONHASHSEED": seed})
        assert done.stdout.strip() == MARK


def test_it_is_the_head_of_a_hash():
    """The mark of nothing is the head of SHA-256 of nothing: thirty bits, five by five, by hand here."""
    alphabet = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"      # Crockford's
    bits = "".join(f"{byte:08b}" for byte in hashlib.sha256(b"").digest())
    assert mark_of(()) == "".join(alphabet[int(bits[k:k + 5], 2)] for k in range(0, 30, 5))


def test_the_test_source_is_clean():
    """The source that all this is told of has no findings of its own."""
    assert load(source(STANDING)).findings == () and "{{" not in FRONT

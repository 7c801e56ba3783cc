"""The revision mark tells one plan from another, and nothing else."""
from __future__ import annotations

import hashlib
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from generator.tutorial.revision import revision_mark
from tests.tutorial.small_source import FENCE, FRONT, PROSE, STANDING, front, load, source, tutorial

MARK = tutorial(source()).revision


def test_it_is_six_characters_of_crockfords_alphabet():
    """Digits and capitals without I, L, O and U (Crockford's base 32, as published)."""
    assert re.fullmatch(r"[0-9A-HJKMNP-TV-Z]{6}", MARK) and not set(MARK) & set("ILOU")


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
    assert tutorial(text).revision == MARK


TAB = "\nw = faces(strip, x=panels.bays)\nf = faces(strip, x=panels.last..right)\n"
ROLLED = FENCE.replace("mountain", "valley")        # so that its sides come to lie on each other
CHANGES = {
    "a length of the drawn edition": source(front=front("wall: 60 mm", "wall: 61 mm")),
    "a length of the other edition": source(front=front("wall: 2 1/2 in", "wall: 2 7/16 in")),
    "a count": source(front=front("sides: 4", "sides: 5")),
    "a paper's weight": source(front=front("200 gsm", "220 gsm")),
    "a paper's thickness": source(front=front("0.26 mm", "0.3 mm")),
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
    found = {name: tutorial(text).revision for name, text in CHANGES.items()}
    assert len({MARK, *found.values()}) == len(CHANGES) + 1, found


def test_the_step_of_a_mark_changes_it():
    """The same marks in two steps instead of one are another tutorial to follow."""
    two = source().replace("\nfold(panels", "\n```\n\n## Fold\n\nFold.\n\n```geometry\nfold(panels")
    assert tutorial(two).revision != MARK


def test_it_is_the_same_on_every_machine():
    """Another process with another seed for Python's hashes comes to the same mark."""
    code = ("from tests.tutorial.small_source import source, tutorial\nprint(tutorial(source()).revision)")
    for seed in ("0", "12345"):
        done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True,
                              cwd=Path(__file__).parents[2], env={**os.environ, "PYTHONHASHSEED": seed})
        assert done.stdout.strip() == MARK


def test_it_is_the_head_of_a_hash():
    """The mark of no plans is the head of SHA-256 of nothing: thirty bits, five by five, worked out by hand
    here.
    """
    alphabet = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"      # Crockford's
    bits = "".join(f"{byte:08b}" for byte in hashlib.sha256(b"").digest())
    assert revision_mark({}) == "".join(alphabet[int(bits[k:k + 5], 2)] for k in range(0, 30, 5))


def test_the_test_source_is_clean():
    """The source that all this is told of has no findings of its own."""
    assert load(source(STANDING)).findings == () and "{{" not in FRONT

"""What stands between braces: numbers in words, plurals, sizes, differences, and why."""
from __future__ import annotations

from fractions import Fraction

import pytest

from generator.findings import FindingError
from tests.paper.statement_evaluation import evaluated, made, text_of

INCH = Fraction(127, 5)     # mm; NIST Handbook 44, Appendix C
SIZE = {"panel": 30, "tab": 12, "wall": 60}
STRIP = ("p = sheet(width=sides*panel + tab, height=wall)\nk = score(p, x=every(panel, sides))\n"
         "f = faces(p, x=k.bays)\n")


def said(expression: str, system: str = "mm", text: str = STRIP, **mm: object) -> str:
    """An expression of the prose in words."""
    done = evaluated(text, counts={"sides": 8}, system=system, **(mm or SIZE))
    assert not done.findings
    return text_of(done, expression)


@pytest.mark.parametrize(("expression", "words"), [
    ("words(sides)", "eight"), ("words(1)", "one"), ("words(21)", "twenty-one"),
    ("words(2*sides + 84)", "100"),
    ('plural(sides, "flap", "flaps")', "flaps"), ('plural(1, "flap", "flaps")', "flap"),
    ("size(p)", "252 mm × 60 mm"),
    ("size(f.first)", "30 mm × 60 mm"), ("more_than(wall, panel)", "30 mm"),
    ("why(p.width)", "8 × panel + tab"),
    ("why(k[3].marks)", "3 × panel"), ("why(panel/2 - tab)", "1/2 × panel − tab"),
    ("why(hypot(panel, tab))", "from panel, tab"),
    ("why(3)", "a plain number"), ("panel", "30 mm"),
    ("k.marks", "30, 60, 90, 120, 150, 180, 210 and 240 mm"),
    ("k[1..2].marks", "30 and 60 mm"),
    ("k.count", "8"), ("panel*wall", "18 cm²"), ("45 deg", "45°"), ("hypot(panel, wall)", "about 67.1 mm"),
    ("k.first.measured_from", "left"),
    ("180 deg / 7", "about 25.7°"), ("sides", "8"), ("sides/3", "about 2.67")])
def test_values_word_themselves(expression, words):
    """Lists say their unit once, what is not exact says about, counts are plain."""
    assert said(expression) == words


@pytest.mark.parametrize(("expression", "words"), [
    ("panel", "1 1/4 in"), ("k[1..2].marks", "1 1/4 and 2 1/2 in"), ("size(f.first)", "1 1/4 in × 2 3/8 in"),
    ("more_than(wall, panel)", "1 1/8 in"),
    ("hypot(panel, wall)", "about 2 11/16 in"), ("words(sides)", "eight"),
    ("why(p.width)", "8 × panel + tab")])
def test_values_word_themselves_in_inches(expression, words):
    """The same expressions in the inch edition, with its own values."""
    assert said(expression, "in", panel=INCH * 5 / 4, tab=INCH / 2, wall=INCH * 19 / 8) == words


@pytest.mark.parametrize(("expression", "code"), [
    ("p", "call-kind"), ("k", "call-kind"), ("f.first", "call-kind"),
    ("more_than(panel, wall)", "length-negative"),
    ("score(p, x=tab)", "call-place"),
    ("words(panel)", "call-kind"), ("plural(sides, 1, \"flaps\")", "call-kind"), ("size(k)", "call-kind"),
    ("nothing_such", "name-unknown"),
    ("panel + 1", "units-mixed"), ("k.bays.first.left", "call-kind")])
def test_what_has_no_words_is_refused(expression, code):
    """Pieces, marks and places have no words of their own; prose works on no paper."""
    done = made(STRIP, counts={"sides": 8}, **SIZE)
    with pytest.raises(FindingError) as trouble:
        text_of(done, expression)
    assert [f.code for f in trouble.value.findings] == [code]


def test_prose_reads_a_piece_as_it_lies_in_its_step():
    """Before the first step a piece is told as it is first laid, in a step as it lies after it."""
    done = made(STRIP + "turn(p, quarter)", counts={"sides": 8}, **SIZE)
    assert text_of(done, "size(p)", step=0) == "252 mm × 60 mm"
    assert text_of(done, "size(p)", step=1) == "60 mm × 252 mm" == text_of(done, "size(p)")


def test_prose_changes_nothing():
    """However often an expression is read, the plan stays as it is."""
    done = made(STRIP, counts={"sides": 8}, **SIZE)
    before = done.plan
    for _ in range(3):
        text_of(done, "midway(k).count")
    assert done.plan == before and len(before.acts) == 3

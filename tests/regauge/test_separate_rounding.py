"""What rounding number by number would have done, reckoned by hand."""
from __future__ import annotations

from fractions import Fraction

from generator.regauge import report_text
from tests.regauge.sample_boxes import CADDY, INCH, answer, sheet_of, six, wish


def test_the_panels_of_the_caddy():
    """Marks every 30 mm, each rounded to 1/16 in: seven panels of 1 3/16 and one of 1 1/8 in, the last mark
    1/16 in short.
    """
    found = answer(CADDY.read_text(encoding="utf-8")).separate_rounding
    row = next(row for row in found.rows if row.name == "panels")
    marks = [Fraction(round(30 * k / INCH * 16), 16) for k in range(9)]
    assert [w / INCH for w in row.widths] == [b - a for a, b in zip(marks, marks[1:], strict=False)]
    assert sorted(set(w / INCH for w in row.widths)) == [Fraction(9, 8), Fraction(19, 16)]
    assert row.gap / INCH == marks[8] - 8 * Fraction(19, 16) == Fraction(-1, 16)
    assert row.spread / INCH == Fraction(1, 16)


def test_marks_between_the_boards_marks_are_counted():
    """45, 90 … 270 mm to the nearest sixteenth: those that are no eighths fall between the marks of the
    board.
    """
    found = answer(six()).separate_rounding
    sixteenths = [round(45 * k / INCH * 16) for k in range(1, 7)]
    between = next(each for each in found.between if "'panels'" in each.what)
    assert (len(between.positions), between.count) == (sum(n % 2 for n in sixteenths), 6)
    assert [p / INCH * 16 for p in between.positions] == [n for n in sixteenths if n % 2]


def test_what_no_longer_holds_is_told():
    """Rounded by themselves, the crown of the caddy is too high to close, and the strip of the box too long
    for Letter.
    """
    caddy = answer(CADDY.read_text(encoding="utf-8"))
    assert any(f.code == "expect-fails" and "gathered top" in f.message
               for f in caddy.separate_rounding.wrong)
    box = answer(six(47), wish(("letter", 1)))
    assert [f.message for f in box.separate_rounding.wrong] == [
        "one Letter sheet would give fewer than one blank"]
    assert "one Letter sheet would give fewer than one blank" in report_text(box)


def test_where_it_would_have_done_no_harm_nothing_is_said():
    """25.4 mm and its multiples are whole inches."""
    text = sheet_of("panel: 25.4 mm, wall: 50.8 mm", "strip = sheet(width=4*panel, height=wall)\n"
                    "panels = score(strip, x=every(panel, 3))")
    found = answer(text).separate_rounding
    assert not found.between and not found.wrong and not found.rows[0].spread and not found.rows[0].gap
    assert "unequal" not in report_text(answer(text)) and "misses" not in report_text(answer(text))

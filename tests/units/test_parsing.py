"""Lengths and angles as people type them."""
from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.units import Angle, QuantityError, parse_angle, parse_length, unit_of
from tests.time_limits import examples
from tests.units.strategies import INCH, inch_lengths, metric_lengths

quick = settings(deadline=None)

READ = [  # as typed, in mm
    ("32 mm", 32), ("3.2 cm", 32), ("0.032 m", 32), ("32mm", 32), ("  32   mm ", 32), ("032.0 mm", 32),
    ("1/2 mm", Fraction(1, 2)), ("0.26 mm", Fraction(13, 50)), (".05 cm", Fraction(1, 2)), ("1 1/2 cm", 15),
    ("1 1/4 in", Fraction("31.75")), ("1-1/4 in", Fraction("31.75")), ('1 1/4"', Fraction("31.75")),
    ("1¼ in", Fraction("31.75")), ("1 ¼ in", Fraction("31.75")), ("1.25 in", Fraction("31.75")),
    ("1 1⁄4 in", Fraction("31.75")), ("1\u202f1⁄4\u00a0in", Fraction("31.75")),
    ("1‑1/4 in", Fraction("31.75")),
    ("5/4 in", Fraction("31.75")), ("1 1 / 4 in", Fraction("31.75")), ("1¼″", Fraction("31.75")),
    ("5/16 in", Fraction("7.9375")), ("⅞ in", Fraction("22.225")), ('½"', Fraction("12.7")),
    ("2in", Fraction("50.8")), ('12"', Fraction("304.8")), ("0.25 in", Fraction("6.35")), ("⅓ in", INCH / 3),
]

REFUSED = [  # as typed, message, hint
    ("", "no length is given", "write a number and its unit, such as 32 mm or 1 1/4 in"),
    (" \u00a0 ", "no length is given", "write a number and its unit, such as 32 mm or 1 1/4 in"),
    ("30", "the length 30 has no unit", "write 30 mm, 30 cm or 30 in"),
    ("1 ¼", "the length 1 1/4 has no unit", "write 1 1/4 mm, 1 1/4 cm or 1 1/4 in"),
    ("30 furlong", "furlong is not a unit that lengths have here", "use mm, cm, m or in"),
    ("12 inches", "inches is not a unit that lengths have here", "write 12 in"),
    ("30 MM", "MM is not a unit that lengths have here", "write 30 mm"),
    ("3 milimetres", "milimetres is not a unit that lengths have here",
     "did you mean mm? Use mm, cm, m or in"),
    ("2 ft", "ft is not a unit that lengths have here", "write feet as inches: 1 ft is 12 in"),
    ("2'", "' is not a unit that lengths have here", "write feet as inches: 1 ft is 12 in"),
    ("1”", "” is not a unit that lengths have here", "write 1 in"),
    ("60 deg", "deg is not a unit that lengths have here", "use mm, cm, m or in"),
    ("-3 mm", "-3 mm is below nothing", "give a length above nothing"),
    ("−3 mm", "-3 mm is below nothing", "give a length above nothing"),
    ("0 mm", "0 mm is nothing", "give a length above nothing"),
    ("0/4 in", "0/4 in is nothing", "give a length above nothing"),
    ("1/0 in", "1/0 in has a fraction that divides by nothing", "write a fraction such as 1/4"),
    ("1 5/4 in", "the fraction 5/4 of 1 5/4 in is not less than one", "write 2 1/4 in"),
    ("1-4/4 in", "the fraction 4/4 of 1-4/4 in is not less than one", "write 2 in"),
    ("3,2 cm", "3,2 cm has a comma in its number", "write 3.2 cm, with a point"),
    ("10,5 mm", "10,5 mm has a comma in its number", "write 10.5 mm, with a point"),
    ("1,000 mm", "1,000 mm has a comma in its number",
     "write 1000 mm without a comma, or 1.000 mm with a point"),
    ("1,0000 mm", "1,0000 mm has a comma in its number", "write 1.0000 mm, with a point"),
    ("mm", '"mm" does not begin with a number', "write a number and its unit, such as 32 mm or 1 1/4 in"),
    ("about 3 mm", '"about 3 mm" does not begin with a number',
     "write a number and its unit, such as 32 mm or 1 1/4 in"),
    ("٣ mm", '"٣ mm" does not begin with a number', "write a number and its unit, such as 32 mm or 1 1/4 in"),
    ("12x12 in", '"12x12 in" does not read as one number and its unit',
     "write a number and its unit, such as 32 mm or 1 1/4 in"),
    ("1 in 1/4", '"1 in 1/4" does not read as one number and its unit',
     "write a number and its unit, such as 32 mm or 1 1/4 in"),
    ("1 - 1/4 in", '"1 - 1/4 in" does not read as one number and its unit',
     "write a number and its unit, such as 32 mm or 1 1/4 in"),
    ("1.2.3 mm", '"1.2.3 mm" does not read as one number and its unit',
     "write a number and its unit, such as 32 mm or 1 1/4 in"),
    ("5. mm", '"5. mm" does not read as one number and its unit',
     "write a number and its unit, such as 32 mm or 1 1/4 in"),
    ("1/b in", '"1/b in" does not read as one number and its unit',
     "write a number and its unit, such as 32 mm or 1 1/4 in"),
    ("1e3 mm", '"1e3 mm" does not read as one number and its unit',
     "write a number and its unit, such as 32 mm or 1 1/4 in"),
    ("9" * 38 + " mm", "this is too long for a length: 99999999999999999999…",
     "write a number and its unit, such as 32 mm or 1 1/4 in"),
    ("9" * 37 + " mm", "9999999999999999999999999999999999999 mm is longer than any paper",
     "check its digits and its unit"),
]


@pytest.mark.parametrize(("text", "mm"), READ)
def test_a_length_is_read_exactly(text, mm):
    """Every accepted form gives an exact length without names."""
    read = parse_length(text)
    assert (read.value, read.power, read.names, read.form) == (mm, 1, frozenset(), None)
    assert read.exact


@pytest.mark.parametrize(("text", "message", "hint"), REFUSED)
def test_a_wrong_length_is_refused_with_what_would_mend_it(text, message, hint):
    """The refusal says what is wrong and what to write instead."""
    with pytest.raises(QuantityError) as caught:
        parse_length(text)
    assert (caught.value.code, str(caught.value), caught.value.hint) == ("length-wrong", message, hint)


@pytest.mark.parametrize("text", [text for text, *_ in REFUSED])
def test_the_unit_of_a_wrong_length_is_refused_alike(text):
    """What is no length has no system either."""
    with pytest.raises(QuantityError, match=".") as caught:
        unit_of(text)
    assert caught.value.code == "length-wrong"


@pytest.mark.parametrize(("text", "system"), [("32 mm", "mm"), ("3 cm", "mm"), ("1 m", "mm"), ("1¼ in", "in"),
                                              ('2"', "in"), ("2″", "in")])
def test_a_length_tells_its_system(text, system):
    """Inches are written in inches, everything else in the metric system."""
    assert unit_of(text) == system


@pytest.mark.parametrize(("text", "degrees"), [("60 deg", 60), ("60°", 60), ("22.5 deg", Fraction(45, 2)),
                                               ("22 1/2 deg", Fraction(45, 2)), ("0 deg", 0),
                                               ("360 deg", 360)])
def test_an_angle_is_read_exactly(text, degrees):
    """Degrees are exact, up to a whole turn."""
    assert parse_angle(text) == Angle(Fraction(degrees))
    assert parse_angle(text).exact


@pytest.mark.parametrize(("text", "message"), [
    ("", "no angle is given"), ("60", "the angle 60 has no unit"),
    ("60 mm", '"mm" is not a unit of angle here'),
    ("-5 deg", "-5 deg is below nothing"), ("361 deg", "361 deg is more than a whole turn"),
    ("1/0 deg", "1/0 deg has a fraction that divides by nothing"),
    ("22,5°", "22,5° has a comma in its number"),
    ("deg", '"deg" does not begin with a number'),
    ("9" * 50, "this is too long for an angle: " + "9" * 20 + "…"),
])
def test_a_wrong_angle_is_refused(text, message):
    """The refusal says what is wrong with it, and has a hint."""
    with pytest.raises(QuantityError) as caught:
        parse_angle(text)
    assert (caught.value.code, str(caught.value)) == ("angle-wrong", message)
    assert caught.value.hint


@quick
@given(inch_lengths, st.sampled_from(("{w} {n}/{d} in", '{w} {n}/{d}"', "{w}-{n}/{d} in", "{w}   {n} / {d}″",
                                      "{w} {n}⁄{d}in")))
def test_every_form_of_a_mixed_number_reads_alike(mm, form):
    """However whole and fraction are joined, and whatever the inch mark, it is the same length."""
    whole, rest = divmod(mm / INCH, 1)
    text = form.format(w=whole, n=rest.numerator, d=rest.denominator)
    assert parse_length(text).value == mm


@quick
@given(metric_lengths)
def test_every_metric_unit_reads_alike(mm):
    """Millimetres, centimetres and metres differ by tens and by nothing else."""
    tenths = int(mm * 10)
    for places, unit in ((1, "mm"), (2, "cm"), (4, "m")):
        whole, rest = divmod(tenths, 10 ** places)
        assert parse_length(f"{whole}.{rest:0{places}d} {unit}").value == mm


@settings(deadline=None, max_examples=examples(300))
@given(st.text(max_size=50) | st.text(alphabet="0123456789 ./-,¼⅟\"'mcin°deg", max_size=45))
def test_no_text_is_answered_with_anything_but_a_length_or_a_refusal(text):
    """Any text is read, or refused as a person would be told; nothing else comes out."""
    for read, code in ((parse_length, "length-wrong"), (parse_angle, "angle-wrong")):
        try:
            value = read(text)
        except QuantityError as error:
            assert error.code == code and str(error) and error.hint
        else:
            assert value.exact

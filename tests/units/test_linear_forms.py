"""Properties of sums over named lengths."""
from __future__ import annotations

from fractions import Fraction

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from generator.units import QuantityError
from tests.time_limits import examples
from tests.units.strategies import NAMES, all_sums, lengths_of, linear_sums, named_lengths, positive

quick = settings(deadline=None, max_examples=examples(150))


def worked(total, given_lengths):
    """The quantity of a sum; the example is dropped where the sum has no sense."""
    try:
        return total.value(lengths_of(given_lengths))
    except QuantityError as error:
        assert error.code == "number-wrong"
        assume(False)


@quick
@given(all_sums, named_lengths)
def test_quantities_come_to_what_plain_fractions_come_to(total, mm):
    """The value is the one of Python's own fractions; power and names are those of the expression."""
    result = worked(total, mm)
    assert result.value == total.plain(mm) and result.exact
    assert result.power == total.power
    assert result.names == total.names


@quick
@given(all_sums, named_lengths, positive)
def test_scaling_every_length_scales_every_result(total, mm, k):
    """With every named length k times as long, a length is k times, an area k² times what it was."""
    small = worked(total, mm)
    large = worked(total, {name: k * value for name, value in mm.items()})
    assert large.value == small.value * k ** small.power


@quick
@given(linear_sums, named_lengths, named_lengths)
def test_the_affine_form_agrees_with_the_value(total, mm, other):
    """A linear sum has a form, and with it comes out right for any other lengths."""
    form = worked(total, mm).form
    assert form is not None
    for lengths in (mm, other):
        assert worked(total, lengths).value == sum((c * lengths[name] for name, c in form.items()),
                                                   Fraction(0))
    assert all(form.values()), "what cancels is left out"


@quick
@given(linear_sums, named_lengths, st.sampled_from(NAMES))
def test_a_coefficient_is_how_much_one_more_millimetre_adds(total, mm, name):
    """The coefficient of a name is the difference that a millimetre more of it makes."""
    more = {**mm, name: mm[name] + 1}
    step = worked(total, more).value - worked(total, mm).value
    assert worked(total, mm).form.get(name, 0) == step


@quick
@given(all_sums, named_lengths, named_lengths)
def test_no_form_is_given_to_what_is_not_linear(total, mm, other):
    """Wherever there is a form, and the sum is a length, it holds for other lengths too."""
    result = worked(total, mm)
    if total.linear:
        assert result.form is not None
    if result.form is not None and result.power:
        assert worked(total, other).value == sum((c * other[n] for n, c in result.form.items()), Fraction(0))

"""Lines can be told apart without colour, and colours show on every ground."""
from __future__ import annotations

from itertools import combinations

import pytest

from generator.drawing.backends.stylesheet import standalone_style, stylesheet
from generator.drawing.pen import Role
from generator.drawing.style import GROUNDS, LINE_COLOURS, LINES, PALETTE, contrast, luminance

# check value 19: contrast on white of the Okabe–Ito palette (Okabe and Ito; WCAG 2.2, 1.4.11)
OKABE_ITO = {"#000000": 21.0, "#0072B2": 5.19, "#D55E00": 3.87, "#009E73": 3.42, "#CC79A7": 3.06}
TOO_PALE = ("#E69F00", "#56B4E9", "#F0E442")    # the rest of that palette; from memory


@pytest.mark.parametrize(("colour", "ratio"), OKABE_ITO.items())
def test_contrast_is_that_of_the_guidelines(colour, ratio):
    """The ratio agrees with published ones on white (WCAG 2.2, definition of contrast ratio)."""
    assert contrast(colour, "#ffffff") == pytest.approx(ratio, abs=0.006)


@pytest.mark.parametrize("colour", TOO_PALE)
def test_pale_colours_are_found_out(colour):
    """What the palette's authors made for areas fails as a line: 3:1 is not reached (WCAG 2.2, 1.4.11)."""
    assert contrast(colour, "#ffffff") < 3.0


def test_luminance_spans_black_to_white():
    """Black is 0 and white is 1 (WCAG 2.2, definition of relative luminance)."""
    assert luminance("#000000") == 0.0
    assert luminance("#ffffff") == pytest.approx(1.0)


@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("line", LINE_COLOURS)
def test_lines_and_words_show_on_every_ground(line, ground):
    """Every colour of lines also serves words, so 4.5:1 (WCAG 2.2, 1.4.3), above the 3:1 for lines
    (1.4.11).
    """
    assert contrast(PALETTE[line], PALETTE[ground]) >= 4.5


def look(role: Role, fresh: bool) -> tuple:
    """What a line looks like in black and white."""
    style = LINES[role]
    return style.width(fresh), style.dashes(fresh), style.round_ends


def test_every_role_has_a_line():
    """No line is left to the back end's taste."""
    assert set(LINES) == set(Role)


@pytest.mark.parametrize("fresh", [False, True])
def test_roles_can_be_told_apart_without_colour(fresh):
    """Two roles never look alike, save an edge and a cut, which both end the paper, and a tick and
    a frame.
    """
    alike = {frozenset((a, b)) for a, b in combinations(Role, 2) if look(a, fresh) == look(b, fresh)}
    assert alike == {frozenset((Role.EDGE, Role.CUT)), frozenset((Role.TICK, Role.FRAME))}


@pytest.mark.parametrize("role", list(Role))
def test_what_the_step_makes_is_stronger_than_what_was_there(role):
    """Fresh lines are wider, so that the accent colour is not all there is."""
    assert LINES[role].width(True) > 1.5 * LINES[role].width(False)


@pytest.mark.parametrize("fresh", [False, True])
def test_wide_lines_are_twice_as_wide_as_narrow_ones(fresh):
    """Wide to narrow is 2:1 (ISO 128-2; from memory)."""
    wide = {s.width(fresh) for s in LINES.values() if s.wide}
    narrow = {s.width(fresh) for s in LINES.values() if not s.wide}
    assert len(wide) == len(narrow) == 1
    assert wide.pop() == pytest.approx(2 * narrow.pop())


def test_folds_are_drawn_as_everybody_draws_them():
    """Valley dashed, mountain dash-dot (Yoshizawa and Randlett); dashes 12 d, gaps 3 d (ISO 128-2; from
    memory).
    """
    assert LINES[Role.VALLEY].dash == (12, 3)
    assert LINES[Role.MOUNTAIN].dash[:2] == (12, 3) and len(LINES[Role.MOUNTAIN].dash) == 4
    assert LINES[Role.MOUNTAIN].dash[2] <= 1
    assert LINES[Role.CUT].dash == LINES[Role.EDGE].dash == ()


def test_colours_come_from_the_page():
    """The stylesheet names colours only as custom properties, each with our own as fall-back."""
    css = stylesheet()
    for name, colour in PALETTE.items():
        assert f"var(--{name},{colour})" in css
    bare = css
    for name, colour in PALETTE.items():
        bare = bare.replace(f"var(--{name},{colour})", "")
    assert "#" not in bare


def test_a_file_of_its_own_brings_its_palette():
    """Alone, the drawing sets every custom property itself."""
    for name, colour in PALETTE.items():
        assert f"--{name}:{colour}" in standalone_style()

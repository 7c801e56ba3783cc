"""The colours of the page: contrast of words and lines in every scheme, and one set of names for page and
drawings.

Contrast and relative luminance: WCAG 2.2, "contrast ratio" and "relative
luminance"; 4.5:1 for words is criterion 1.4.3, 3:1 for lines that carry
meaning is 1.4.11.
"""
from __future__ import annotations

import re
from itertools import product
from pathlib import Path

import pytest

from generator.drawing.style import DARK, PALETTE

CSS = Path(__file__).resolve().parents[2] / "theme" / "css"
COLOUR = re.compile(r"--([a-z]+(?:-[0-9])?): (#[0-9a-f]{3,6});")
PAPERS = ("ground", "paper", "printed", "glue")


def schemes() -> dict[str, dict[str, str]]:
    """The colours of the light scheme, of the dark one and of print."""
    text = (CSS / "tokens.css").read_text(encoding="utf-8")
    found = dict(COLOUR.findall(text.split("@media", 1)[0]))
    dark, printed = (dict(COLOUR.findall(part))
                     for part in re.split(r"@media (?:screen and|print)", text)[1:])
    return {"light": found, "dark": dark, "print": printed}


SCHEMES = schemes()


def luminance(colour: str) -> float:
    """Relative luminance of #rgb or #rrggbb."""
    digits = colour[1:] if len(colour) == 7 else "".join(c * 2 for c in colour[1:])
    red, green, blue = (int(digits[i:i + 2], 16) / 255 for i in (0, 2, 4))
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in (red, green, blue)]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(a: str, b: str) -> float:
    """From 1 (the same) to 21 (black on white)."""
    dark, light = sorted(map(luminance, (a, b)))
    return (light + 0.05) / (dark + 0.05)


# Row 19 of the check values: on white, of the palette of Okabe and Ito only these reach 3:1.
@pytest.mark.parametrize(("colour", "ratio"),
                         [("#0072b2", 5.19), ("#d55e00", 3.87), ("#009e73", 3.42), ("#cc79a7", 3.06),
                                               ("#000000", 21.0)])
def test_contrast_is_worked_out_as_published(colour, ratio):
    """Contrast on white agrees with published figures (Okabe and Ito's palette, WCAG 2.2)."""
    assert contrast(colour, "#fff") == pytest.approx(ratio, abs=0.005)


def test_the_other_colours_of_that_palette_do_not_reach_it():
    """The measure tells good from bad: yellow, orange and sky blue are too pale for lines on white."""
    assert all(contrast(pale, "#ffffff") < 3 for pale in ("#f0e442", "#e69f00", "#56b4e9"))


@pytest.mark.parametrize("scheme", SCHEMES)
def test_words_can_be_read(scheme):
    """Ink, small print and links reach 4.5:1 on the page and on every paper in a picture."""
    colours = SCHEMES[scheme]
    poor = [f"{word} on {paper}: {ratio:.2f}" for word, paper in product(("ink", "quiet", "accent"), PAPERS)
            if (ratio := contrast(colours[word], colours[paper])) < 4.5]
    assert not poor, poor


@pytest.mark.parametrize("scheme", SCHEMES)
def test_folded_paper_can_be_seen(scheme):
    """Ink shows at 4.5:1 and a ribbon at 3:1 on every tone; a side's tones only ever grow darker, and the two
    sides are never alike.
    """
    colours = SCHEMES[scheme]
    for side in ("plain", "printed"):
        tones = [colours[f"{side}-{tone}"] for tone in (1, 2, 3, 4)]
        assert all(contrast(colours["ink"], tone) >= 4.5 and contrast(colours["accent"], tone) >= 3
                   for tone in tones)
        assert sorted(tones, key=luminance, reverse=True) == tones and len(set(tones)) == 4
    assert not {colours[f"plain-{tone}"] for tone in (1, 2, 3, 4)} & {colours[f"printed-{tone}"]
                                                                      for tone in (1, 2, 3, 4)}


@pytest.mark.parametrize("scheme", SCHEMES)
def test_lines_can_be_seen(scheme):
    """The edges of controls reach 3:1 on the page."""
    assert contrast(SCHEMES[scheme]["line"], SCHEMES[scheme]["ground"]) >= 3


def test_print_is_black_on_white():
    """Black ink is enough: in print no colour is left, and no paper prints as a dark area."""
    colours = SCHEMES["print"]
    assert (colours["ink"], colours["ground"], colours["accent"]) == ("#000", "#fff", "#000")
    for name, colour in colours.items():
        digits = colour[1:] if len(colour) == 7 else "".join(c * 2 for c in colour[1:])
        assert digits[:2] == digits[2:4] == digits[4:], f"{name} is not grey"
    assert all(luminance(colours[paper]) > 0.75 for paper in PAPERS)


def test_every_scheme_names_the_same_colours():
    """No scheme forgets a colour, which would then be the one of another scheme."""
    assert set(SCHEMES["light"]) == set(SCHEMES["dark"]) == set(SCHEMES["print"]) >= {
        *PAPERS, "ink", "quiet", "accent"}


def test_drawings_and_page_have_one_palette():
    """A drawing in a file of its own looks as it does on the page."""
    assert {name: SCHEMES["light"][name] for name in PALETTE} == PALETTE
    assert {name: SCHEMES["dark"][name] for name in DARK} == DARK


def test_every_colour_has_a_name():
    """The other style sheets use names only, so that a scheme changes all of them."""
    for sheet in sorted(CSS.glob("*.css")):
        if sheet.name != "tokens.css":
            assert not re.findall(r"#(?:[0-9a-f]{6}|[0-9a-f]{3})\b",
                                  sheet.read_text(encoding="utf-8")), sheet.name


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_paper_stands_out_from_the_table(scheme):
    """Plain side, printed side and ground differ by 1.25:1 at least, each from the next; white paper is the
    lightest in every scheme.
    """
    colours = SCHEMES[scheme]
    order = sorted(("paper", "printed", "ground"), key=lambda name: luminance(colours[name]), reverse=True)
    assert order[0] == "paper"
    assert all(contrast(colours[a], colours[b]) >= 1.25 for a, b in zip(order, order[1:], strict=False))

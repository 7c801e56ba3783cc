"""The colour that an author gives her paper: its tones, its look in the dark scheme, whether it can be seen.

A coloured side keeps the steps of the house's own paper from tone to tone, and is dimmed in the dark scheme
as that is, both in linear light (WCAG 2.2, definition of relative luminance).
"""
from __future__ import annotations

import colorsys
import re
from collections.abc import Iterable, Mapping
from itertools import pairwise

from generator.drawing.style import DARK, FACE_TONES, LINE_COLOURS, PALETTE, contrast, linear_light, luminance
from generator.paper.records import PieceInfo

MIN_PAPER_CONTRAST = 1.25       # between table, plain and printed side, each to the next
MIN_WORD_CONTRAST = 4.5         # of words on paper (WCAG 2.2, 1.4.3)
MIN_TONE_CONTRAST = 3.05        # of lines on paper in the shade (1.4.11 asks for 3), after rounding
SIDES = {"plain": "paper", "printed": "printed"}    # name in the palette by side
SEARCH_STEPS = 200              # from black to white, in search of a colour that can be seen
# luminance of the darkest tone on which every line still shows
MIN_TONE = MIN_TONE_CONTRAST * (max(luminance(PALETTE[name]) for name in ("ink", "accent")) + 0.05) - 0.05
_CLASSES = re.compile(r"\b(plain|printed)-([0-9a-f]{6})\b")
DIMMED = luminance(DARK["paper"]) / luminance(PALETTE["paper"])


def _hex(light: Iterable[float]) -> str:
    """"#rrggbb" of red, green and blue in linear light, 0 to 1."""
    parts = (min(max(each, 0.0), 1.0) for each in light)
    coded = (12.92 * each if each <= 0.0031308 else 1.055 * each ** (1 / 2.4) - 0.055 for each in parts)
    return "#" + "".join(f"{round(255 * each):02x}" for each in coded)


def scaled(colour: str, factor: float) -> str:
    """So much of the light of a colour."""
    return _hex(factor * each for each in linear_light(colour))


def dark_colour(colour: str) -> str:
    """A colour of paper in the dark scheme."""
    return scaled(colour, DIMMED)


def tone_colour(colour: str, side: str, tone: int) -> str:
    """A face in the light scheme; none so dark that lines are lost on it."""
    own = luminance(colour)
    factor = luminance(PALETTE[f"{side}-{tone}"]) / luminance(PALETTE[SIDES[side]])
    return scaled(colour, max(factor, min(MIN_TONE / own, 1.0) if own else factor))


def side_class(side: str, colour: str) -> str:
    """The class of what shows a side in a colour."""
    return f"{side}-{colour[1:]}"


def side_colour(info: PieceInfo | None, side: str) -> str:
    """What a piece's paper is coloured on the "plain" or the "printed" side, "" where nobody says so."""
    paper = info and info.paper
    return "" if not paper else paper.printed if side == "printed" else paper.plain


def colour_classes(pieces: Iterable[PieceInfo]) -> str:
    """The classes of the coloured sides of their papers."""
    return " ".join(dict.fromkeys(side_class(side, colour) for info in pieces for side in SIDES
                                  if (colour := side_colour(info, side))))


def colour_sheet(drawn: str) -> str:
    """CSS for the coloured sides whose classes stand in a text, in the light scheme and the dark.

    In print they are as all paper is.
    """
    sides = sorted(set(_CLASSES.findall(drawn)))
    rules = [_colour_rules(side, f"#{digits}") for side, digits in sides]
    light, dark = ("".join(rule[k] for rule in rules) for k in (0, 1))
    return f"@media screen{{{light}@media(prefers-color-scheme:dark){{{dark}}}}}" if rules else ""


def _colour_rules(side: str, colour: str) -> tuple[str, str]:
    named = {SIDES[side]: colour,
             **{f"{side}-{tone}": tone_colour(colour, side, tone) for tone in FACE_TONES}}
    light, dark = (";".join(f"--{name}:{to(each)}" for name, each in named.items())
                   for to in (str, dark_colour))
    return f".{side_class(side, colour)}{{{light}}}", f".{side_class(side, colour)}{{{dark}}}"


def paper_fault(sides: Mapping[str, str], side: str) -> str:
    """Why a coloured ``side`` cannot be seen, in words, "" where it can; ``sides`` are the colours given."""
    light = {name: sides.get(each) or PALETTE[name] for each, name in SIDES.items()}
    dark = {name: dark_colour(sides[each]) if sides.get(each) else DARK[name] for each, name in SIDES.items()}
    if min(contrast(light[SIDES[side]], PALETTE[name]) for name in LINE_COLOURS) < MIN_WORD_CONTRAST:
        return "is so dark that words and lines on it cannot be seen"
    for colours, scheme in ((light | {"ground": PALETTE["ground"]}, ""),
                            (dark | {"ground": DARK["ground"]}, " in the dark scheme")):
        order = sorted(colours, key=lambda name: luminance(colours[name]))
        for a, b in pairwise(order):
            ratio = contrast(colours[a], colours[b])
            if SIDES[side] in (a, b) and ratio < MIN_PAPER_CONTRAST:
                other = {"ground": "the table in the picture", "paper": "its plain side",
                         "printed": "its printed side"}[b if SIDES[side] == a else a]
                return f"stands out from {other} by {ratio:.2f}:1 only{scheme}"
    return ""


def visible_colour(sides: Mapping[str, str], side: str) -> str:
    """The nearest colour of the same hue that can be seen on that side, "" where there is none."""
    hue, own, saturation = colorsys.rgb_to_hls(*(int(sides[side][i:i + 2], 16) / 255 for i in (1, 3, 5)))
    for step in range(SEARCH_STEPS + 1):
        for lightness in (own + step / SEARCH_STEPS, own - step / SEARCH_STEPS):
            if 0 <= lightness <= 1:
                parts = colorsys.hls_to_rgb(hue, lightness, saturation)
                each = "#" + "".join(f"{round(255 * part):02x}" for part in parts)
                if not paper_fault({**sides, side: each}, side):
                    return each
    return ""

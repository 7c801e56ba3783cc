"""Paper in a colour of its author's: it can be seen, or the finding names one that can.

Contrast and relative luminance: WCAG 2.2, worked out here once more.
"""
from __future__ import annotations

import random
import re

import pytest

from generator.drawing.backends.png import png as png_picture
from generator.drawing.backends.svg import svg
from generator.drawing.paper_colours import (
    colour_classes,
    colour_sheet,
    dark_colour,
    paper_fault,
    tone_colour,
    visible_colour,
)
from generator.drawing.steps.step_picture import step_pictures
from generator.tutorial import load_text
from generator.units import default_bench
from tests.website.test_colours import SCHEMES, contrast, luminance

BENCHES = {system: default_bench(system) for system in ("mm", "in")}
SAGE, IVORY = "#b5c9a8", "#fffbe9"
SOURCE = """---
title: A sleeve
drawn_in: mm
lengths: {{panel: 30 mm, wall: 65 mm}}
editions: {{in: {{panel: 1 1/4 in, wall: 2 5/8 in}}}}
papers:
  card: {{printed: "{}"}}
---

## Cut

```geometry
strip = sheet(width=4*panel, height=wall, paper=card, up=printed)
```
"""


def _apart(colours: dict[str, str], printed: str, plain: str, dark: bool) -> bool:
    """Whether table, plain and printed side each differ by 1.25:1 from the next."""
    shown = [colours["ground"], *(dark_colour(each) if dark and each != colours[name] else each
                                  for each, name in ((plain, "paper"), (printed, "printed")))]
    order = sorted(shown, key=luminance)
    return all(contrast(a, b) >= 1.25 for a, b in zip(order, order[1:], strict=False))


def _colours() -> list[str]:
    chance = random.Random(16)
    return [f"#{chance.randrange(0x1000000):06x}" for _ in range(40)] + [SAGE, IVORY, "#000000", "#ffffff"]


@pytest.mark.parametrize("side", ["printed", "plain"])
def test_what_is_accepted_can_be_seen(side):
    """A colour without a fault, and each that a finding names, differs from table and other side by 1.25:1 in
    both schemes; words on it reach 4.5:1, and lines 3:1 on each of its tones.
    """
    accepted = 0
    for colour in _colours():
        found = colour if not paper_fault({side: colour}, side) else visible_colour({side: colour}, side)
        accepted += found == colour
        assert found and not paper_fault({side: found}, side), colour
        for scheme in ("light", "dark"):
            own = SCHEMES[scheme]
            both = {"printed": own["printed"], "plain": own["paper"], side: found}
            assert _apart(own, both["printed"], both["plain"], scheme == "dark"), (colour, found, scheme)
            shown = dark_colour(found) if scheme == "dark" else found
            tones = [tone_colour(found, side, tone) for tone in (1, 2, 3, 4)]
            tones = list(map(dark_colour, tones)) if scheme == "dark" else tones
            assert min(contrast(own[word], shown) for word in ("ink", "quiet", "accent")) >= 4.5
            assert min(contrast(own[line], tone) for line in ("ink", "accent") for tone in tones) >= 3
            assert sorted(tones, key=luminance, reverse=True) == tones and len(set(tones)) >= 3
    assert accepted >= 1


@pytest.mark.parametrize(("sides", "side", "says"), [
    ({"printed": "#1f3a5f"}, "printed", "so dark"),
    ({"printed": "#fffdf0"}, "printed", "its plain side"),
    ({"plain": "#fff3c0"}, "plain", "the table"),
    ({"printed": SAGE, "plain": SAGE}, "plain", "its printed side"),
])
def test_what_is_refused_is_told_why(sides, side, says):
    """Too dark for words, or too near to what lies beside it."""
    assert says in paper_fault(sides, side)


def test_pictures_wear_it():
    """A step's picture is filled with the colour: on the page by a class whose colours a sheet gives for
    light and dark screens, in a picture of pixels as it is; in print nothing is coloured.
    """
    loaded = load_text(SOURCE.format(SAGE), "box.md", BENCHES)
    assert not loaded.findings
    plan = loaded.tutorial.drawn
    picture = step_pictures(plan, loaded.tutorial.regauged, 1)[0]
    assert 'class="printed printed-b5c9a8"' in svg(picture.recording, "", "", "k")
    assert colour_classes(plan.pieces) == "printed-b5c9a8"
    sheet = colour_sheet("printed-b5c9a8 plain-2 printed-1")
    assert sheet.startswith("@media screen{.printed-b5c9a8{--printed:#b5c9a8;")
    dark = sheet.split("prefers-color-scheme:dark")[1]
    assert re.findall(r"--printed:(#[0-9a-f]{6})", dark) == [dark_colour(SAGE)]
    pixels = png_picture(picture.recording, 4.0).getcolors(1 << 20)
    assert max(pixels)[1] in ((0xb5, 0xc9, 0xa8), (0xe9, 0xe1, 0xd2))
    assert any(colour == (0xb5, 0xc9, 0xa8) for _, colour in pixels)


def test_without_a_colour_nothing_is_said():
    """Paper that nobody coloured has no class of its own, and a site no sheet for it."""
    assert colour_sheet('class="printed-2" class="plain-4"') == ""

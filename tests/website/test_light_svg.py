"""Pictures as they stand in pages: lighter, and in the same places to a fraction of a pixel."""
from __future__ import annotations

import math
import re

from hypothesis import given
from hypothesis import strategies as st

from generator.website.light_svg import light_svg, pattern_defs, short_path

PLACE = st.tuples(st.integers(0, 9600), st.integers(0, 9600))       # hundredths of a mm


def drawn(data: str) -> list[list[tuple[float, float]]]:
    """The places of relative path data of m, l, h, v and z (SVG 2, 9.3), a list a stretch."""
    found: list[list[tuple[float, float]]] = []
    x = y = 0.0
    for command, numbers in re.findall(r"([a-zA-Z])([^a-zA-Z]*)", data):
        values = [float(each) for each in re.findall(r"-?(?:\d+\.\d|\.\d|\d+)", numbers)]
        if command == "z":
            x, y = found[-1][0]
            found[-1].append((x, y))
            continue
        if command in "hv":
            steps = [(v, 0.0) if command == "h" else (0.0, v) for v in values]
        else:
            steps = list(zip(values[::2], values[1::2], strict=True))
        for k, (dx, dy) in enumerate(steps):
            x, y = (x + dx, y + dy) if command != "M" else (dx, dy)
            if command in "mM" and k == 0:
                found.append([])
            found[-1].append((x, y))
    return found


def off(place, line) -> float:
    """How far a place is from a line of places."""
    def from_side(a, b):
        (x, y), (u, v) = a, b
        t = max(0.0, min(1.0, ((place[0] - x) * (u - x) + (place[1] - y) * (v - y))
                         / (math.hypot(u - x, v - y) ** 2 or 1)))
        return math.hypot(place[0] - x - t * (u - x), place[1] - y - t * (v - y))
    return min(map(from_side, line, [*line[1:], line[-1]]))


@given(st.lists(PLACE, min_size=2, max_size=12), st.booleans())
def test_no_place_moves_by_more_than_a_sixth_of_a_millimetre(places, closed):
    """Half a tenth by rounding in each direction, and a tenth for points left out."""
    data = "M" + "L".join(f"{x / 100} {y / 100}" for x, y in places) + "Z" * closed
    (line,) = drawn(short_path(data))
    assert all(off((x / 100, y / 100), line) <= 0.175 for x, y in places)
    ends = [(x / 100, y / 100) for x, y in (places[0], places[0] if closed else places[-1])]
    assert all(math.dist(a, b) < 0.08 for a, b in zip((line[0], line[-1]), ends, strict=True))


def test_numbers_are_as_short_as_can_be():
    """No zero before a point, no space before a sign; level and upright lines by one number."""
    assert short_path("M10 10L20 10L20 9.5L19.5 9L10 10Z") == "M10 10h10v-.5l-.5-.5-9.5 1z"


def test_lines_that_go_on_are_one_and_shapes_stay_closed():
    """Where one ends the next begins; but what is closed is closed where it began."""
    assert short_path("M0 0L5 5M5 5L9 5") == "M0 0l5 5h4"
    assert drawn(short_path("M0 0L5 5M5 5L9 5L9 9Z"))[1][-1] == (5, 5)


def test_arcs_end_where_they_did():
    """An arc's end is relative to its beginning; radii and flags stay."""
    assert short_path("M9.6 53.7A0.8 0.8 0 0 0 8 53.7") == "M9.6 53.7a0.8 0.8 0 0 0-1.6 0"


def test_only_faces_lose_what_cannot_be_seen():
    """A sliver of folded paper is left out, a short line is not."""
    sliver = "M1 1L1.2 1L1.2 1.1Z"
    assert short_path(sliver, area=True) == "" and short_path(sliver)


def test_a_page_has_each_pattern_once():
    """Hatched areas of all pictures share the page's pattern; a card goes with its own."""
    picture = ('<svg class="drawing step" role="img" aria-labelledby="k-title k-desc" '
               'xmlns="http://www.w3.org/2000/svg"><title id="k-title">T</title><desc '
               'id="k-desc">D</desc><defs>'
               '<pattern id="k-glue-below"><path class="hatch-glue-below" d="M0 0.8H1.6" /></pattern></defs>'
               '<g class="g-paper"><path class="glue-below-hatched" d="M0 0L9 0L9 9Z" '
               'fill="url(#k-glue-below)" />'
               '</g></svg>')
    text = light_svg(picture, 'A "strip"')
    assert 'fill="url(#hatch-glue-below)"' in text and "<defs" not in text
    assert text.startswith('<svg class="drawing step" role="img" aria-label="A &quot;strip&quot;">')
    defs = pattern_defs(text + text)
    assert defs.count('id="hatch-glue-below"') == 1
    # within a drawing, so that the drawings' stylesheet colours its lines
    assert defs.startswith('<svg class="drawing patterns"') and 'class="hatch-glue-below"' in defs
    file = light_svg(picture, "", alone=True)
    assert 'id="k-glue-below"' in file and "xmlns=" in file and "xmlns" not in text

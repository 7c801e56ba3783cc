"""On which side of the paper the glue is, and whether that side is up, for each glue call of the shelf.

Expected values are written by hand from the prose of the tutorials: "tape on the printed side of the tab",
"rub the glue stick over the back of the liner", "tape round the window, on the plain side".
"""
from __future__ import annotations

import pytest

from generator.paper.glue_sides import glued_areas
from tests.tutorial.site_tutorials import SHELF, on_shelf
from tests.tutorial.small_source import source, tutorial

# slug → (name of the face, piece that gets the glue, side, is it up, how many faces), call by call.
# Of a floor the last flap gets none: it closes on the glue of those before it.
GLUED = {
    "almond-pot": [("tab_face", "strip", "printed", False, 1), ("flap_faces", "strip", "printed", False, 5)],
    "biscuit-bag": [("tab_wall", "bag", "printed", True, 1), ("tab_slope", "bag", "printed", True, 1),
                    ("tab_rim", "bag", "printed", True, 1),
                    ("side_flaps", "bag", "printed", True, 2), ("front_flaps", "bag", "printed", True, 1)],
    "biscuit-box": [("corners.front_tabs", "base", "printed", True, 2),
                    ("corners.back_tabs", "base", "printed", True, 2),
                    ("lid_corners.front_tabs", "lid", "printed", True, 2),
                    ("lid_corners.back_tabs", "lid", "printed", True, 2)],
    "gable-carrier": [("tab_wall", "strip", "printed", True, 1), ("tab_roof", "strip", "printed", True, 1),
                      ("feet.flaps", "strip", "printed", True, 3)],
    # the mat shows its printed side when it lies, and is rubbed with glue on its back
    "hinged-box": [("mat", "mat", "plain", False, 1), ("back_tabs", "blank", "printed", True, 2),
                   ("front_tabs", "blank", "printed", True, 2), ("lid_tabs", "blank", "printed", True, 2)],
    "ring-of-wedges": [("corners.tabs", "slice", "printed", True, 4)],
    "seed-envelope": [("liner", "liner", "plain", False, 1), ("left_tape", "square", "plain", True, 1),
                      ("right_tape", "square", "plain", True, 1)],
    "soap-pouch": [("flap", "strip", "printed", True, 1)],
    "soap-pyramid": [],
    "soap-tray": [("tabs", "tray", "printed", True, 4)],
    "tea-caddy": [("tab_face", "strip", "printed", False, 1), ("flap_faces", "strip", "printed", False, 7)],
    "tea-drawer": [("corners.front_tabs", "drawer", "printed", True, 2),
                   ("corners.back_tabs", "drawer", "printed", True, 2),
                   ("sleeve_tab", "sleeve", "printed", True, 1)],
    # the tape is put round the window, on the strip that was turned over
    "window-carton": [("film_face", "strip", "plain", True, 1), ("tab_face", "strip", "printed", True, 1),
                      ("feet.flaps", "strip", "printed", True, 3)],
}


def test_every_tutorial_is_asked():
    """The table below holds the whole shelf."""
    assert set(GLUED) == set(SHELF)


@pytest.mark.parametrize("slug", GLUED)
@pytest.mark.parametrize("system", ["mm", "in"])
def test_glue_is_where_the_prose_says(slug, system):
    """Each face by its call: the piece, the side of the paper, and whether the reader sees it."""
    plan = on_shelf(slug).plans[system]
    names = {info.id: info.name for info in plan.pieces}
    rows = [(area.face.name, names[area.piece], area.side, area.up) for area in glued_areas(plan)]
    counted = [(*row, rows.count(row)) for row in dict.fromkeys(rows)]
    merged: dict[tuple, int] = {}
    for *row, count in GLUED[slug]:
        merged[tuple(row)] = merged.get(tuple(row), 0) + count
    assert {tuple(row): count for *row, count in counted} == merged


HEM = """strip = sheet(width=sides*panel + tab, height=wall, paper=card, up=printed)
edge = score(strip, x=tab)
fold(edge, {way}, by=180 deg)
hem = faces(strip, x=left..edge, y=bottom..top)
body = faces(strip, x=edge..2*panel, y=bottom..top)
glue(hem, {onto}=body)"""


@pytest.mark.parametrize(("way", "onto", "side"),
                         [("mountain", "under", "plain"), ("valley", "over", "printed")])
def test_a_hem_is_glued_on_the_side_that_turns_in(way, onto, side):
    """A hem folded back by 180° lies plain on plain, or printed on printed."""
    hemmed = source(HEM.format(way=way, onto=onto), "Cut the strip and fold the hem.")
    areas = glued_areas(tutorial(hemmed).drawn)
    assert [area.side for area in areas] == [side]


def test_glue_round_a_window_keeps_off_the_window():
    """The tape lies on the paper of the carton that the film covers, and nowhere in the opening."""
    plan = on_shelf("window-carton").plans["mm"]
    area = glued_areas(plan)[0]
    state = [state for number, state in plan.states[area.piece] if number <= area.act][-1]
    # film 68 × 82, window 40 × 70 (front 80, wall 110, frame 20, bare 6), clear of the thumb notch
    assert float(area.on_paper(state).area()) == pytest.approx(68*82 - 40*70, abs=0.5)

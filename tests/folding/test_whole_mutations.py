"""Whole tutorials spoilt on purpose.

Each fault is found with its code and its line, its smallest harmless cousin is not.
"""
from __future__ import annotations

import pytest

from tests.folding.sample_boxes import changed, found, source

# a length to be wrong by
MORE = [("  tab:    12 mm", "  tab:    12 mm\n  more:    2 mm"),
        ("tab: 1/2 in", "more: 1/16 in, tab: 1/2 in")]

# (source, what is changed, the code, the beginning of its line), then changes that do no harm
WHOLE = {
    "a crown that is too low": (
        "straight",
        [("crown:  39 mm", "crown:  36 mm"), ("expect(apothem <= crown <= corner", "expect(crown <= corner"),
         ("height = wall + sqrt(crown*crown - apothem*apothem)", "height = wall")],
        "crown-window", "gather(strip",
        [("crown:  39 mm", "crown:  37 mm")]),
    "a tab under the second wall": (
        "published", [("under=walls.first", "under=walls[2]")],
        "ring-short", "glue(tab_face",
        [("under=walls.first", "under=walls[1]")]),
    "a tab on the wall it hangs on": (
        "published", [("under=walls.first", "under=walls.last")],
        "glue-own", "glue(tab_face",
        [("under=walls.first", "under=walls[1..1]")]),
    "feet cut past the foot line": (
        "published", [("y=bottom..foot_line)\n```\n\n## Cut back",
                       "y=bottom..offset(foot_line, 4*bulge))\n```\n\n## Cut back")],
        "cut-overruns", "feet = cut",
        [*MORE, ("y=bottom..foot_line)\n```\n\n## Cut back",
                 "y=bottom..offset(foot_line, -more/4))\n```\n\n## Cut back")]),
    "a score once the seam is glued": (
        "published",
        [*MORE, ("lace = ribbon", "late = score(strip, y=foot + more, keep=flat)\nlace = ribbon")],
        "step-order", "late = score",
        [*MORE, ("peaks = tick", "soon = score(strip, y=foot + more, keep=flat)\npeaks = tick")]),
    "a hole in the seam": (
        "published",
        [("upright = fold", "spy = punch(strip, x=tab/2, y=foot + wall/2, diameter=hole)\nupright = fold")],
        "hole-glued", "spy = punch",
        [("upright = fold", "spy = punch(strip, x=2*tab, y=foot + wall/2, diameter=hole)\nupright = fold")]),
    "a foot line that is not folded": (
        "published", [("flaps   = fold(foot_line, mountain)\n", "")],
        "score-unfolded", "foot_line = score",
        [("fold(foot_line, mountain)", "fold(foot_line, mountain, by=90 deg)")]),
    "flaps of the floor in a circle": (
        "published", [("order=opposite", "under=rotated(flap_faces)")],
        "layers-circle", "glue(flap_faces",
        [("order=opposite", "order=in_turn")]),
    "corner tabs behind the wrong wall": (
        "lidded-box", [("glue(tabs, under=sides.first)", "glue(tabs, under=sides.last)")],
        "glue-apart", "glue(tabs,",
        [("glue(tabs, under=sides.first)", "glue(tabs, under=sides[1])")]),
    "a wall 2 mm deeper than its like": (
        "lidded-box", [("right_side = score(base, y=wall)", "right_side = score(base, y=wall + taper/2)")],
        "tab-sticks-out", "glue(tabs",
        [("taper:    4 mm", "taper:    3 mm")]),
    "a panel wider than its like": (
        "published", [*MORE, ("x=every(panel, sides)",
                              "x=along(panel, panel, panel + more, panel, panel, panel, panel, panel)")],
        "panels-uneven", "panels = score",
        [("x=every(panel, sides)", "x=along(panel, panel, panel, panel, panel, panel, panel, panel)")]),
    "corner tabs 2 mm short of what holds": (
        "tray", [("flap:    8 mm", "flap:    4 mm")],
        "tab-narrow", "tabs    = attach",
        [("flap:    8 mm", "flap:    6 mm")]),
    "corner tabs on their own walls": (
        "tray", [("under=rotated(walls)", "under=walls")],
        "glue-own", "glue(tabs",
        [("under=rotated(walls)", "under=group(walls[2], walls[3], walls[4], walls[1])")]),
    "walls folded too far": (
        "tray", [("bend       = 90 deg - atan(splay/rise)", "bend       = 90 deg")],
        "seam-open", "corners = seam",
        [(", by=bend", "")]),
    "a flap of the envelope folded the other way": (
        "envelope", [("third   = fold(scores[4], mountain)", "third   = fold(scores[4], valley)")],
        "folds-contradict", "third   = fold",
        [("third   = fold(scores[4], mountain)", "third   = fold(scores[4], mountain, by=180 deg)")]),
    "a liner larger than its envelope": (
        "envelope", [("liner  = inset(lined, by=border, paper=liner_paper)",
                      "liner  = panel(rectangle(width=side, height=side), paper=liner_paper)")],
        "tab-sticks-out", "glue(liner",
        [("liner  = inset(lined, by=border, paper=liner_paper)",
          "liner  = panel(rectangle(width=side/2, height=side/2), paper=liner_paper)")]),
    "a wall that a cut takes off": (
        "published",
        [("upright = fold", "apart = cut(strip, x=panels[4], y=foot_line..top)\nupright = fold")],
        "net-parts", "apart = cut",
        [("upright = fold", "apart = cut(strip, x=panel/2, y=foot + tab..foot + 2*tab)\nupright = fold")]),
    "a foot line that stops short": (
        "published", [("foot_line = score(strip, y=foot)",
                       "foot_line = score(strip, y=foot, x=left..offset(panels.last, -eyelet))")],
        "score-ends", "foot_line = score",
        [("foot_line = score(strip, y=foot)", "foot_line = score(strip, y=foot, x=left..panels.last)")]),
    "a wall folded down": (
        "lidded-box",
        [("base_folds = fold(base_lines, mountain)",
          "base_folds = fold(base_lines, group(mountain, mountain, mountain, valley), by=90 deg)")],
        "glue-apart", "glue(tabs",
        [("base_folds = fold(base_lines, mountain)", "base_folds = fold(base_lines, mountain, by=90 deg)")]),
    "a wall folded once its tabs are glued": (
        "lidded-box",
        [("base_folds = fold(base_lines, mountain)\n",
          "base_folds = fold(group(front, right_side, back), mountain)\n"),
         ("glue(tabs_up, under=sides.last)",
          "glue(tabs_up, under=sides.last)\nlast = fold(left_side, mountain)")],
        "step-order", "last = fold",
        [("base_folds = fold(base_lines, mountain)\n",
          "base_folds = fold(group(front, right_side, back), mountain)\n"
          "last = fold(left_side, mountain)\n")]),
    "a face of the ornament folded inwards": (
        "ornament",
        [("joints = fold(ornament.hinges, mountain, by=bend)",
          "joints = fold(ornament.hinges[1..10], mountain, by=bend)\n"
          "odd = fold(ornament.hinges[11], valley, by=bend)")],
        "seam-open", "",
        [("joints = fold(ornament.hinges, mountain, by=bend)",
          "joints = fold(ornament.hinges[1..10], mountain, by=bend)\n"
          "odd = fold(ornament.hinges[11], mountain, by=bend)")]),
}


@pytest.mark.parametrize("name", WHOLE)
def test_a_fault_in_a_whole_tutorial_is_found_where_it_is(name):
    """The finding stands at the statement that the demonstrator has to look at."""
    base, changes, code, line, _ = WHOLE[name]
    told = found(changed(source(base), *changes))
    assert any(c == code and row.startswith(line) for c, row in told), told


@pytest.mark.parametrize("name", WHOLE)
def test_its_smallest_harmless_cousin_is_silent(name):
    """What differs from the fault by as little as may be, and is none, is not complained of."""
    base, *_, harmless = WHOLE[name]
    assert not found(changed(source(base), *harmless))

"""A flap that closes a corner without glue lies behind the wall beside it, and is folded along its edge."""
from __future__ import annotations

import pytest

from generator.tutorial import load_text
from tests.folding.sample_boxes import BENCHES, found

BOX = """---
title: An open box
drawn_in: mm
lengths: {long: 90 mm, short: 60 mm, rise: 40 mm, deep: 20 mm, off: 6 mm}
editions: {in: {long: 3 1/2 in, short: 2 1/2 in, rise: 1 1/2 in, deep: 3/4 in, off: 1/4 in}}
---

## Fold it

```geometry
box_  = panel(rectangle(width=long, height=short))
walls = attach(box_.edges, rectangle(height=rise))
tucks = attach(group(walls[1].edges[2], walls[1].edges[4], walls[3].edges[2], walls[3].edges[4]), SHAPE)
fold(walls.hinge, mountain, by=WALLS)
fold(tucks.hinge, mountain, by=TUCKS)
```

It is {{ long }} by {{ short }}, {{ rise }} high; tucks of {{ deep }} and {{ off }}.
"""


def codes(tucks: str, walls: str = "90 deg", shape: str = "tab(depth=deep, slope=60 deg)", more: str = "",
          ) -> set[str]:
    """What is found in a box whose corners are tucked so."""
    text = BOX.replace("SHAPE", shape).replace("WALLS", walls).replace("TUCKS", tucks)
    return {code for code, _ in found(text.replace("\n```\n\nIt", f"\n{more}```\n\nIt"))}


@pytest.mark.parametrize(("tucks", "askew"), [
    ("90 deg", False), ("100 deg", False), ("80 deg", False), ("360 deg/4", False),
    ("110 deg", True), ("150 deg", True), ("60 deg", True), ("20 deg", True)])
def test_a_tuck_lies_behind_its_wall(tucks, askew):
    """Upright walls stand at right angles, so tucks are folded by 90° (reckoned); paper springs a little."""
    assert ("tuck-askew" in codes(tucks)) is askew


def test_the_angle_that_would_do_is_told():
    """At the statement that folds them, once for all."""
    text = BOX.replace("SHAPE", "tab(depth=deep, slope=60 deg)").replace("WALLS", "90 deg").replace(
        "TUCKS", "140 deg")
    (told,) = (each for each in load_text(text, "box.md", BENCHES).findings if each.code == "tuck-askew")
    assert told.line == 15 and "50°" in told.message and told.hint == "fold it by about 90°"


@pytest.mark.parametrize(("off", "askew"), [("off", True), ("off/3", False)])
def test_its_fold_runs_along_the_edge_of_that_wall(off, askew):
    """A wall that grows narrower by 6 mm on either side leaves the corner open; by 2 mm paper gives."""
    text = BOX.replace("walls = attach(box_.edges, rectangle(height=rise))", f"""\
ends  = attach(group(box_.edges[2], box_.edges[4]), rectangle(height=rise))
sides = attach(group(box_.edges[1], box_.edges[3]), trapezoid(top=long - 2*{off}, height=rise))
walls = group(sides[1], ends[1], sides[2], ends[2])""").replace("fold(walls.hinge,",
                                                                "fold(group(sides.hinge, ends.hinge),")
    text = text.replace("SHAPE", "tab(depth=deep, slope=60 deg)").replace("WALLS",
                                                                          "90 deg").replace("TUCKS", "90 deg")
    assert ("tuck-askew", "fold(tucks.hinge, mountain, by=90 deg)") in found(text) or not askew
    assert askew or "tuck-askew" not in {code for code, _ in found(text)}


def test_what_is_glued_or_said_to_close_is_judged_there():
    """A tab that is glued, and a tuck of which a wall is named, have checks of their own."""
    glue = "glue(tucks, under=group(walls[2], walls[4], walls[4], walls[2]))\n"
    assert "tuck-askew" not in codes("150 deg", more=glue)
    close = "close(tucks, behind=group(walls[2], walls[4], walls[4], walls[2]))\n"
    assert "tuck-askew" not in codes("150 deg", more=close)


def test_a_rim_of_its_own_closes_no_corner():
    """A flap along the top edge of a wall is folded as far as one likes."""
    text = BOX.replace("group(walls[1].edges[2], walls[1].edges[4], walls[3].edges[2], walls[3].edges[4])",
                       "group(walls[1].edges[3], walls[3].edges[3])").replace("WALLS", "90 deg")
    for tucks in ("90 deg", "150 deg"):
        assert "tuck-askew" not in {code for code, _ in found(
            text.replace("SHAPE", "tab(depth=deep, slope=60 deg)").replace("TUCKS", tucks))}

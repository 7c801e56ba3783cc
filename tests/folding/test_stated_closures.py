"""What a design says closes is held against the folded box."""
from __future__ import annotations

import pytest

from generator.tutorial import load_text
from generator.units import default_bench

BENCHES = {system: default_bench(system) for system in ("mm", "in")}
BOX = """---
title: A box with a lid
drawn_in: mm
lengths: {long: 100 mm, short: 60 mm, rise: 30 mm, lip: 12 mm}
editions: {in: {long: 4 in, short: 2 1/2 in, rise: 1 1/4 in, lip: 1/2 in}}
---

## Draw, fold and close it

```geometry
box_  = panel(rectangle(width=long, height=short))
walls = attach(box_.edges, rectangle(height=rise))
lid   = attach(walls.first.edges[3], rectangle(height=short))
tuck  = attach(lid.edges[3], END)
seam(walls.edges.each[4], rotated(walls.edges.each[2]))
fold(walls.hinge, mountain)
fold(lid.hinge, LID)
fold(tuck.hinge, TUCK)
CLOSE
```

It is {{ long }} by {{ short }}, {{ rise }} high, its tuck {{ lip }} deep.
"""


def found(close: str, lid: str = "mountain, by=90 deg", tuck: str = "mountain, by=90 deg",
          end: str = "tab(depth=lip, slope=60 deg)") -> list[str]:
    """The codes of what is found when the box is folded and closed so."""
    text = BOX.replace("CLOSE", close).replace("LID", lid).replace("TUCK", tuck).replace("END", end)
    return [each.code for each in load_text(text, "box.md", BENCHES).findings]


@pytest.mark.parametrize("close", ["close(lid, over=box_.faces.first)", "close(tuck, behind=walls[3])",
                                   "close(lid, over=box_.faces.first)\nclose(tuck, behind=walls[3])"])
def test_a_box_that_closes(close):
    """The lid lies level over the floor, its tuck along the wall opposite its hinge (reckoned on paper)."""
    assert found(close) == []


@pytest.mark.parametrize(("end", "codes"), [
    ("rectangle(height=lip)", {"closing-open"}), ("rectangle(height=3*rise/2)", {"closing-open"}),
    ("tab(depth=lip, slope=80 deg)", set())])
def test_the_shape_of_a_tuck(end, codes):
    """As wide as its wall it catches in the corners, longer than that it stands on the floor.

    Both are common practice, no source.
    """
    assert set(found("close(tuck, behind=walls[3])", end=end)) - {"panels-collide"} == codes


@pytest.mark.parametrize(("close", "lid", "tuck", "code"), [
    ("close(lid, over=box_.faces.first)", "valley, by=90 deg", "mountain, by=90 deg", "fold-backwards"),
    ("close(lid, over=box_.faces.first)", "mountain, by=60 deg", "mountain, by=90 deg", "fold-angle"),
    ("close(tuck, behind=walls[3])", "mountain, by=90 deg", "valley, by=90 deg", "fold-backwards"),
    ("close(tuck, behind=walls[3])", "mountain, by=90 deg", "mountain, by=45 deg", "fold-angle"),
    ("close(tuck, behind=walls[2])", "mountain, by=90 deg", "mountain, by=90 deg", "closing-open")])
def test_what_stays_open_is_found(close, lid, tuck, code):
    """A lid folded back or left half open, a tuck turned up or left slanting, the wrong wall.

    Where one fold explains it, that fold is what is told.
    """
    assert found(close, lid, tuck) == [code]

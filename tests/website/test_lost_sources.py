"""Damaged sources that got lost on their way to pages and files, as small as they can be.

``make fuzz`` found them; each must now go the whole way, or be refused in words.
"""
from __future__ import annotations

import pytest

from tests.bench.whole_way import whole_way

HEAD = """---
title: A sleeve
summary: A sleeve for a bar of soap.
drawn_in: mm
lengths: {panel: 60 mm, high: 80 mm}
editions: {in: {panel: 2 3/8 in, high: 3 1/8 in}}
---

Soap wants air.
"""
FENCE = "\n```geometry\nstrip = sheet(width=panel, height=high)\n```\n"
# its sheet is too narrow for its walls; the lid fits over it in one edition more loosely than in the other
NARROW = """---
title: A tray
drawn_in: mm
lengths: {panel: 30 mm, wall: 60 mm, foot: 20 mm, tab: 10 mm, bulge: 5 mm}
editions: {in: {panel: 1 1/4 in, wall: 2 1/2 in, foot: 3/4 in, tab: 3/8 in, bulge: 1/4 in}}
papers: {card: {weight: 200 gsm, thickness: 0.26 mm}}
---

## Make it

```geometry
base    = sheet(width=wall + foot/2, height=panel + 2*foot, paper=card)
rim     = turned_scores(base, depth=foot)
turn(base, quarter)
cuts    = corner_cuts(base, rim)
corners = corner_tabs(base, rim, taper=bulge/2)
lid     = lid_blank(base, foot, tab, ease=bulge, paper=card)
lid_rim = rim_scores(lid, depth=tab)
corner_cuts(lid, lid_rim)
lid_corners = corner_faces(lid, lid_rim)
fold(group(rim.lines, lid_rim.lines), mountain)
glue_corners(corners)
glue_corners(lid_corners)
```
"""
LOST = {
    "a tab in a heading, which Markdown spreads":
        (f"{HEAD}\n## Cut\tthe strip\n\nCut it: {{{{ size(strip) }}}}.\n{FENCE}", []),
    "a fault of marking that is felt in one edition alone":
        (NARROW, ["reader-names", "off-grid", "lid-loose", "lid-loose", "tabs-overlap", "tabs-overlap"]),
}


@pytest.mark.parametrize("name", LOST)
def test_it_goes_the_whole_way_now(name, tmp_path):
    """Pages and files are made and can be read, or the codes of what is wrong are those that stand here."""
    text, codes = LOST[name]
    source = tmp_path / "tutorials" / "box" / "index.md"
    source.parent.mkdir(parents=True)
    source.write_text(text, encoding="utf-8")
    assert whole_way(tmp_path) == codes

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
LOST = {
    "a tab in a heading, which Markdown spreads":
        (f"{HEAD}\n## Cut\tthe strip\n\nCut it: {{{{ size(strip) }}}}.\n{FENCE}", []),
}


@pytest.mark.parametrize("name", LOST)
def test_it_goes_the_whole_way_now(name, tmp_path):
    """Pages and files are made and can be read, or the codes of what is wrong are those that stand here."""
    text, codes = LOST[name]
    source = tmp_path / "tutorials" / "box" / "index.md"
    source.parent.mkdir(parents=True)
    source.write_text(text, encoding="utf-8")
    assert whole_way(tmp_path) == codes

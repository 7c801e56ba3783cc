"""Damaged sources that ended in an error nobody foresaw, as small as they can be: what is said of each now.

``make fuzz`` found them. What must be said follows from the source, and stands beside it.
"""
from __future__ import annotations

from generator.language.parts import read_part


def test_a_part_without_anything_between_its_rules():
    """An empty front matter lacks all that a part must say; it is told where the front matter would be."""
    part, found = read_part("own", "parts/own.md", "---\n---\n\nSay what it does.\n\n```geometry\n```\n")
    assert part is None
    assert [(each.code, each.line, each.column) for each in found if each.code == "front-value"] == [
        ("front-value", 2, 1)] * 3

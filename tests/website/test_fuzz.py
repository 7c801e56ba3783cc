"""Damaged sources of every kind go the whole way: a few of what ``make fuzz`` tries by thousands."""
from __future__ import annotations

import random

import pytest

from tests.bench import fuzz
from tests.bench.slips import SLIPS, damaged, damaged_words

WAYS = {"tutorial": 8, "translation": 3, "part": 2, "both": 2, "mkdocs": 1, "regauge": 1, "new": 1}


@pytest.mark.parametrize("way", WAYS)
def test_none_is_lost(way, tmp_path, monkeypatch):
    """Each ends in pages or in findings; how long it takes is for ``make fuzz`` to say."""
    monkeypatch.setattr(fuzz, "MOST_SECONDS", 1e6)
    tries = fuzz.Fuzz(1, tmp_path, way)
    became = {number: tries.tried(number, tmp_path / "lost") for number in range(WAYS[way])}
    traces = [path.read_text(encoding="utf-8") for path in (tmp_path / "lost").rglob("trace.txt")]
    assert set(became.values()) <= {"sound", "found"}, traces


def test_a_slip_changes_a_source_and_the_seed_tells_how():
    """The same numbers give the same bytes; of slips in words alone, what stands in fences stays."""
    text = fuzz.DATED
    for number in range(60):
        made = damaged(text, random.Random(number))
        assert made != text.encode() and made == damaged(text, random.Random(number))
        words = damaged_words(text, random.Random(number))
        assert words != text.encode() and all(fence.encode() in words for fence in text.split("```")[1::2])
    assert len(set(SLIPS)) >= 10

"""Damaged sources of every kind go the whole way: a few of what ``make fuzz`` tries by thousands."""
from __future__ import annotations

import random

import pytest

from tests.bench import fuzz, whole_way
from tests.bench.shrink import shrunk
from tests.bench.slips import SLIPS, damaged, damaged_words

WAYS = {"tutorial": 8, "translation": 3, "part": 2, "both": 2, "mkdocs": 1, "regauge": 1, "new": 1,
        "record": 12, "commands": 3}


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


def test_what_fails_is_made_short():
    """Only what it takes is left: two lines far apart, of one of them a word."""
    text = b"".join(b"row %d of many\n" % number for number in range(60)).replace(b"row 41", b"the bad word")
    assert shrunk(text, lambda data: b"row 7 " in data and b"bad" in data, 2000) == b"row 7 bad"


def test_a_lost_source_is_kept_short(tmp_path, monkeypatch):
    """Where every page of a box with a window fails, little more than what reads as such a box is left."""
    def broken(pages):
        if "window" in pages.markdown:
            raise RuntimeError("no window can be drawn")
    monkeypatch.setattr(whole_way, "_make_page", broken)
    tries = fuzz.Fuzz(1, tmp_path, "tutorial")
    monkeypatch.setattr(fuzz, "damaged", lambda *_: fuzz.DATED.encode() + b"\nA window.\n" * 30)
    monkeypatch.setattr(fuzz, "damaged_words", fuzz.damaged)
    assert tries.tried(1, tmp_path / "lost") == "lost"
    folder = tmp_path / "lost" / "1-1"
    assert "no window can be drawn" in (folder / "trace.txt").read_text(encoding="utf-8")
    whole = (folder / "tutorials" / "box" / "index.whole").read_text(encoding="utf-8")
    short = (folder / "tutorials" / "box" / "index.md").read_text(encoding="utf-8")
    assert whole.count("window") == 30 and short.count("window") == 1 and len(short) < len(whole) / 2

"""Answers kept as files: read back whole, the oldest forgotten, and never in the way of a build."""
from __future__ import annotations

import os

import pytest

from generator.website.build_cache import FileCache

ONE, OTHER, THIRD = "a" * 64, "b" * 64, "c" * 64


def test_what_is_put_in_comes_out_again(tmp_path):
    """Also to whoever opens the folder later; the folder is made only when there is something to keep."""
    kept = FileCache(tmp_path / "made" / "cache")
    assert ONE not in kept and not kept.folder.exists()
    kept[ONE] = b"\x00 bytes"
    assert FileCache(kept.folder)[ONE] == b"\x00 bytes" and list(kept) == [ONE] and len(kept) == 1
    del kept[ONE]
    assert ONE not in kept and not list(kept.folder.iterdir())


def test_what_was_not_asked_for_longest_goes_first(tmp_path):
    """With room for two, the third takes the place of the one that was asked for longest ago."""
    kept = FileCache(tmp_path, room=2)
    for place, key in enumerate((ONE, OTHER)):
        kept[key] = b"x"
        os.utime(tmp_path / key, (1000 + place, 1000 + place))
    assert kept[ONE] == b"x"
    kept[THIRD] = b"y"
    assert set(kept) == {ONE, THIRD}


def test_all_together_are_no_larger_than_was_said(tmp_path):
    """Old files go until the others fit, however few they are."""
    kept = FileCache(tmp_path, largest=25)
    for place, key in enumerate((ONE, OTHER)):
        kept[key] = b"x" * 10
        os.utime(tmp_path / key, (1000 + place, 1000 + place))
    kept[THIRD] = b"y" * 12
    assert set(kept) == {OTHER, THIRD}


@pytest.mark.parametrize("key", ["../secret", "", "A" * 64, "a/b"])
def test_a_key_is_never_a_way_out_of_the_folder(tmp_path, key):
    """Keys are hexadecimal digits; anything else is not there, and is not put there."""
    with pytest.raises(KeyError):
        FileCache(tmp_path)[key]
    with pytest.raises(KeyError):
        FileCache(tmp_path)[key] = b"x"


def test_a_disk_that_takes_nothing_stops_no_build(tmp_path):
    """Where a file stands in place of the folder, nothing is kept and nothing is raised."""
    (tmp_path / "cache").write_text("in the way")
    kept = FileCache(tmp_path / "cache")
    kept[ONE] = b"x"
    assert ONE not in kept and len(kept) == 0

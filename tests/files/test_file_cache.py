"""Answers kept as files: read back whole, forgotten once a build, and never in the way of one."""
from __future__ import annotations

import os

import pytest

from generator.files import FileCache

ONE, OTHER, THIRD = "a" * 64, "b" * 64, "c" * 64


def test_what_is_put_in_comes_out_again(tmp_path):
    """Also to whoever opens the folder later; the folder is made only when there is something to keep."""
    kept = FileCache(tmp_path / "made" / "cache")
    assert ONE not in kept and not kept.folder.exists()
    kept[ONE] = b"\x00 bytes"
    assert FileCache(kept.folder)[ONE] == b"\x00 bytes" and list(kept) == [ONE] and len(kept) == 1
    del kept[ONE]
    assert ONE not in kept and not list(kept.folder.iterdir())


def aged(folder, *keys):
    """Make these files older than any other, the first of them the oldest."""
    for place, key in enumerate(keys):
        os.utime(folder / key, (1000 + place, 1000 + place))


def test_what_a_build_used_stays_however_much_it_is(tmp_path):
    """Room for nothing at all: read, written and asked for are used, and only the fourth goes."""
    for key in (ONE, OTHER, THIRD):
        FileCache(tmp_path)[key] = b"x" * 10
    FileCache(tmp_path)["d" * 64] = b"y"
    kept = FileCache(tmp_path, largest=0)
    assert kept[ONE] and OTHER in kept
    kept[THIRD] = b"z"
    kept.evict()
    assert set(kept) == {ONE, OTHER, THIRD}


def test_what_is_not_used_goes_from_the_oldest_on(tmp_path):
    """Ten bytes and a digest of 32 each, room for two: of three that nobody used the oldest goes."""
    for key in (ONE, OTHER, THIRD):
        FileCache(tmp_path)[key] = b"x" * 10
    aged(tmp_path, OTHER, ONE, THIRD)
    kept = FileCache(tmp_path, largest=2 * 42)
    kept.evict()
    assert set(kept) == {ONE, THIRD}


def test_no_damaged_entry_is_an_answer(tmp_path):
    """Each single bit of it flipped, cut off anywhere, longer, or under the name of another."""
    kept = FileCache(tmp_path)
    kept[ONE], kept[OTHER] = b"an answer", b"another"
    entry = tmp_path / ONE
    whole = entry.read_bytes()
    damaged = [whole[:at] + bytes([whole[at] ^ 1 << bit]) + whole[at + 1:]
               for at in range(len(whole)) for bit in range(8)]
    damaged += [whole[:at] for at in range(len(whole))] + [whole + b"\x00", (tmp_path / OTHER).read_bytes()]
    for data in damaged:
        entry.write_bytes(data)
        assert kept.get(ONE) is None, data
    kept[ONE] = b"an answer"
    assert kept[ONE] == b"an answer"


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

"""A command that is killed, or refused by the disk, at any of its file operations leaves old or new files."""
from __future__ import annotations

import errno
import os
import shutil
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import Result

from generator.files import FileCache, replace_file
from generator.files.whole_file import STALE_AFTER
from tests.commands.command_runner import run, write
from tests.files.faults import Ended, Fault, killed_at, refused_at, run_apart
from tests.regauge.sample_boxes import six

ONE, OTHER = "a" * 64, "b" * 64


def fill_cache(folder: Path) -> None:
    """One answer anew, another one for the first time, then no room for any that was not used."""
    kept = FileCache(folder, largest=0)
    kept[ONE], kept[OTHER] = b"a new answer", b"another"
    kept.evict()


WAYS: dict[str, tuple[dict[str, str], Callable[[Path], object]]] = {
    "new": ({}, lambda here: run("new", "tea-tin", "--in", here)),
    "regauge --write": ({"box/index.md": six()}, lambda here: run("regauge", here / "box", "--write")),
}


def files(folder: Path) -> dict[str, bytes]:
    """What a person sees below a folder."""
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in sorted(folder.rglob("*"))
            if path.is_file() and not path.name.startswith(".")}


def age(folder: Path) -> None:
    """Let more than an hour pass for whatever is hidden."""
    for path in folder.rglob(".*"):
        os.utime(path, (time.time() - STALE_AFTER - 1,) * 2)


class Trial:
    """A folder with old files, and a command that changes them."""

    def __init__(self, root: Path, way: str) -> None:
        before, self.work = WAYS[way]
        self.folder = root / "boxes"
        shutil.rmtree(self.folder, ignore_errors=True)
        self.folder.mkdir()
        for name, text in before.items():
            (self.folder / name).parent.mkdir(parents=True, exist_ok=True)
            (self.folder / name).write_text(text, encoding="utf-8")

    def run(self, fault: Fault = lambda *_: None) -> Ended:
        return run_apart(lambda: self.work(self.folder), fault)


@pytest.mark.parametrize("way", WAYS)
def test_a_command_leaves_the_old_or_the_new_files(tmp_path, way):
    """Killed before each operation, and refused each; done again it has written all, and whoever writes there
    after an hour takes away what the killed one left.
    """
    trial = Trial(tmp_path, way)
    old = files(trial.folder)
    trial.work(trial.folder)        # what takes long is remembered by the processes that are killed
    new = files(trial.folder)
    count = Trial(tmp_path, way).run().operations
    assert new != old and count > 2
    for place in range(count):
        for fault in (killed_at(place), refused_at(place, errno.ENOSPC)):
            trial = Trial(tmp_path, way)
            ended = trial.run(fault)
            assert files(trial.folder) in (old, new), place
            assert ended.error in (None, ""), (place, ended)     # as a message, never as a traceback
            age(trial.folder)
            assert trial.run().error == "" and files(trial.folder) == new, place
            for name in new.keys() - old.keys():        # where a file is there, `new` writes none
                replace_file(trial.folder / name, new[name])
            assert not list(trial.folder.rglob(".*")), place


def test_a_cache_holds_the_old_or_the_new_answer(tmp_path):
    """Killed or refused at each operation: what it holds is whole, and the next run goes on with it."""
    def filled() -> Path:
        shutil.rmtree(tmp_path / "cache", ignore_errors=True)
        kept = FileCache(tmp_path / "cache")
        kept[ONE], kept["c" * 64] = b"an answer", b"of long ago"
        return kept.folder

    folder = filled()
    count = run_apart(lambda: fill_cache(folder)).operations
    assert count > 4
    for place in range(count):
        for fault in (killed_at(place), refused_at(place, errno.EIO)):
            filled()
            ended = run_apart(lambda: fill_cache(folder), fault)
            assert ended.error in (None, ""), place
            kept = FileCache(folder)
            assert kept[ONE] in (b"an answer",
                                 b"a new answer") and kept.get(OTHER) in (None, b"another"), place
            age(folder)
            fill_cache(folder)
            assert dict(kept) == {ONE: b"a new answer", OTHER: b"another"}, place
            assert len(list(folder.iterdir())) == 2, place


def test_a_publication_is_there_whole_or_not_at_all(here):
    """Killed before each operation: who asks then finds a sound record, of the old state or the new one; done
    again, both tutorials are published once, and nothing else lies there.
    """
    def begun() -> dict[str, bytes]:
        shutil.rmtree("tutorials", ignore_errors=True)
        for slug in ("one", "two"):
            write(Path("tutorials"), slug=slug)
        return record()

    def record() -> dict[str, bytes]:
        return {path.as_posix(): path.read_bytes() for path in Path("tutorials").rglob("*")
                if path.is_file() and not {".foldgauge", ".published.lock"} & {*path.parts}}

    def publish() -> Result:
        return run("publish", "--day", "2026-11-30")

    (here / "mkdocs.yml").write_text("site_name: Boxes\ndocs_dir: tutorials\n", encoding="utf-8")
    old = begun()
    assert publish().exit_code == 0
    new = record()
    begun()
    count = run_apart(publish).operations
    assert count > 20 and len(new) == len(old) + 4
    seen = []
    for place in range(count):
        begun()
        assert run_apart(publish, killed_at(place)).error is None
        assert run("check", "tutorials").exit_code == 0 and record() in (old, new), place
        seen.append(record() == new)
        assert publish().exit_code == 0 and record() == new, place
        assert not [path for path in here.rglob(".foldgauge/**/*") if path.is_file()], place
    assert seen == sorted(seen) and True in seen

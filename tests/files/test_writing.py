"""Files are the old or the new ones, whatever happens to process or disk while they are written."""
from __future__ import annotations

import errno
import os
import shutil
import signal
import sys
import threading
import time
from pathlib import Path

import pytest

from generator.files import (
    NotWritten,
    create_file,
    replace_file,
    terminate_as_interrupt,
    write_files,
    write_or_link,
)
from generator.files.file_lock import FileLock
from generator.files.whole_file import STALE_AFTER, TEMPORARY_SUFFIX
from tests.files.faults import killed_at, refused_at, run_apart

OLD = {"a": b"old", "b": b"old", "c": b"stays"}
NEW = {"a": b"new", "b": b"new", "d": b"new"}


def files(folder: Path) -> dict[str, bytes]:
    """What a person sees in a folder."""
    return {p.name: p.read_bytes() for p in folder.iterdir() if not p.name.startswith(".")}


def age(folder: Path) -> None:
    """Let an hour and more pass for what stands there."""
    for path in folder.rglob(f"*{TEMPORARY_SUFFIX}"):
        os.utime(path, (time.time() - STALE_AFTER - 1,) * 2)


WAYS = {"replace": (lambda folder: replace_file(folder / "a", b"new"), {"a": b"new"}),
        "create": (lambda folder: create_file(folder / "d", b"new"), {"d": b"new"}),
        "several": (lambda folder: write_files(folder, NEW), NEW)}


@pytest.fixture(params=WAYS)
def trial(request, tmp_path):
    """``trial()`` is a new folder with old files; how to write to it; what it holds then."""
    write, new = WAYS[request.param]
    count = iter(range(1000))

    def start():
        folder = tmp_path / f"trial-{next(count)}"
        folder.mkdir()
        for name, data in OLD.items():
            (folder / name).write_bytes(data)
        return folder, lambda: write(folder), OLD | new
    return start


def operations(trial) -> int:
    folder, write, new = trial()
    ended = run_apart(write)
    assert ended.error == "" and files(folder) == new and len(list(folder.iterdir())) == len(new)
    assert ended.operations > 2
    return ended.operations


def test_killed_at_every_operation(trial):
    """All old, or all new once the next process has written; in the end nothing lies beside them."""
    for place in range(operations(trial)):
        folder, write, new = trial()
        assert run_apart(write, killed_at(place)).error is None
        assert all(data in (OLD.get(name), new[name]) for name, data in files(folder).items())
        age(folder)
        again = run_apart(lambda folder=folder: write_files(folder, {"c": b"later"}))
        assert again.error == "" and files(folder) in (OLD | {"c": b"later"}, new | {"c": b"later"}), place
        replace_file(folder / "c", b"stays")
        assert sorted(p.name for p in folder.iterdir()) == sorted(files(folder)), place


def test_refused_at_every_operation(trial):
    """All old, or all new where only the tidying up failed."""
    for place in range(operations(trial)):
        folder, write, new = trial()
        error = run_apart(write, refused_at(place, errno.ENOSPC)).error
        assert error is not None and files(folder) in (OLD, new), place
        assert files(folder) == new if error == "" else "space" in error
        shutil.rmtree(folder)


def test_a_name_taken_by_a_folder_leaves_the_old_files(tmp_path):
    """The second of two files cannot be put in its place, so the first comes back too."""
    write_files(tmp_path, {"a": b"old"})
    (tmp_path / "b").mkdir()
    with pytest.raises(NotWritten, match="b is a folder"):
        write_files(tmp_path, {"a": b"new", "b": b"new"})
    assert (tmp_path / "a").read_bytes() == b"old" and sorted(p.name
                                                              for p in tmp_path.iterdir()) == ["a", "b"]


def test_a_folder_that_is_being_written_is_left_alone(tmp_path):
    """Whoever comes second says so in one line, and disturbs nothing."""
    lock = FileLock(tmp_path / ".foldgauge" / "publish-files" / "lock")
    with pytest.raises(NotWritten,
                       match=rf"\A.*is being written to by process {os.getpid()}; nothing was written\Z"):
        write_files(tmp_path, NEW)
    lock.release()
    write_files(tmp_path, NEW)
    assert files(tmp_path) == NEW


def test_a_folder_that_was_made_for_nothing_is_gone_again(tmp_path):
    """On a full disk no empty folder stays."""
    folder = tmp_path / "out"
    for place in range(20):
        ended = run_apart(lambda: write_files(folder, NEW), refused_at(place, errno.ENOSPC))
        assert not folder.exists() if ended.error.startswith("NotWritten") else files(folder) == NEW, place
        shutil.rmtree(folder, ignore_errors=True)


def test_a_new_file_takes_no_name_that_is_taken(tmp_path, monkeypatch):
    """Also where somebody takes it while the file is written, and on a disk that knows no second names."""
    (tmp_path / "index.md").write_bytes(b"theirs")
    for code in (None, errno.EPERM):
        if code:
            monkeypatch.setattr(os, "link", lambda *_,
                                **__: (_ for _ in ()).throw(OSError(errno.EPERM, "no")))
        with pytest.raises(FileExistsError):
            create_file(tmp_path / "index.md", b"ours")
        assert files(tmp_path) == {"index.md": b"theirs"} and len(list(tmp_path.iterdir())) == 1
    create_file(tmp_path / "other.md", b"ours")
    assert files(tmp_path) == {"index.md": b"theirs", "other.md": b"ours"}


def test_what_others_write_at_this_moment_is_let_be(tmp_path):
    """Only a temporary file that nobody can be writing any more is removed."""
    fresh, stale = tmp_path / f".one{TEMPORARY_SUFFIX}", tmp_path / f".two{TEMPORARY_SUFFIX}"
    stale.write_bytes(b"half")
    age(tmp_path)
    fresh.write_bytes(b"half")
    replace_file(tmp_path / "a", b"new")
    assert fresh.exists() and not stale.exists()


def test_a_pipe_is_written_to(tmp_path):
    """What is no file has no place that another could take."""
    os.mkfifo(tmp_path / "pipe")
    got = []
    reader = threading.Thread(target=lambda: got.append((tmp_path / "pipe").read_bytes()))
    reader.start()
    replace_file(tmp_path / "pipe", b"mesh")
    reader.join()
    assert got == [b"mesh"] and (tmp_path / "pipe").is_fifo()


def test_being_terminated_is_being_interrupted():
    """SIGTERM raises what Ctrl-C raises, so that what is half done is taken back; until it is undone."""
    def work() -> None:
        undo = terminate_as_interrupt()
        try:
            os.kill(os.getpid(), signal.SIGTERM)
            time.sleep(60)
        except KeyboardInterrupt:
            undo()
        assert signal.getsignal(signal.SIGTERM) is signal.SIG_DFL
        sys.exit("interrupted")
    assert run_apart(work).error == "SystemExit: interrupted"


def test_what_the_former_site_holds_alike_is_not_written_again(tmp_path):
    """A file of the same bytes becomes a second name of it; another, or a link, is left as it is."""
    former, path = tmp_path / "former", tmp_path / "deep" / "below" / "new"
    for held, shared in ((b"same", True), (b"else", False), (b"longer", False)):
        former.write_bytes(held)
        write_or_link(path, b"same", former)
        assert (path.read_bytes(), former.read_bytes()) == (b"same", held)
        assert path.samefile(former) == shared
        path.unlink()
    write_or_link(path, b"same", tmp_path / "missing")
    assert path.read_bytes() == b"same"
    pointed = tmp_path / "pointed"
    pointed.symlink_to(former)
    former.write_bytes(b"same")
    path.unlink()
    write_or_link(path, b"same", pointed)
    assert not path.is_symlink() and not path.samefile(former)

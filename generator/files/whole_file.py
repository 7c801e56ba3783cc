"""Write one file whole: beside its place first, renamed when its last byte is on the disk."""
from __future__ import annotations

import os
import secrets
import shutil
import signal
import stat
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

TEMPORARY_SUFFIX = ".foldgauge-new"
STALE_AFTER = 3600.0      # s: no file takes so long, so what is older was left by a process that was killed


def replace_file(path: Path, data: bytes, still: Callable[[], None] = lambda: None,
                 lasting: bool = True) -> None:
    """Put ``data`` in the place of a file, which keeps its mode; the file behind a link, not the link.

    ``still`` is called at the last moment and may raise, to leave all as it
    is. Raises OSError; the file is the old one or the new one either way, but where what is written need not
    be ``lasting``: after a power cut such a file may hold anything.
    """
    if path.exists() and not (path.is_file() or path.is_dir()):
        path.write_bytes(data)      # a pipe or a terminal has no half of a file
        return
    path = path.resolve()
    with _written_beside(path, data, lasting) as beside:
        if path.exists():
            shutil.copymode(path, beside)
        still()
        beside.replace(path)


def create_file(path: Path, data: bytes) -> None:
    """Write a new file. Raises FileExistsError where the name is taken meanwhile, or another OSError."""
    with _written_beside(path, data) as beside:
        try:
            path.hardlink_to(beside)
        except FileExistsError:
            raise
        except OSError:         # a disk that knows no second names
            if path.exists():
                raise FileExistsError(str(path)) from None
            beside.rename(path)


def write_or_link(path: Path, data: bytes, former: Path | None) -> None:
    """Write a new file, in a folder made where it is missing; raises OSError.

    Where ``former`` holds the same bytes, the file gets ``path`` as a second name: a tenth of the work.
    """
    try:
        if former is None or not _linked(former, path, data):
            path.write_bytes(data)
    except FileNotFoundError:
        path.parent.mkdir(parents=True)
        write_or_link(path, data, former)


def _linked(former: Path, path: Path, data: bytes) -> bool:
    """False where it holds something else, or cannot have a second name."""
    try:
        stated = os.lstat(former)
        if not stat.S_ISREG(stated.st_mode) or stated.st_size != len(data) or former.read_bytes() != data:
            return False
        os.link(former, path)
    except OSError:
        return False
    return True


@contextmanager
def _written_beside(path: Path, data: bytes, lasting: bool = True) -> Iterator[Path]:
    """A file of the same folder that holds ``data``, where ``lasting`` for certain; it is gone afterwards."""
    if lasting:
        remove_stale(path.parent)
    beside = path.with_name(f".{secrets.token_hex(8)}{TEMPORARY_SUFFIX}")
    try:
        with beside.open("xb") as out:
            out.write(data)
            out.flush()
            if lasting:
                os.fsync(out.fileno())
        yield beside
    finally:
        with suppress(OSError):         # it has its name already, or goes as a stale one
            beside.unlink()


def remove_stale(folder: Path) -> None:
    """Remove what a killed process was writing in a folder."""
    for left in folder.glob(f".*{TEMPORARY_SUFFIX}"):
        with suppress(OSError):         # somebody else removed it, or may do what we may not
            if time.time() - left.stat().st_mtime > STALE_AFTER:
                left.unlink()


def error_reason(error: Exception) -> str:
    """What the system says of an error, to end a sentence with."""
    return (getattr(error, "strerror", None) or str(error)).lower()


def terminate_as_interrupt() -> Callable[[], None]:
    """Let SIGTERM end the program as Ctrl-C does, so that what is half done is taken back.

    What comes back undoes it. Threads other than the main one cannot, and do not.
    """
    if threading.current_thread() is not threading.main_thread():
        return lambda: None
    before = signal.signal(signal.SIGTERM, signal.default_int_handler)

    def undo() -> None:
        signal.signal(signal.SIGTERM, before)
    return undo

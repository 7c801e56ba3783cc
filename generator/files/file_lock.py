"""A lock that one process holds, and that goes when the process does."""
from __future__ import annotations

import errno
import os
import sys
from contextlib import suppress
from pathlib import Path

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

TAKEN = {errno.EAGAIN, errno.EACCES, errno.EDEADLK}
MAX_DIGITS = 20           # of the number of a process
LOCKED_BYTE = 1 << 20     # Windows lets nobody read what is locked, so not the number of the process


class LockTaken(Exception):
    """Another process holds the lock; the message names it."""


class FileLock:
    """A file that is made to be locked. The system releases it when the process ends, however it ends."""

    def __init__(self, path: Path):
        """Take the lock at once. Raises LockTaken, or OSError where the file cannot be made."""
        self.path = path
        while True:
            path.parent.mkdir(parents=True, exist_ok=True)
            try:
                self.handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o666)
            except FileNotFoundError:       # its last holder has removed the folder meanwhile
                continue
            if self._take():
                with suppress(OSError):     # on a full disk nobody learns who has it
                    os.ftruncate(self.handle, 0)
                    os.write(self.handle, str(os.getpid()).encode())
                return
            os.close(self.handle)

    def _take(self) -> bool:
        """True when it is held, False when the file was removed by its last holder meanwhile."""
        try:
            _lock(self.handle)
        except OSError as error:
            if error.errno in TAKEN:
                number = os.read(self.handle, MAX_DIGITS).decode("ascii", "replace")
                os.close(self.handle)
                raise LockTaken(f"process {number}" if number.isdecimal() else "another process") from None
            # a disk without locks: then builds have to be started one after the other
        try:
            return os.path.samestat(os.fstat(self.handle), self.path.stat())
        except FileNotFoundError:
            return False

    def release(self) -> None:
        """Let the next one have it."""
        if sys.platform == "win32":
            os.close(self.handle)           # what is open cannot be removed there
        with suppress(OSError):             # a file that is left holds nobody up
            self.path.unlink()
        if sys.platform != "win32":
            os.close(self.handle)           # only now, so that nobody takes the lock of a file that goes


def _lock(handle: int) -> None:
    if sys.platform == "win32":
        os.lseek(handle, LOCKED_BYTE, os.SEEK_SET)
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        finally:
            os.lseek(handle, 0, os.SEEK_SET)
    else:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)

"""Two names of a disk change places at once, on systems that can."""
from __future__ import annotations

import ctypes
import errno
import os
import sys
from pathlib import Path

AT_FDCWD = -100           # <fcntl.h> of Linux: paths start from the working folder
SWAP = 2                  # RENAME_EXCHANGE of Linux, RENAME_SWAP of macOS (<stdio.h>)


def exchange(one: Path, other: Path) -> None:
    """Give each of two files or folders the name of the other. Raises OSError, also where nothing can do it.

    renameat2(2) of Linux and renamex_np(2) of macOS: there is no instant at which one name is missing.
    """
    sys.audit("os.rename", str(one), str(other), -1, -1)        # as os.rename itself announces it
    names = os.fsencode(one), os.fsencode(other)
    library = ctypes.CDLL(None, use_errno=True) if os.name == "posix" else None
    if library is not None and hasattr(library, "renameat2"):
        failed = library.renameat2(AT_FDCWD, names[0], AT_FDCWD, names[1], ctypes.c_uint(SWAP))
    elif library is not None and hasattr(library, "renamex_np"):
        failed = library.renamex_np(*names, ctypes.c_uint(SWAP))
    else:
        raise OSError(errno.ENOSYS, os.strerror(errno.ENOSYS))
    if failed:
        number = ctypes.get_errno()
        raise OSError(number, os.strerror(number), str(one), None, str(other))

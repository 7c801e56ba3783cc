"""Write several files into a folder: all of them, or none."""
from __future__ import annotations

import shutil
import tempfile
from collections.abc import Mapping
from pathlib import Path


class FolderError(Exception):
    """Why nothing was written, in plain words."""


def write_all(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write ``files`` (name → bytes) into ``folder``, which is made where it is missing.

    Everything is written beside the folder's own files first, and put in
    their place only when the last byte is on the disk: on a full disk, or
    where a name is taken by a folder, the old files stay. Raises
    :class:`FolderError`.
    """
    new = not folder.exists()
    try:
        folder.mkdir(parents=True, exist_ok=True)
        aside = Path(tempfile.mkdtemp(prefix=".foldgauge-", dir=folder))
    except OSError as error:
        raise FolderError(f"{folder} cannot be written: {_reason(error)}") from None
    try:
        _write_files(aside / "new", files)
        _swap_in(folder, aside, files)
    except OSError as error:
        raise FolderError(
            f"{folder} cannot take the files: {_reason(error)}. What was there has stayed") from None
    finally:
        shutil.rmtree(aside, ignore_errors=True)
        if new and not any(folder.iterdir()):
            folder.rmdir()


def _write_files(folder: Path, files: Mapping[str, bytes]) -> None:
    folder.mkdir()
    for name, data in files.items():
        (folder / name).write_bytes(data)


def _swap_in(folder: Path, aside: Path, files: Mapping[str, bytes]) -> None:
    """Move the old files aside, the new ones in; whatever goes wrong on the way is taken back."""
    old = aside / "old"
    old.mkdir()
    moved: list[str] = []
    placed: list[str] = []
    try:
        for name in files:
            if (folder / name).is_dir():
                raise IsADirectoryError(21, f"{name} is a folder")
            if (folder / name).exists():
                (folder / name).rename(old / name)
                moved.append(name)
            (aside / "new" / name).rename(folder / name)
            placed.append(name)
    except OSError:
        for name in placed:
            (folder / name).unlink(missing_ok=True)
        for name in moved:
            (old / name).rename(folder / name)
        raise


def _reason(error: OSError) -> str:
    return (error.strerror or str(error)).lower()

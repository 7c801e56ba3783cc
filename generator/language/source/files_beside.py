"""What lies beside sources: photos fit to be shown, and links to other places, of which nothing is read.

`foldgauge check` and the build ask the same here, so that what the one accepts the other does not refuse.
"""
from __future__ import annotations

import hashlib
import os
import re
from collections import Counter
from collections.abc import Callable, Collection, Iterator, Mapping
from contextlib import suppress
from pathlib import Path, PurePosixPath

from generator.findings import Finding, Span, finding
from generator.language.source.records import PARTS_FOLDER

PHOTO_FORMATS = {".jpg": "JPEG", ".jpeg": "JPEG", ".png": "PNG", ".webp": "WEBP"}
PHOTO_ENDINGS = tuple(PHOTO_FORMATS)
READ_FORMATS = tuple(sorted(set(PHOTO_FORMATS.values())))   # no other reader of pictures is let at a file
MOST_BYTES = 30_000_000
MOST_PIXELS = 25_000_000      # four bytes each, and as many twice more while it is turned upright: 300 MB
MOST_TOGETHER = 80_000_000     # pixels of all photos of a folder: ten seconds of work
MOST_ACROSS = 16_383        # pixels: WebP counts them in 14 bits (RFC 9649)
READ_SUFFIXES = (".md", ".yaml")         # sources, translations, the log of boxes made
SMALLER = "make it smaller: 2000 pixels across are plenty"

TRANSLATION_FILE = re.compile(r"index\.([A-Za-z-]{1,12})\.md\Z")


def file_digest(path: Path) -> str:
    """A name for what a file holds; "" where it cannot be read."""
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError:
        return ""


def folder_digests(folder: Path) -> list[tuple[str, str]]:
    """What is read of a tutorial's folder, with names for what it holds.

    Of other files it counts only that they are there.
    """
    return [(path.relative_to(folder).as_posix(),
             file_digest(path) if path.suffix in READ_SUFFIXES or is_photo(path.name) else "")
            for path in sorted(folder.rglob("*")) if path.is_file()]


def parts_digests(folder: Path) -> list[tuple[str, str]]:
    """The parts of a site, beside its tutorials in ``folder``, with names for what they hold."""
    return [(path.name, file_digest(path)) for path in sorted((folder / PARTS_FOLDER).glob("*.md"))
            if path.is_file()]


def is_photo(name: str) -> bool:
    """Whether a file goes by the name of a photo."""
    # the ending first, since it is asked for every word of a source; a name may be nothing but an ending
    return name.lower().endswith(PHOTO_ENDINGS) and PurePosixPath(name).suffix.lower() in PHOTO_FORMATS


def photo_fault(path: Path) -> tuple[str, str] | None:
    """What is wrong with a photo and what would mend it; None for a sound one.

    No more than its head is trusted.
    """
    if path.stat().st_size > MOST_BYTES:
        return f"this photo has {path.stat().st_size // 1_000_000} MB", SMALLER
    from PIL import Image
    try:
        with Image.open(path, formats=READ_FORMATS) as photo:
            wide, high = photo.size
            if wide * high > MOST_PIXELS or max(wide, high) > MOST_ACROSS:
                return f"this photo is {wide} × {high} pixels large", SMALLER
            if photo.format != PHOTO_FORMATS[path.suffix.lower()]:
                return (f"this file is a {photo.format} picture and calls itself {path.suffix}",
                        "give it the ending of what it is, or save it anew")
            photo.load()
    except (OSError, Image.DecompressionBombError, SyntaxError, ValueError):
        return "this file cannot be read as a photo", "save it anew as JPEG, PNG or WebP"
    return None


def photo_findings(named: Mapping[Path, Span]) -> Iterator[Finding]:
    """Pictures that a page names, each with the place, and that are no photos or far too large."""
    for path, span in named.items():
        if not is_photo(path.name):
            yield finding("photo-wrong", span, f"“{path.name}”: pages show no picture of this kind",
                          "save it anew as JPEG, PNG or WebP")
        elif path.is_file() and (fault := photo_fault(path)):
            yield finding("photo-wrong", span, f"“{path.name}”: {fault[0]}", fault[1])
    yield from _too_many_pixels(named)


def _too_many_pixels(named: Mapping[Path, Span]) -> Iterator[Finding]:
    """A finding at the photo that is too much, where those of a folder are more than can be worked."""
    if not named:
        return
    from PIL import Image
    together: Counter[Path] = Counter()
    for path, span in named.items():
        with suppress(OSError, ValueError), Image.open(path, formats=READ_FORMATS) as photo:
            before = together[path.parent]
            together[path.parent] += photo.width * photo.height
            if before <= MOST_TOGETHER < together[path.parent]:
                yield finding("photo-wrong", span, f"“{path.name}”: up to here the photos have "
                              f"{together[path.parent] // 1_000_000} million pixels together", SMALLER)


def link_findings(folder: Path, shown: Callable[[Path], str], wanted: Callable[[str], bool],
                  only: Collection[str] | None = None) -> Iterator[Finding]:
    """A finding for each symbolic link below ``folder`` that would be read or published; none is followed.

    ``wanted`` is asked with its address below the folder; ``only`` names what of the folder is looked at.
    """
    for path in visible_entries(folder, only):
        uri = path.relative_to(folder).as_posix()
        if path.is_symlink() and (wanted(uri) or uri.split("/")[0] == PARTS_FOLDER):
            yield finding("file-linked", Span(shown(path)), f"“{path.name}” is a link to another place",
                          "put the file itself here, or leave it out with exclude_docs in mkdocs.yml")


def visible_entries(folder: Path, only: Collection[str] | None = None) -> Iterator[Path]:
    """Files and folders below a folder, in order, hidden ones left out; no link is followed.

    ``only`` names what of it is looked at.
    """
    for place, folders, files in os.walk(folder):
        names = [name for name in sorted((*folders, *files)) if not name.startswith(".")
                 and (only is None or Path(place) != folder or name in only)]
        folders[:] = sorted(set(folders).intersection(names))
        yield from (Path(place) / name for name in names)

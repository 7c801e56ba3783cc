"""Which photos the site has: all below the tutorials, each looked at before anything is written."""
from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path, PurePosixPath
from urllib.parse import unquote

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files

from generator.findings import Finding, Span, finding
from generator.tutorial import Photo
from generator.website.prints import clean, is_photo, narrower, photo_fault
from generator.website.shelf import Shelf


def photo_findings(folder: Path, shelf: Shelf, shown: Callable[[Path], str],
                   wanted: Callable[[str], bool]) -> Iterator[Finding]:
    """Photos that are not what they say, or far too large; each where its tutorial names it, else by its own name."""
    named = dict(_named(folder, shelf))
    for path in sorted(folder.rglob("*")):
        if is_photo(path.name) and path.is_file() and wanted(path.relative_to(folder).as_posix()) and (fault := photo_fault(path)):
            yield finding("photo-wrong", named.get(path, Span(shown(path))), f"“{path.name}”: {fault[0]}", fault[1])


def _named(folder: Path, shelf: Shelf) -> Iterator[tuple[Path, Span]]:
    for uri, shelved in shelf.tutorials.items():
        stretches = [shelved.tutorial.intro, *(step.prose for step in shelved.tutorial.steps)]
        for part in (part for prose in stretches for part in prose if isinstance(part, Photo)):
            yield folder / PurePosixPath(uri).parent / unquote(part.src), part.span


def developed(files: Files, config: MkDocsConfig) -> None:
    """Put the clean photo in the place of each original, and its narrower copies beside it."""
    for file in list(files.media_files()):
        if file.abs_src_path and is_photo(file.src_uri) and not file.inclusion.is_excluded():
            path = Path(file.abs_src_path)
            files.remove(file)
            files.append(File.generated(config, file.src_uri, content=clean(path)))
            for wide, data in narrower(path).items():
                files.append(File.generated(config, copy_of(file.src_uri, wide), content=data))


def copy_of(address: str, wide: int) -> str:
    """Where a narrower copy stands: "strip.jpg" as "strip-480.webp"; the ending stays where names would be alike."""
    stem, _, suffix = address.rpartition(".")
    return f"{stem}-{suffix}-{wide}.webp"

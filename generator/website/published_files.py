"""What of the folder of tutorials gets into the site.

Of a tutorial's folder its pages and the photos that they name, whatever else
an author keeps there; and nothing that lies elsewhere and is only linked to.
"""
from __future__ import annotations

import os
import posixpath
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import suppress
from pathlib import Path
from urllib.parse import unquote

from mkdocs.structure.files import Files

from generator.findings import Finding, Span, finding
from generator.language.source.records import PARTS_FOLDER

PHOTO_FORMATS = {".jpg": "JPEG", ".jpeg": "JPEG", ".png": "PNG", ".webp": "WEBP"}
# targets between < and >, and whatever has no space or sign of Markdown and HTML in it
_NAME = re.compile(r"<([^<>\n]+)>|([^\s()<>\[\]\"'=]+)")


def is_photo(name: str) -> bool:
    """Whether a file goes by the name of a photo."""
    return name.lower().endswith(tuple(PHOTO_FORMATS))


def link_findings(folder: Path, shown: Callable[[Path], str],
                  wanted: Callable[[str], bool]) -> Iterator[Finding]:
    """A finding for each symbolic link below ``folder`` that would be read or published; none is followed."""
    for place, folders, files in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for path in (Path(place) / name for name in sorted((*folders, *files)) if not name.startswith(".")):
            uri = path.relative_to(folder).as_posix()
            if path.is_symlink() and (wanted(uri) or uri.split("/")[0] == PARTS_FOLDER):
                yield finding("file-linked", Span(shown(path)), f"“{path.name}” is a link to another place",
                              "put the file itself here, or leave it out with exclude_docs in mkdocs.yml")


def published_files(folder: Path, sources: Iterable[str]) -> Mapping[str, frozenset[str]]:
    """By the name of a tutorial's folder, what of it is published, each by its address below ``folder``."""
    found: dict[str, frozenset[str]] = {}
    for uri in sources:
        own = posixpath.dirname(uri)
        text = ""
        with suppress(OSError):         # a source that cannot be read is a finding of its own
            text = (folder / uri).read_text(encoding="utf-8", errors="replace")
        names = (unquote(one or other) for one, other in _NAME.findall(text))
        found[own] = found.get(own, frozenset()) | {uri} | {
            posixpath.normpath(posixpath.join(own, name)) for name in names if is_photo(name)}
    return found


def is_published(uri: str, allowed: Mapping[str, frozenset[str]]) -> bool:
    """Whether a file gets into the site: in a tutorial's folder what is allowed, elsewhere everything."""
    own = uri.split("/")[0]
    return own not in allowed or uri in allowed[own]


def remove_unpublished(files: Files, allowed: Mapping[str, frozenset[str]]) -> None:
    """Let MkDocs forget what is not published; what is made, not read, stays."""
    for file in list(files):
        if file.abs_src_path and not is_published(file.src_uri, allowed):
            files.remove(file)

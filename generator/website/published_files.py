"""What of the folder of tutorials gets into the site.

Of a tutorial's folder its pages and the photos that they and the log of boxes made name, whatever else
an author keeps there; and nothing that lies elsewhere and is only linked to.
"""
from __future__ import annotations

import posixpath
import re
from collections.abc import Iterable, Mapping
from contextlib import suppress
from pathlib import Path
from urllib.parse import unquote

from mkdocs.structure.files import Files

from generator.language.source.files_beside import is_photo
from generator.language.source.records import LOG_FILE, PARTS_FOLDER
from generator.record.revision_files import LIST_FILE

# targets between < and >, and whatever has no space or sign of Markdown and HTML in it
_NAME = re.compile(r"<([^<>\n]+)>|([^\s()<>\[\]\"'=]+)")


def published_files(folder: Path, sources: Iterable[str]) -> Mapping[str, frozenset[str]]:
    """By the name of a tutorial's folder, what of it is published, each by its address below ``folder``."""
    found: dict[str, frozenset[str]] = {}
    for uri in sources:
        own = posixpath.dirname(uri)
        text = ""
        with suppress(OSError):         # a source that cannot be read is a finding of its own
            text = (folder / uri).read_text(encoding="utf-8", errors="replace")
        with suppress(OSError):         # of most there is none; there braces and commas are signs of YAML
            log = (folder / own / LOG_FILE).read_text(encoding="utf-8", errors="replace")
            text += re.sub("[{},]", " ", log)
        # a name without an ending is no file, and most words have none
        names = (unquote(name) for found in _NAME.findall(text)
                 for name in found if "." in name or "%" in name)
        found[own] = found.get(own, frozenset()) | {uri} | {
            posixpath.normpath(posixpath.join(own, name)) for name in names if is_photo(name)}
    return found


def is_published(uri: str, allowed: Mapping[str, frozenset[str]]) -> bool:
    """Whether a file gets into the site.

    In a tutorial's folder what is allowed, of parts and of the list of what is on record nothing, elsewhere
    everything.
    """
    own = uri.split("/")[0]
    return own not in (PARTS_FOLDER, LIST_FILE) and (own not in allowed or uri in allowed[own])


def remove_unpublished(files: Files, allowed: Mapping[str, frozenset[str]]) -> None:
    """Let MkDocs forget what is not published; what is made, not read, stays."""
    for file in list(files):
        if file.abs_src_path and not is_published(file.src_uri, allowed):
            files.remove(file)

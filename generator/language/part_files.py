"""The parts of a site of one's own: files of the folder ``parts`` that lies beside its tutorials' folders."""
from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from generator.findings import Finding, Span, finding
from generator.language.document import read_source
from generator.language.parts import Parts, library, read_parts

FOLDER = "parts"
MOST_FILES = 200


def parts_beside(source: Path) -> tuple[Parts, tuple[Finding, ...]]:
    """The parts of the site that a tutorial's source belongs to, and what is wrong with them.

    Only a source that lies in a folder of its own, as ``<slug>/index.md``, belongs to a site.
    """
    if source.name != "index.md":
        return {}, ()
    folder = (source.parent.parent if len(source.parts) > 1 else source.absolute().parent.parent) / FOLDER
    wrong: list[Finding] = []
    read = list(_read(folder, wrong))
    found, problems = read_parts(read, library())
    return found, (*wrong, *problems)


def _read(folder: Path, wrong: list[Finding]) -> Iterator[tuple[str, str, str]]:
    try:
        paths = sorted(folder.glob("*.md"))
    except OSError:
        return
    for path in paths[:MOST_FILES]:
        text, problems = read_source(path)
        wrong.extend(problems)
        if text is not None:
            yield path.stem, str(path), text
    if len(paths) > MOST_FILES:
        wrong.append(finding("too-much", Span(str(folder)), f"this folder holds {len(paths)} parts", f"{MOST_FILES} are the most"))

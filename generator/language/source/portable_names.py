"""Names of files and folders that every system can hold, and that are the same there.

Windows has names that no file may have, and takes capitals for small letters, as macOS does, which takes
letters with accents for those put together of two signs. What is right on one system is right on all.
"""
from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Collection, Iterator, Sequence
from pathlib import Path, PurePosixPath

from generator.findings import Finding, Span, finding
from generator.language.source.files_beside import is_photo, visible_entries
from generator.locale import LANGUAGES

SLUG = re.compile(r"[a-z0-9]+([-_.]+[a-z0-9]+)*")
MAX_SLUG_LENGTH = 60    # signs
SITE_NAMES = frozenset({"assets", "bench", "calls", "css", "findings", "fonts", "glossary", "images", "js",
                        "parts", "print", "prints", "rules", "search", "shelf", "templates", *LANGUAGES})
# names of files on Windows: learn.microsoft.com, "Naming Files, Paths, and Namespaces"
DEVICE = re.compile(r"(?:con|prn|aux|nul|(?:com|lpt)[0-9¹²³])(?:\..*)?")
FORBIDDEN = re.compile(r"[<>:\"|?*\\\x00-\x1f\ud800-\udfff]|\A |[. ]\Z")
MAX_NAME_BYTES = 120    # of 255 that disks allow: copies of photos have longer ones
MAX_ADDRESS_LENGTH = 160    # signs below the folder of tutorials: Windows allows 259 with those above it
SOURCE_NAME = re.compile(r"index(?:\.[a-z-]+)?\.md", re.IGNORECASE)
OTHER_NAME = "give it another name, of small letters, digits and hyphens"


def folder_name_fault(name: str) -> str:
    """Why a tutorial's folder cannot have a name, which is part of its address; "" for one that it can."""
    if not SLUG.fullmatch(name) or len(name) > MAX_SLUG_LENGTH:
        return "cannot be part of an address"
    if DEVICE.fullmatch(name):
        return "is a name that no Windows computer can give to a folder"
    return "is a name that the site itself has" if name in SITE_NAMES else ""


def folder_name_findings(name: str, file: str) -> Iterator[Finding]:
    """A finding for a folder that no page can stand at."""
    if name and (fault := folder_name_fault(name)):
        yield finding("folder-name", Span(file), f"the folder “{name}” {fault}", OTHER_NAME)


def name_fault(name: str) -> str:
    """Why some system cannot hold a file or folder of a name; "" for one that all can."""
    if DEVICE.fullmatch(name.lower()):
        return "is a name that no Windows computer can give"
    if FORBIDDEN.search(name):
        return "holds a sign, or ends in one, that no Windows computer has in a name"
    if len(name.encode()) > MAX_NAME_BYTES:
        return f"has more than {MAX_NAME_BYTES} signs"
    if SOURCE_NAME.fullmatch(name) and name != name.lower():
        return "is a source on some systems and none on others, since it is written with capitals"
    return ""


def holds_file(folder: Path, name: str) -> bool:
    """Whether a file is there under this very name, capitals and accents too, whatever the system says.

    ``name`` is a path from the folder. Raises OSError as listing a folder does.
    """
    place = folder
    for part in PurePosixPath(name).parts:
        if not place.is_dir() or part not in {each.name for each in place.iterdir()}:
            return False
        place /= part
    return place.is_file()


def name_findings(folder: Path, shown: Callable[[Path], str], wanted: Callable[[str], bool],
                  only: Collection[str] | None = None) -> Iterator[Finding]:
    """A finding for each name below ``folder`` that is read or published, and that not every system can hold.

    The folders of tutorials are judged with their sources. ``wanted`` is asked with an address below the
    folder; ``only`` names what of the folder is looked at.
    """
    judged: set[PurePosixPath] = set()
    taken: dict[tuple[str, str], PurePosixPath] = {}
    for path in visible_entries(folder, only):
        uri = PurePosixPath(path.relative_to(folder).as_posix())
        if not wanted(str(uri)) or not _is_read(folder, path):
            continue
        for place in (*reversed(uri.parents[:-1]), uri):
            first = [taken.setdefault(key, place) for key in _keys(place)]
            if place not in judged and (fault := _fault(folder, place, first)):
                yield finding("file-name", Span(_printable(shown(folder / place))),
                              f"“{_printable(place.name)}” {fault}", OTHER_NAME)
            judged.add(place)


def _is_read(folder: Path, path: Path) -> bool:
    """Of a tutorial's folder the source, its translations and photos; elsewhere whatever lies there."""
    own = folder / path.relative_to(folder).parts[0]
    return path.is_file() and (SOURCE_NAME.fullmatch(path.name) is not None or is_photo(path.name)
                               or not (own / "index.md").is_file())


def _keys(place: PurePosixPath) -> Iterator[tuple[str, str]]:
    """What no two may have in common: the name in its folder, and of a page its address."""
    yield str(place.parent), _likeness(place.name)
    if place.suffix == ".md":
        yield "page", _likeness(str(place.parent if place.name == "index.md" else place.with_suffix("")))


def _likeness(name: str) -> str:
    return unicodedata.normalize("NFC", name).casefold()


def _fault(folder: Path, place: PurePosixPath, first: Sequence[PurePosixPath]) -> str:
    is_tutorial = len(place.parts) == 1 and (folder / place / "index.md").is_file()
    if not is_tutorial and (fault := name_fault(place.name)):
        return fault
    if len(str(place)) > MAX_ADDRESS_LENGTH:
        return f"has an address of more than {MAX_ADDRESS_LENGTH} signs, with the folders in which it lies"
    other = next((each for each in first if each != place), place)
    if other == place:
        return ""
    return (f"is one with “{_printable(other.name)}” on some systems" if other.parent == place.parent
            else f"has the address of “{_printable(str(other))}”")


def _printable(name: str) -> str:
    return name.encode("utf-8", "replace").decode()

"""Names for the program as it was started: what it keeps is of use only to one that works as it does."""
from __future__ import annotations

import hashlib
import re
import sys
from functools import cache
from pathlib import Path

PACKAGE = Path(__file__).resolve().parents[1]
CODE_SUFFIXES = frozenset({".py", ".md", ".yaml", ".ttf"})
# whose answers end up in what is kept
LIBRARIES = ("babel", "ezdxf", "fonttools", "jinja2", "markdown", "mkdocs", "nh3", "num2words", "numpy",
             "pikepdf", "pillow", "shapely", "svgwrite")
_IMPORT = re.compile(rf"^ *from {PACKAGE.name}\.(\S+) import (\([^)]*\)|[\w, ]+)", re.MULTILINE)


@cache
def _files() -> dict[str, bytes]:
    """All files of the program, by their places in it."""
    return {path.relative_to(PACKAGE).as_posix(): path.read_bytes() for path in sorted(PACKAGE.rglob("*"))
            if path.suffix in CODE_SUFFIXES}


@cache
def code_version() -> str:
    """A name for the program as it was started: its files, its libraries, and Python."""
    return _digest(_files())


@cache
def code_of(module: str) -> str:
    """A name for what a module works by: its file, all that it imports, over any distance, and their words.

    Files that are no code count for all modules of their folder, and of the folders in it.
    """
    found: set[str] = set()
    left = [module.removeprefix(f"{PACKAGE.name}.").replace(".", "/")]
    while left:
        place = left.pop()
        name = next((each for each in (f"{place}.py", f"{place}/__init__.py") if each in _files()), "")
        if name and name not in found:
            found.add(name)
            for target, names in _IMPORT.findall(_files()[name].decode()):
                folder = target.replace(".", "/")
                # what is imported from a room may be a file of it
                left += [folder, *(f"{folder}/{each.split()[0]}" for each in names.strip("()").split(",")
                                   if each.strip())]
    rooms = {name.partition("/")[0] for name in found}
    found |= {name for name in _files() if not name.endswith(".py") and name.partition("/")[0] in rooms}
    return _digest(found) if found else code_version()


@cache
def _libraries() -> tuple[str, ...]:
    from importlib.metadata import version
    return tuple(f"{name} {version(name)}" for name in LIBRARIES)


def _digest(names: set[str] | dict[str, bytes]) -> str:
    result = hashlib.sha256("\n".join((sys.version, *_libraries())).encode())
    for name in sorted(names):
        data = _files()[name]
        result.update(f"{name} {len(data)}\n".encode())
        result.update(data)
    return result.hexdigest()

"""Pages in other languages.

"index.de.md" is "index.md" in German, and stands at its address followed by "de/".
"""
from __future__ import annotations

import posixpath
import re
from collections.abc import Iterable

from mkdocs.exceptions import PluginError
from mkdocs.structure.files import File, Files, InclusionLevel

from generator.locale import LANGUAGES

MAIN_LANGUAGE = "en"         # the language of every page that does not name another
PRINT_VIEW = "print"     # the name of a print view, which stands below its tutorial in each language
_TRANSLATED_NAME = re.compile(rf"(.*)\.({'|'.join(map(re.escape, LANGUAGES))})\.md\Z")


def language_of(uri: str) -> str:
    """The language of a page, from its name: "en" for most."""
    found = _TRANSLATED_NAME.match(uri)
    return found[2] if found else MAIN_LANGUAGE


def original_uri(uri: str) -> str:
    """The page that this one translates; itself in the main language."""
    found = _TRANSLATED_NAME.match(uri)
    return f"{found[1]}.md" if found else uri


def translated_uri(uri: str, code: str) -> str:
    """The same page in another language."""
    base = original_uri(uri)
    return base if code == MAIN_LANGUAGE else f"{base.removesuffix('.md')}.{code}.md"


def site_languages(files: Iterable[File]) -> tuple[str, ...]:
    """The languages in which a site has any page, the main one first."""
    codes = {language_of(file.src_uri) for file in files}
    return (MAIN_LANGUAGE, *(code for code in LANGUAGES if code in codes and code != MAIN_LANGUAGE))


def with_language_address(file: File) -> File:
    """The file with the address of its language; it stands in no menu by itself.

    In flat addresses its name does.
    """
    found = _TRANSLATED_NAME.match(file.src_uri)
    if found and found[2] != MAIN_LANGUAGE:
        file.inclusion = InclusionLevel.NOT_IN_NAV if file.inclusion.is_included() else file.inclusion
        if file.use_directory_urls:
            folder, name = posixpath.split(found[1])
            parts = {"index": (folder, found[2]),
                     PRINT_VIEW: (folder, found[2], PRINT_VIEW)}.get(name, (folder, name, found[2]))
            file.dest_uri = posixpath.join(*parts, "index.html")
    return file


def assign_addresses(files: Files) -> None:
    """Give every page its address. Raises PluginError where two would stand at one."""
    taken: dict[str, str] = {}
    for file in files.documentation_pages():
        with_language_address(file)
        if other := taken.get(file.dest_uri):
            raise PluginError(
                f"{file.src_uri} and {other} would stand at the same address: give one of them another name")
        taken[file.dest_uri] = file.src_uri

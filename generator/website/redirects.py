"""Pages at the former addresses of a tutorial: they lead to where it is now, without any program."""
from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from html import escape
from urllib.parse import urljoin

from mkdocs.exceptions import PluginError
from mkdocs.structure.files import File, Files
from mkdocs.utils import get_relative_url

from generator.locale import locale_for
from generator.website.finished import TutorialEntry
from generator.website.navigation import file_at, language_of, print_view_uri

# nothing is loaded, whatever a title says
_PAGE = """<!doctype html>
<html lang="{code}">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="robots" content="noindex">
<title>{title}</title>
<link rel="canonical" href="{whole}">
<meta http-equiv="refresh" content="0; url={near}">
</head>
<body>
<p>{moved} <a href="{near}">{title}</a></p>
</body>
</html>
"""


def redirect_files(entries: Iterable[TutorialEntry], files: Files, site: str) -> Mapping[str, bytes]:
    """By address the pages for all former names, in each language, of page and print view.

    Raises PluginError where another page stands there.
    """
    taken = {file.dest_uri for file in files}
    found = {}
    for entry in entries:
        for uri in (entry.uri, print_view_uri(entry.uri)):
            for address, page in _pages(entry, file_at(files, uri), site):
                if address in taken:
                    raise PluginError(f"{address} is a page of its own, and an alias of {entry.uri}: "
                                      "take the alias out")
                found[address] = page
    return found


def _pages(entry: TutorialEntry, file: File, site: str) -> Iterator[tuple[str, bytes]]:
    code = language_of(entry.uri)
    for alias in entry.aliases:
        old = "/".join((alias, *file.url.split("/")[1:]))
        near = get_relative_url(file.url, old)
        page = _PAGE.format(code=code, title=escape(entry.title), near=escape(near),
                            whole=escape(urljoin(site, file.url) if site else near),
                            moved=escape(locale_for(code).say("website.moved")))
        yield "/".join((alias, *file.dest_uri.split("/")[1:])), page.encode()

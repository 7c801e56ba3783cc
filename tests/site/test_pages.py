"""Every page of the built site, whatever its kind, is sound: valid, accessible, joined up, and fits
a phone.
"""
from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path
from urllib.parse import unquote, urljoin, urlsplit

import pytest
from lxml import html

from tests.site.page_kinds import addresses, by_kind
from tests.website.test_files_read_back import read_back

ADDRESSES = ("href", "src", "poster", "data")


def _targets(page: Path) -> Iterator[str]:
    for element in html.parse(page).getroot().iter():
        yield from (element.get(a) for a in ADDRESSES if isinstance(element.tag, str) and element.get(a))


def _missing(site: Path, page: Path) -> Iterator[str]:
    """Targets of a page's links, pictures, styles and scripts that the site does not have."""
    base = "/" + page.relative_to(site).as_posix()
    for target in _targets(page):
        if urlsplit(target).scheme or target.startswith("//"):
            continue
        whole = urlsplit(urljoin(base, target))
        path = site / unquote(whole.path).lstrip("/")
        path = path / "index.html" if path.is_dir() else path
        if not path.is_file():
            yield f"{base}: {target}"
        elif whole.fragment and path.suffix == ".html" and unquote(whole.fragment) not in _places(path):
            yield f"{base}: {target} (no such place on that page)"


@cache
def _places(page: Path) -> frozenset[str]:
    return frozenset(html.parse(page).getroot().xpath("//@id"))


def test_the_site_has_its_pages(built_site):
    """There is a gallery, a page for lost links, and at least one tutorial."""
    found = addresses(built_site)
    assert {"", "404.html"} < set(found) and len(found) > 2


def test_every_page_is_valid_html(built_site, html_faults):
    """The HTML checker holds nothing against any page."""
    faults = html_faults(built_site)
    assert not faults, "\n".join(faults)


def test_every_link_leads_somewhere(built_site):
    """Every link, picture, style and script that a page names within the site is there, places on
    pages too.
    """
    missing = [fault for page in sorted(built_site.rglob("*.html")) for fault in _missing(built_site, page)]
    assert not missing, "\n".join(missing)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_kind_of_page_is_accessible(built_site, page, axe, scheme):
    """The accessibility checker holds nothing against the largest page of each kind and language, in either
    colour scheme: pages of a kind have one template. In the dark one nothing but colours differs.
    """
    page.emulate_media(color_scheme=scheme)
    kinds = by_kind(built_site)
    assert {("", False), ("tutorial", False), ("tutorial", True), ("print", True)} <= set(kinds)
    faults = []
    for address, *_ in kinds.values():
        page.goto(address)
        faults += [f"{address or 'gallery'}: {fault}" for fault in axe(page, scheme)]
    assert not faults, "\n".join(faults)


def test_every_page_fits_every_screen(visits):
    """From 320 px on a page is read without scrolling sideways."""
    assert len(visits) > 2
    assert not [(address, width, wide) for address, visit in visits.items()
                for width, wide in visit.wide.items() if wide > width]


def test_every_file_is_read_back(built_site):
    """By a reader that is not ours, whatever its kind."""
    names = [path.relative_to(built_site).as_posix() for path in built_site.rglob("*") if path.is_file()]
    assert len(read_back({name: (built_site / name).read_bytes() for name in names})) > 200

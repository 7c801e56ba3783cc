"""What a reader has to fetch before a page stands."""
from __future__ import annotations

import gzip
import re
from pathlib import Path

from lxml import html

from tests.site.page_kinds import tutorials

WHOLE, FIRST = 110_000, 50_000      # bytes, compressed; of a page with some twelve steps
RAW, ALONE, NODES = 222_000, 160_000, 2_250     # bytes with styles and scripts, and without; elements
OWN = re.compile(r'(?:src|href)="((?:\.\./)*(?:css|js|images)/[^"]+)"')


def _weight(path: Path) -> int:
    return len(gzip.compress(path.read_bytes(), 6))


def test_a_tutorial_is_light(built_site):
    """Page, styles, scripts and icon together; and what must be there before the first paint: page, styles,
    first script.
    """
    for address in [path for one in tutorials(built_site) for path in (one, f"{one}de/")
                    if (built_site / path / "index.html").is_file()]:
        page = built_site / address / "index.html"
        text = page.read_text(encoding="utf-8")
        assert text.count('class="task"') >= 8
        needed = {name: _weight((page.parent / name).resolve()) for name in set(OWN.findall(text))}
        # once asked for
        later = [*(built_site / address.removesuffix("de/")).glob("fold-*.json"),
                 *(built_site / "js").glob("fold-*.js")]
        assert len(needed) > 8 and _weight(page) + sum(needed.values()) + sum(map(_weight, later)) <= WHOLE
        first = [n for name, n in needed.items() if name.endswith((".css", "units.js"))]
        assert _weight(page) + sum(first) <= FIRST, address


def test_a_tutorial_is_light_before_it_is_compressed(built_site):
    """What a browser has to read: the page with its styles and scripts; and how many elements it makes of it.

    Fonts are not counted. The aim is 150 kB with styles and scripts, and 1,500 elements.
    """
    for path in (each for one in tutorials(built_site) for each in (one, f"{one}de/")):
        if (page := built_site / path / "index.html").is_file():
            text = page.read_text(encoding="utf-8")
            own = {(page.parent / name).resolve() for name in OWN.findall(text) if "woff" not in name}
            alone = page.stat().st_size
            assert alone <= ALONE and alone + sum(each.stat().st_size for each in own) <= RAW, path
            assert sum(1 for _ in html.fromstring(text.encode()).iter("*")) <= NODES, path

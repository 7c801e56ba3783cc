"""What a reader has to fetch before a page stands."""
from __future__ import annotations

import gzip
import re
from pathlib import Path

from tests.site.page_kinds import tutorials

WHOLE, FIRST = 150_000, 64_000      # bytes, compressed; of a page with some twelve steps
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

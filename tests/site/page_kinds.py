"""Which pages of a built site are what."""
from __future__ import annotations

from pathlib import Path


def tutorials(site: Path) -> list[str]:
    """Addresses of the tutorials: the pages that have a print view."""
    return [f"{path.parents[1].relative_to(site).as_posix()}/"
            for path in sorted(site.glob("*/print/index.html"))]


def prints(site: Path) -> list[str]:
    """Addresses of the print views."""
    return [f"{address}print/" for address in tutorials(site)]


def german(site: Path) -> list[str]:
    """Addresses of the German pages."""
    return sorted(f"{path.parent.relative_to(site).as_posix()}/" for path in site.rglob("index.html")
                  if "de" in path.relative_to(site).parts)

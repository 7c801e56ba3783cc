"""Which pages of a built site are what."""
from __future__ import annotations

from pathlib import Path


def addresses(site: Path) -> list[str]:
    """The address of every page below the root of the site; index.html is left away."""
    names = sorted(path.relative_to(site).as_posix() for path in site.rglob("*.html"))
    return [name.removesuffix("index.html") for name in names]


def tutorials(site: Path) -> list[str]:
    """Addresses of the tutorials: the pages that have a print view."""
    return [f"{path.parents[1].relative_to(site).as_posix()}/"
            for path in sorted(site.glob("*/print/index.html"))]


def prints(site: Path) -> list[str]:
    """Addresses of the print views."""
    return [f"{address}print/" for address in tutorials(site)]


def by_kind(site: Path) -> dict[tuple[str, bool], list[str]]:
    """Addresses of all pages by (what they are, whether in German), of each kind the largest first."""
    found: dict[tuple[str, bool], list[str]] = {}
    for path in sorted(site.rglob("*.html"), key=lambda path: -path.stat().st_size):
        place = path.relative_to(site)
        parts = [part for part in place.parent.parts if part != "de"]
        kind = ("print" if parts[-1:] == ["print"] else "tutorial" if (path.parent / "print").is_dir()
                else "/".join(parts) if path.name == "index.html" else path.stem)
        found.setdefault((kind, "de" in place.parts), []).append(place.as_posix().removesuffix("index.html"))
    return found


def german(site: Path) -> list[str]:
    """Addresses of the German pages."""
    return sorted(f"{path.parent.relative_to(site).as_posix()}/" for path in site.rglob("index.html")
                  if "de" in path.relative_to(site).parts)

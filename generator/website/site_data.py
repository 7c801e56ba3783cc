"""What a site has beside its tutorials: pages made from data, the style of drawings, rules to print."""
from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import Any

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File

from generator.files import write_or_link
from generator.locale import Locale, locale_for
from generator.units import Bench, data_of
from generator.website.finished import FinishedPage, contents_bytes, contents_from_bytes
from generator.website.sources import CachedResults

DRAWING_STYLESHEET = "css/drawing.css"
PAGE, FILES = "page", "files"


class StoredFile(File):
    """A file at ``address`` below the site; ``read`` gives its content when it is written.

    So not all of them are held at once. Where that is done ``later``, MkDocs writes nothing. What the
    ``former`` site holds alike is taken from there.
    """

    def __init__(self, config: MkDocsConfig, address: str, read: Callable[[], bytes], later: bool,
                 former: Path | None = None) -> None:
        super().__init__(address, None, config.site_dir, config.use_directory_urls)
        self.generated_by = config.plugins._current_plugin or "foldgauge"
        self._read, self._later = read, later
        self._former = former and former / self.dest_uri

    def copy_file(self, dirty: bool = False) -> None:      # noqa: ARG002   # what is made is never clean
        """Write it; nothing where that is done later."""
        if not self._later:
            write_or_link(Path(self.abs_dest_path), self._read(), self._former)

    @property
    def _content(self) -> bytes:     # type: ignore[override]  # MkDocs asks for it like this
        return self._read()


class SiteData:
    """Made anew where ``results`` of an earlier build do not hold it; only then its makers are loaded."""

    def __init__(self, benches: Mapping[str, Bench], results: CachedResults) -> None:
        self._benches, self._results = benches, results
        self._made: dict[str, FinishedPage] = {}

    def page(self, uri: str, make: Callable[[], FinishedPage], shows: str = "") -> FinishedPage:
        """The page from this source, of an earlier build or by ``make``; ``shows`` names what it tells."""
        name = f"{uri} {shows}".rstrip()
        found: FinishedPage | None = self._results.record(f"{PAGE} {name}")
        if found is None:
            found = self._made[name] = make()
        return found

    def contents(self, name: str, locale: Locale) -> Mapping[str, Any]:
        """What the template of a page made from data shows."""
        from generator.website.data_page_contents import PAGE_CONTENTS
        return PAGE_CONTENTS[name](self._benches, locale)

    def files(self, codes: Iterable[str]) -> Mapping[str, bytes]:
        """(address below the site, content) for a site in these languages."""
        codes = tuple(codes)
        what = f"{FILES} {' '.join(codes)}"
        data = self._results.found(what)
        if data is not None:
            return contents_from_bytes(data)
        made = _files(codes)
        self._results.put(what, contents_bytes(made))
        return made

    def keep(self) -> None:
        """Store the pages that this build has made."""
        for uri, page in self._made.items():
            self._results.put(f"{PAGE} {uri}", data_of(page))


def _files(codes: Iterable[str]) -> dict[str, bytes]:
    from generator.drawing.backends.stylesheet import font_faces, stylesheet, web_fonts
    from generator.website.downloads import double_rule_files
    rules = dict(made for code in codes for made in double_rule_files(locale_for(code)))
    folder = DRAWING_STYLESHEET.rpartition("/")[0]
    return {**rules, DRAWING_STYLESHEET: f"{font_faces()}\n{stylesheet()}".encode(),
            **{f"{folder}/{name}": data for name, data in web_fonts().items()}}

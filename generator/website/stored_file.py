"""A file of the site whose content is read when it is written, so that not all of them are held at once."""
from __future__ import annotations

from collections.abc import Callable

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File


class StoredFile(File):
    """A file at ``address`` below the site; ``read`` gives its content."""

    def __init__(self, config: MkDocsConfig, address: str, read: Callable[[], bytes]) -> None:
        super().__init__(address, None, config.site_dir, config.use_directory_urls)
        self.generated_by = config.plugins._current_plugin or "foldgauge"
        self._read = read

    @property
    def _content(self) -> bytes:     # type: ignore[override]  # MkDocs asks for it like this
        return self._read()

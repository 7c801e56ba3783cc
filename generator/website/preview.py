"""The preview of ``mkdocs serve``: what nobody looks at is not made.

A page that nothing has changed is framed, and a file beside it written, when a browser asks for it.
"""
from __future__ import annotations

import threading
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from wsgiref.types import StartResponse, WSGIApplication, WSGIEnvironment

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import Files
from mkdocs.structure.pages import Page
from mkdocs.structure.toc import TableOfContents

from generator.files import replace_file

LONGEST_BUILD = 600.0       # seconds that a request waits for a build; then it gets what is there


class KnownPage(Page):
    """A page whose text is known already, so that MkDocs has nothing to read and to convert."""

    def read_source(self, config: MkDocsConfig) -> None:    # noqa: ARG002  # MkDocs hands it over
        """There is none."""
        self.markdown, self.meta = "", {}

    def render(self, config: MkDocsConfig, files: Files) -> None:   # noqa: ARG002  # as above
        """Nothing yet; the plugin puts in what it knows."""
        self.content, self.toc = "", TableOfContents([])
        self.present_anchor_ids, self.links_to_anchors = set(), {}


class Preview:
    """What the pages of the last good build are made from; ``building`` while there is a build."""

    def __init__(self) -> None:
        self._later: dict[str, Callable[[], bytes]] = {}
        self._making = threading.Lock()
        self._idle = threading.Event()
        self._idle.set()

    def begin(self) -> None:
        """A build begins: requests wait for it."""
        self._idle.clear()

    def end(self, later: Mapping[str, Callable[[], bytes]] | None = None,
            place: Callable[[], None] | None = None) -> None:
        """A build has ended, and well if it tells what is to be made ``later``, by address.

        ``place`` puts its pages where those of the build before are, while no request makes one there.
        """
        with self._making:
            if place is not None:
                place()
            if later is not None:
                self._later = dict(later)
        self._idle.set()

    def answering(self, app: WSGIApplication | None, folder: Path, mount: str) -> WSGIApplication:
        """``app``, which sends the files of ``folder`` below ``mount``, with what it lacks made first."""
        def answer(environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
            path = environ["PATH_INFO"].encode("latin-1").decode("utf-8", "replace")
            if path.startswith(mount):
                self._idle.wait(LONGEST_BUILD)
                address = path.removeprefix(mount)
                self._make(folder, f"{address}index.html" if address[-1:] in ("", "/") else address)
            assert app is not None      # MkDocs sets one
            return app(environ, start_response)
        return answer

    def _make(self, folder: Path, address: str) -> None:
        with self._making:
            make = self._later.get(address)
            if make is not None:
                (folder / address).parent.mkdir(parents=True, exist_ok=True)
                replace_file(folder / address, make())
                del self._later[address]

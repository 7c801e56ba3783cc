"""Between MkDocs' server and the browser: findings over the last good pages, and the policy of pages kept.

A build that fails would leave the server mute until the next one that does not: here it ends, the pages of
the build before stay, and each shows what is wrong. A page has the policy with which it is published; the one
script that the server puts into it to reload is let in by its digest.
"""
from __future__ import annotations

import base64
import hashlib
import logging
import re
import traceback
from collections.abc import Callable, Iterable
from pathlib import Path
from wsgiref.types import StartResponse, WSGIApplication, WSGIEnvironment

import click
from jinja2 import Environment
from mkdocs.commands import serve
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.livereload import LiveReloadServer

from generator.files import replace_file
from generator.locale import locale_for
from generator.website.navigation import MAIN_LANGUAGE

log = logging.getLogger("mkdocs.plugins.foldgauge")
SCRIPT_POLICY = b"script-src 'self'"
TROUBLE_TEMPLATE = "parts/trouble_over_page.html"
# where a build broke before it had any page: what is wrong is put into it, and the script that reloads
BLANK_PAGE = """<!doctype html>
<html lang="en">
<head><meta charset="utf-8"><meta http-equiv="Content-Security-Policy" content="script-src 'self'">
<title>Foldgauge</title></head>
<body></body>
</html>
"""
_PLACES = re.compile(rb"<main\b[^>]*>"), re.compile(rb"<body\b[^>]*>")


class PreviewFindings:
    """What the last build has to say; ``env`` are the templates of the last build that had any."""

    def __init__(self) -> None:
        # what is wrong, as printed; "" where the pages are those of the sources
        self.trouble = ""
        self.served = False             # whether there is a build to fall back on
        self.env = Environment(autoescape=True)

    def guard_first_build(self) -> Callable[[], None]:
        """Let MkDocs serve though its first build fails, with which it would end; gives what undoes that."""
        names = vars(serve)     # among which the server looks for what builds
        build = names["build"]

        def undo() -> None:
            names["build"] = build

        def guarded(config: MkDocsConfig, *, serve_url: str | None = None, dirty: bool = False) -> None:
            undo()
            self._guarded(lambda: build(config, serve_url=serve_url, dirty=dirty))()
        names["build"] = guarded
        return undo

    def attach(self, server: LiveReloadServer, config: MkDocsConfig) -> None:
        """Stand between this server and its browsers from now on."""
        self.served = True
        if self.env.loader is None:     # no build has got as far as to its templates
            self.env = config.theme.get_env()
            self.env.autoescape = True
            self.env.globals["say"] = locale_for(MAIN_LANGUAGE).section("website")
        server.builder = self._guarded(server.builder)
        server.set_app(self._over(server.get_app() or server.serve_request, server.mount_path,
                                  Path(server.root)))

    def _guarded(self, build: Callable[[], None]) -> Callable[[], None]:
        def guarded() -> None:
            self.trouble = ""
            try:
                build()
            except Exception as error:      # whatever it is, the next edit may mend it
                self.trouble = self.trouble or str(error) or type(error).__name__
                if not isinstance(error, click.ClickException):
                    traceback.print_exc()
                log.error("The pages are those of the build before, until the next edit: %s", error)
        return guarded

    def _over(self, app: WSGIApplication, root: str, folder: Path) -> WSGIApplication:
        def answer(environ: WSGIEnvironment, start: StartResponse) -> Iterable[bytes]:
            status, headers, parts = _answered(app, environ)
            # with the script that reloads, as a page has it
            if self.trouble and status.startswith("404"):
                if not (folder / "404.html").is_file():
                    replace_file(folder / "404.html", BLANK_PAGE.encode())
                _, headers, parts = _answered(app, {**environ, "PATH_INFO": f"{root}404.html"})
            if dict(headers).get("Content-Type", "").startswith("text/html"):
                page = self._page(b"".join(parts))
                headers = [*(each for each in headers if each[0] != "Content-Length"),
                           ("Content-Length", str(len(page)))]
                parts = [page]
            start(status, headers)
            return parts
        return answer

    def _page(self, page: bytes) -> bytes:
        page = with_reload_script(page)
        place = next(filter(None, (each.search(page) for each in _PLACES)), None) if self.trouble else None
        if place is None:
            return page
        shown = self.env.get_template(TROUBLE_TEMPLATE).render(trouble=self.trouble).encode()
        return page[:place.end()] + shown + page[place.end():]


def _answered(app: WSGIApplication, environ: WSGIEnvironment,
              ) -> tuple[str, list[tuple[str, str]], Iterable[bytes]]:
    """Status, headers and body of what an application answers."""
    said: list[tuple[str, list[tuple[str, str]]]] = []

    def start(status: str, headers: list[tuple[str, str]], _: object = None) -> Callable[[bytes], object]:
        said.append((status, headers))
        return lambda _: None
    parts = app(environ, start)
    return (*said[-1], parts)


def with_reload_script(page: bytes) -> bytes:
    """A page whose policy lets in the script that the server has put behind all else (CSP level 3, 2.3.1)."""
    start = page.rfind(b"<script>")
    end = page.find(b"</script>", start)
    if start < 0 or b"livereload(" not in page[start:end]:
        return page
    digest = base64.b64encode(hashlib.sha256(page[start + len(b"<script>"):end]).digest())
    return page.replace(SCRIPT_POLICY, SCRIPT_POLICY + b" 'sha256-" + digest + b"'", 1)

"""What tests of the built pages share: the site built once, a server on this machine, and the page
checkers.
"""
from __future__ import annotations

import json
import shutil
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from tempfile import TemporaryFile

import pytest
from playwright.sync_api import Browser, Page

from tests.site.page_kinds import addresses
from tests.site.page_visits import Visit, elsewhere, refuse_in, visited

ROOT = Path(__file__).resolve().parents[2]
MODULES = ROOT / "tests" / "node_modules"
AXE = MODULES / "axe-core" / "axe.min.js"
HTML_VALIDATE = MODULES / "html-validate" / "bin" / "html-validate.mjs"

# WCAG 2.2 level A and AA, and what the checker's makers count as good practice.
AXE_TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
# What alone can be wrong in another colour scheme, whose elements are the same.
AXE_COLOUR_RULES = ["color-contrast", "link-in-text-block"]


@pytest.fixture(scope="session")
def built_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the whole site, built once a run and strictly, as `make site` builds it."""
    folder = tmp_path_factory.mktemp("built") / "site"
    run = subprocess.run([sys.executable, "-m", "mkdocs", "build", "--strict", "--site-dir", str(folder)],
                         cwd=ROOT, capture_output=True, text=True)
    assert run.returncode == 0, run.stdout + run.stderr
    return folder


class _Handler(SimpleHTTPRequestHandler):
    """Serves files in silence, and the site's own page for what is not there."""

    def log_message(self, *_: object) -> None:
        pass

    def send_error(self, code: int, message: str | None = None, explain: str | None = None) -> None:
        lost = Path(self.directory) / "404.html"
        if code != 404 or not lost.is_file():
            super().send_error(code, message, explain)
            return
        body = lost.read_bytes()
        self.send_response(404)
        self.send_header("Content-Type", "text/html; charset=utf-8")
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)


@pytest.fixture(scope="session")
def site_url(built_site: Path) -> Iterator[str]:
    """The address of the built site on this machine, with a slash at its end."""
    with ThreadingHTTPServer(("127.0.0.1", 0), partial(_Handler, directory=str(built_site))) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}/"
        server.shutdown()


@pytest.fixture
def page(browser: Browser, site_url: str) -> Iterator[Page]:
    """A fresh page; the test fails when it fetched anything from elsewhere, or a script of it failed.

    Addresses may be given from the root of the site: ``page.goto("tea-caddy/")``.
    """
    # The checkers bring scripts of their own, which the pages' own policy would keep out.
    context = browser.new_context(base_url=site_url, bypass_csp=True)
    faults: list[str] = []
    context.route(elsewhere(site_url), refuse_in(faults))
    page = context.new_page()
    page.on("pageerror", lambda error: faults.append(f"script error: {error}"))
    yield page
    context.close()
    assert not faults, "\n".join(faults)


@pytest.fixture(scope="session")
def visits(browser: Browser, built_site: Path, site_url: str) -> dict[str, Visit]:
    """What every page shows, by its address, opened once for all tests."""
    return visited(browser, site_url, addresses(built_site))


def _needs(path: Path) -> None:
    if not path.is_file():
        pytest.skip(f"{path.relative_to(ROOT)} is not there: run npm ci in tests/")


@pytest.fixture(scope="session")
def axe() -> Callable[..., list[str]]:
    """``axe(page)`` is what the accessibility checker holds against the page as it stands, one line
    a place; with ``scheme="dark"`` by the rules of colours alone.
    """
    _needs(AXE)

    def run(page: Page, scheme: str = "light") -> list[str]:
        page.add_script_tag(path=AXE)
        only = {"type": "tag", "values": AXE_TAGS} if scheme == "light" else {"type": "rule",
                                                                              "values": AXE_COLOUR_RULES}
        result = page.evaluate("only => axe.run(document, {runOnly: only, resultTypes: ['violations']})",
                               only)
        return [f"{fault['id']}: {fault['help']}: {node['html'][:200]}"
                for fault in result["violations"] for node in fault["nodes"]]

    return run


@pytest.fixture(scope="session")
def html_faults() -> Callable[[Path], list[str]]:
    """``html_faults(folder)`` is what the HTML checker holds against every page below it, one line
    a place.
    """
    _needs(HTML_VALIDATE)
    node = shutil.which("node")
    if node is None:
        pytest.skip("no node on this machine")

    def run(folder: Path) -> list[str]:
        command = [node, str(HTML_VALIDATE), "--config", str(ROOT / "tests/htmlvalidate.json"),
                   "--formatter", "json", "--ext", "html", str(folder)]
        with TemporaryFile("w+", encoding="utf-8") as out:      # node cuts a long report short in a pipe
            checked = subprocess.run(command, cwd=ROOT / "tests", stdout=out, stderr=subprocess.PIPE,
                                     text=True)
            out.seek(0)
            said = out.read()
        assert said.strip(), checked.stderr
        return [f"{Path(report['filePath']).relative_to(folder)}:{fault['line']}: {fault['ruleId']}: "
                f"{fault['message']}"
                for report in json.loads(said) for fault in report["messages"]]

    return run

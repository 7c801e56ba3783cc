"""Sources by somebody who means harm run nothing, load nothing and show nothing of the machine."""
from __future__ import annotations

import logging
import threading
from collections.abc import Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from click.testing import CliRunner
from lxml import html
from mkdocs.__main__ import cli
from PIL import Image, PngImagePlugin

from generator.commands.check import check
from generator.language.source import markdown as source_markdown
from generator.website import plugin
from tests.site.hostile_sources import (
    ELSEWHERE,
    FRONT,
    IN_PROSE,
    RUN,
    SECRET,
    TRANSLATED,
    hostile_tutorial,
    sound_with,
)

THEME = Path(__file__).resolve().parents[2] / "theme"
CONFIG = """\
site_name: Somebody's shelf
docs_dir: tutorials
theme: {{name: null, custom_dir: "{theme}"}}
plugins: [foldgauge: {{jobs: 1}}]
markdown_extensions: [attr_list]
"""
ATTRIBUTES = {"alt", "aria-hidden", "class", "datetime", "dir", "height", "href", "id", "lang", "sizes",
              "src",
              "srcset", "title", "type", "width"}
PROSE_TAGS = {"a", "b", "br", "code", "div", "em", "figcaption", "figure", "img", "p", "picture", "pre",
              "source",
              "span"}

# what stands in an author's prose and is on no list
STRANGE = """([tags, known]) => [...document.querySelectorAll('.task .prose *, .intro *')].flatMap(e => [
    tags.includes(e.localName) ? '' : e.localName,
    ...[...e.attributes].map(a => a.name).filter(name => !known.includes(name))]).filter(Boolean)"""


@pytest.mark.parametrize("name", IN_PROSE)
def test_check_tells_of_it(name, tmp_path):
    """Each trick is an error of foldgauge check, at its line; what is shown as words is sound."""
    path = tmp_path / "box" / "index.md"
    path.parent.mkdir()
    Image.new("RGB", (4, 3)).save(path.parent / "strip.png")
    path.write_text(sound_with(IN_PROSE[name].text), encoding="utf-8")
    lines = sound_with("").count("\n")
    result = CliRunner().invoke(check, [str(path)])
    code = IN_PROSE[name].code
    if code:
        assert result.exit_code == 1 and f"[{code}]" in result.output
        assert any(f"index.md:{line}:" in result.output for line in range(lines, lines + 5))
    else:
        assert result.exit_code == 0, result.output


@pytest.fixture(scope="module")
def hostile_site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """The site as it is built when every finding is overlooked."""
    root = tmp_path_factory.mktemp("hostile")
    folder = root / "tutorials" / "box"
    folder.mkdir(parents=True)
    (root / "secret.txt").write_text(SECRET, encoding="utf-8")
    (root / "mkdocs.yml").write_text(CONFIG.format(theme=THEME.as_posix()), encoding="utf-8")
    (folder / "index.md").write_text(hostile_tutorial(FRONT), encoding="utf-8")
    (folder / "index.de.md").write_text(_without_fences(hostile_tutorial(TRANSLATED)), encoding="utf-8")
    said = PngImagePlugin.PngInfo()
    said.add_text("Comment", SECRET)
    Image.new("RGB", (40, 30), "tan").save(folder / "strip.png", pnginfo=said)
    (folder / "x.js").write_text(RUN, encoding="utf-8")
    (folder / "x").write_text(SECRET, encoding="utf-8")
    (root / "tutorials" / "parts").mkdir()
    log = logging.getLogger("mkdocs")
    before = list(log.handlers)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(source_markdown, "markup_findings", lambda *_: [])
        patch.setattr(plugin.os, "sync", lambda: None)
        result = CliRunner().invoke(cli, ["build", "--config-file", str(root / "mkdocs.yml")],
                                    catch_exceptions=False)
    log.handlers[:] = before
    assert result.exit_code == 0, result.output
    yield root / "site"


def _without_fences(text: str) -> str:
    before, _, rest = text.partition("```geometry")
    return before + rest.partition("```\n")[2]


class _Silent(SimpleHTTPRequestHandler):
    def log_message(self, *_: object) -> None:
        pass


def test_a_browser_meets_nothing_of_it(browser, hostile_site):
    """On every page, with the page's own policy put aside: no script of theirs runs, no dialog opens, nothing
    is asked for elsewhere or of the machine, no page goes away, and no element or attribute is in the prose
    that is on no list.
    """
    met: list[str] = []
    with ThreadingHTTPServer(("127.0.0.1", 0), partial(_Silent, directory=str(hostile_site))) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        own = f"http://127.0.0.1:{server.server_port}/"
        context = browser.new_context(bypass_csp=True)
        page = context.new_page()
        page.on("dialog", lambda dialog: (met.append(f"dialog {dialog.message}"), dialog.dismiss()))
        page.on("request", lambda request: request.url.startswith(own) or met.append(f"asked {request.url}"))
        page.on("popup", lambda _: met.append("popup"))
        for path in sorted({*hostile_site.glob("box/**/*.html"), *hostile_site.glob("*.html"),
                            *hostile_site.glob("search/**/*.html")}):
            address = own + path.relative_to(hostile_site).as_posix()
            page.goto(address)
            for link in page.query_selector_all("main .prose a, main b"):
                link.dispatch_event("mouseover")
                link.dispatch_event("focus")
            page.wait_for_timeout(150)
            met += [f"{address}: {each}"
                    for each in page.evaluate(STRANGE, [sorted(PROSE_TAGS), sorted(ATTRIBUTES)])]
            met += [f"{address} ran or went away"] * (page.url != address
                                                      or page.evaluate("window.ran") is not None)
        context.close()
        server.shutdown()
    assert not met, "\n".join(met)


def test_no_file_holds_what_is_theirs(hostile_site):
    """Read as HTML, no page has an element or attribute that runs; no file has anything of the machine."""
    for path in hostile_site.rglob("*"):
        if path.is_file():
            assert SECRET.encode() not in path.read_bytes(), path
    assert not [path for path in hostile_site.rglob("x*") if path.name in ("x", "x.js")]
    for path in hostile_site.rglob("*.html"):
        root = html.parse(path).getroot()
        for element in root.iter(html.etree.Element):
            assert element.tag not in ("iframe", "object", "embed", "base", "form"), (path, element.tag)
            for key, value in element.attrib.items():
                assert not key.startswith("on"), (path, key, value)
                if key in ("href", "src", "srcset"):
                    assert not value.strip().lower().startswith(("javascript", "data", "file",
                                                                 "vbscript")), path
                if key in ("src", "srcset"):
                    assert ELSEWHERE not in value, (path, value)
            if element.tag == "script":
                assert element.get("src") or element.get("type") == "application/ld+json", path

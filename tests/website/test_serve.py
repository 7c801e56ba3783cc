"""The preview: it follows every edit, shows warnings on the page, and survives a mistake."""
from __future__ import annotations

import base64
import hashlib
import os
import re
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from io import BytesIO
from urllib.error import HTTPError, URLError
from urllib.request import urlopen

import pdfplumber
import pytest

from tests.website.conftest import THEME

PATIENCE = 120  # seconds; a rebuild takes well below one, on a machine with nothing else to do


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


@pytest.fixture
def serving(project) -> Iterator[Callable[[Callable[[str], bool]], str]]:
    """``mkdocs serve`` on a copy of the theme; ``serving(wanted)`` waits until the tutorial's page is as
    wanted.
    """
    shutil.copytree(THEME, project.root / "theme")
    config = project.root / "mkdocs.yml"
    config.write_text(config.read_text(encoding="utf-8").replace(THEME.as_posix(), "theme"), encoding="utf-8")
    address = f"127.0.0.1:{free_port()}"
    process = subprocess.Popen([sys.executable, "-m", "mkdocs", "serve", "--dev-addr", address],
                               cwd=project.root, env={**os.environ, "PYTHONPATH": str(THEME.parent)},
                               stdout=subprocess.PIPE, stderr=subprocess.STDOUT)

    def page(wanted: Callable[[str], bool], place: str = "soap-sleeve/") -> str:
        end = time.monotonic() + PATIENCE
        text = ""
        while time.monotonic() < end and process.poll() is None:
            try:
                with urlopen(f"http://{address}/boxes/{place}", timeout=5) as answer:
                    text = answer.read().decode()
            except HTTPError as answer:
                text = answer.read().decode()
            except (URLError, TimeoutError, ConnectionError):
                text = ""
            if text and wanted(text):
                return text
            time.sleep(0.1)
        process.kill()
        pytest.fail(f"not within {PATIENCE} s; it said: {process.communicate()[0].decode()}")

    page.address = address
    yield page
    process.terminate()
    output = process.communicate(timeout=PATIENCE)[0].decode()
    assert "Traceback" not in output, output


def test_the_preview_follows_the_source_and_the_theme(serving, project, edited):
    """A changed dimension, a changed template, a mistake and its mending: each is on the page after the next
    look.
    """
    first = serving(lambda text: "60 and 120\u00a0mm" in text or "60 and 120&nbsp;mm" in text)
    assert "typed by hand" not in first and 'id="the-warnings"' not in first
    edited("panel: 60 mm", "panel: 65 mm")
    serving(lambda text: "65 and 130" in text)
    template = project.root / "theme" / "parts" / "units.html"
    template.write_text("<p>no units today</p>\n", encoding="utf-8")
    serving(lambda text: "no units today" in text)
    edited("every(panel, 2)", "every(pannel, 2)")
    shown = serving(lambda text: "nothing is called &#39;pannel&#39;" in text)
    assert "65 and 130" in shown and "no units today" in shown and "livereload(" in shown
    edited("every(pannel, 2)", "every(panel, 3)")
    edited("2*panel", "3*panel")
    serving(lambda text: "65, 130 and 195" in text)


@pytest.fixture
def broken(project, edited) -> None:
    """The source has a mistake from the start."""
    edited("every(panel, 2)", "every(pannel, 2)")
    (project.source.parents[1] / "lid").mkdir()
    lid = project.source.read_text(encoding="utf-8").replace("pannel",
                                                             "panel").replace("Sleeve for", "Lid for")
    (project.source.parents[1] / "lid" / "index.md").write_text(lid.replace(
        '![The strip on the board.](strip.png "Two scores")', ""), encoding="utf-8")


def test_a_preview_begins_with_a_broken_source(broken, serving, edited):
    """The first build has a mistake: it stands over the pages of the others and in place of its own, which
    comes with its mending; not a word of the source is shown raw.
    """
    text = serving(lambda text: "nothing is called &#39;pannel&#39;" in text)
    assert "livereload(" in text and "Soap wants air" not in text and "index.md:29:31" in text.partition(
        "<main")[2]
    lid = serving(lambda text: "Lid for" in text, "lid/")
    assert "nothing is called &#39;pannel&#39;" in lid and "60 and 120" in lid
    edited("every(pannel, 2)", "every(panel, 2)")
    assert "pannel" not in serving(lambda text: "60 and 120" in text)
    assert "pannel" not in serving(lambda text: "Lid for" in text and "pannel" not in text, "lid/")


HOOK = """
def on_files(files, config):
    if "PLUGIN" in open("tutorials/about.md").read():
        raise ValueError("worn out at the files")

def on_page_content(html, page, **_):
    if "STAGE" in html:
        raise ValueError("worn out at the page")
"""


@pytest.fixture
def worn(project, edited) -> None:
    """A plugin of the site breaks where files are gathered, and where a page of the tutorial is made."""
    (project.root / "hook.py").write_text(HOOK, encoding="utf-8")
    config = project.root / "mkdocs.yml"
    config.write_text(f"{config.read_text(encoding='utf-8')}hooks: [hook.py]\n", encoding="utf-8")
    (project.root / "tutorials" / "about.md").write_text("# PLUGIN\n", encoding="utf-8")
    edited("Soap wants air", "Soap STAGE wants air")


def test_a_preview_begins_though_its_first_build_breaks_after_reading(worn, serving, project, edited):
    """In the browser stands what broke, with its stage and place, where not a page is made and where some
    are; each edit is followed until the site is there.
    """
    text = serving(lambda text: "worn out at the files" in text)
    assert "livereload(" in text and "stage-failed" in text
    (project.root / "tutorials" / "about.md").write_text("# The stall\n", encoding="utf-8")
    text = serving(lambda text: "worn out at the page" in text)
    assert "soap-sleeve/index.md:" in text and "livereload(" in text
    edited("STAGE ", "")
    text = serving(lambda text: "60 and 120" in text)
    assert "worn out" not in text


def test_a_later_build_that_breaks_keeps_the_pages_of_the_one_before(settled, serving, project, edited):
    """Where no page is made, and where a page of the tutorial breaks: what broke stands over the last good
    pages, also over those that are made when they are asked for; nothing of a half build is shown.
    """
    about = project.root / "tutorials" / "about.md"
    serving(lambda text: "60 and 120" in text)
    edited("panel: 60 mm", "panel: 65 mm")
    serving(lambda text: "65 and 130" in text)
    for place, slip in ((about, "PLUGIN"), (project.source, "STAGE")):
        sound = place.read_text(encoding="utf-8")
        place.write_text(sound.replace("Saturdays", f"{slip} Saturdays").replace(
            "Soap wants", f"{slip} Soap wants"), encoding="utf-8")
        told = "worn out at the " + ("files" if slip == "PLUGIN" else "page")
        text = serving(lambda text, told=told: told in text)
        assert "65 and 130" in text and "livereload(" in text and "Soap wants" in text
        assert "65 and 130" in serving(lambda text, told=told: told in text, "soap-sleeve/print/")
        assert "Saturdays" in serving(lambda text, told=told: told in text, "about/")
        assert b"{" in urlopen(f"http://{serving.address}/boxes/css/page.css", timeout=PATIENCE).read()
        place.write_text(sound, encoding="utf-8")
        serving(lambda text: "worn out" not in text and "65 and 130" in text)


@pytest.fixture
def settled(worn, project, edited) -> None:
    """The plugin that breaks is there, and nothing yet at which it does."""
    (project.root / "tutorials" / "about.md").write_text("# The stall\n\nSaturdays.\n", encoding="utf-8")
    edited("Soap STAGE wants air", "Soap wants air")


def test_a_link_to_elsewhere_is_told_before_anything_is_read(project, serving_linked):
    """A first build among links to the machine shows that, and nothing of what they lead to."""
    text = serving_linked(lambda text: "is a link to another place" in text, "")
    assert "4711" not in text
    assert "4711" not in serving_linked(lambda text: "is a link to another place" in text, "soap-sleeve/")


@pytest.fixture
def serving_linked(project, tmp_path_factory, request):
    """The preview of a site in which one page is a link to a file of the machine."""
    secret = tmp_path_factory.mktemp("machine") / "secret.md"
    secret.write_text("# 4711\n", encoding="utf-8")
    (project.source.parents[1] / "secret.md").symlink_to(secret)
    return request.getfixturevalue("serving")


def test_the_preview_has_the_policy_of_the_published_page(serving, project):
    """Content Security Policy, level 3, 2.3.1: the same but for the digest of the one script that reloads."""
    assert project.build().exit_code == 0
    policy = re.compile(r'<meta http-equiv="Content-Security-Policy" content="([^"]*)">')
    published = policy.search((project.site / "soap-sleeve/index.html").read_text(encoding="utf-8"))[1]
    text = serving(lambda text: "livereload(" in text)
    script = text.rpartition("<script>")[2].partition("</script>")[0]
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    assert policy.search(text)[1] == published.replace("script-src 'self'",
                                                       f"script-src 'self' 'sha256-{digest}'")
    assert "unsafe" not in published and policy.search(text)[1] != published


def test_a_browser_runs_the_script_that_reloads_and_no_other(browser, serving, edited):
    """An edit is on the page by itself, and nothing broke the policy."""
    serving(lambda text: "livereload(" in text)
    page = browser.new_page()
    page.add_init_script(
        "document.addEventListener('securitypolicyviolation', e => console.error('refused'))")
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.goto(f"http://{serving.address}/boxes/soap-sleeve/")
    edited("panel: 60 mm", "panel: 65 mm")
    page.wait_for_selector("text=65 and 130", state="attached", timeout=PATIENCE * 1000)
    page.close()
    assert "Enabled live reload" in said and "refused" not in said


def test_a_warning_stands_on_the_page(serving, edited):
    """While writing, the author sees what to look at, with its line, where the text is."""
    edited("Soap wants air", "Soap wants air, 5 mm of it")
    text = serving(lambda text: 'id="the-warnings"' in text)
    assert "tutorials/soap-sleeve/index.md:12" in text


def test_the_authors_table_stands_in_the_preview(serving):
    """What was drawn, its exact conversion and what is published, for whoever writes: 60 mm, 2.36 in, 2 3/8
    in.
    """
    text = serving(lambda text: "exact conversion" in text)
    assert "<td>60 mm</td><td>2.36 in</td><td>2 3/8 in</td>" in text


def pdf_words(data: bytes) -> str:
    """All that a document says, page by page."""
    with pdfplumber.open(BytesIO(data)) as document:
        return "\f".join(page.extract_text() for page in document.pages)


def test_what_is_made_later_is_made_when_it_is_asked_for(serving, project, edited):
    """Print view, words, share picture and templates of an unchanged tutorial: whole, as published.

    Sheets that say where the tutorial is say the address of the preview, so their words are compared.
    """
    assert project.build("--strict").exit_code == 0
    first = serving(lambda text: "60 and 120" in text)
    base = serving.address
    names = sorted(path.relative_to(project.site).as_posix() for path in project.site.rglob("*")
                   if path.is_file())
    assert "soap-sleeve/share.png" in names and sum(name.endswith(".pdf") for name in names) > 8
    for name in names:
        with urlopen(f"http://{base}/boxes/{name}", timeout=PATIENCE) as answer:
            told = answer.read()
        if name.endswith(".html"):
            assert b"made when a browser asks" not in told and len(told) > 2000, name
        elif name.endswith(("-bundle.pdf", "-project-sheet.pdf", "-project-sheet-large.pdf")):
            published = pdf_words((project.site / name).read_bytes())
            assert pdf_words(told).replace(f"http://{base}/", "https://stall.example/") == published, name
            assert "https://stall.example/" in published, name
        elif not name.endswith((".xml", ".xml.gz", ".json")):
            assert told == (project.site / name).read_bytes(), name
    assert (project.root / ".foldgauge" / "cache").is_dir() and "made when a browser asks" not in first
    edited("panel: 60 mm", "panel: 65 mm")
    serving(lambda text: "65 and 130" in text)
    edited("panel: 65 mm", "panel: 60 mm")
    serving(lambda text: "60 and 120" in text)      # found again, so it is framed when it is asked for
    with urlopen(f"http://{base}/boxes/soap-sleeve/print/", timeout=PATIENCE) as answer:
        assert b"60 and 120" in answer.read()

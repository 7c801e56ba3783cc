"""The preview: it follows every edit, shows warnings on the page, and survives a mistake."""
from __future__ import annotations

import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from urllib.error import URLError
from urllib.request import urlopen

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
                               cwd=project.root,
                               stdout=subprocess.PIPE, stderr=subprocess.STDOUT)

    def page(wanted: Callable[[str], bool]) -> str:
        end = time.monotonic() + PATIENCE
        text = ""
        while time.monotonic() < end and process.poll() is None:
            try:
                with urlopen(f"http://{address}/boxes/soap-sleeve/", timeout=5) as answer:
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
    time.sleep(1.5)                                 # the host answers nobody until the mistake is mended
    edited("every(pannel, 2)", "every(panel, 3)")
    edited("2*panel", "3*panel")
    serving(lambda text: "65, 130 and 195" in text)


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


def test_what_is_made_later_is_made_when_it_is_asked_for(serving, project, edited):
    """Print view, words, share picture and templates of an unchanged tutorial: whole, as published."""
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
            assert b"Not made yet" not in told and len(told) > 2000, name
        elif not name.endswith((".xml", ".xml.gz", ".json")):
            assert told == (project.site / name).read_bytes(), name
    assert (project.root / ".foldgauge" / "cache").is_dir() and "Not made yet" not in first
    edited("panel: 60 mm", "panel: 65 mm")
    serving(lambda text: "65 and 130" in text)
    edited("panel: 65 mm", "panel: 60 mm")
    serving(lambda text: "60 and 120" in text)      # found again, so it is framed when it is asked for
    with urlopen(f"http://{base}/boxes/soap-sleeve/print/", timeout=PATIENCE) as answer:
        assert b"60 and 120" in answer.read()

"""A small site of its own for each test: the market stall's sleeve for a bar of soap, a photo, a
plain page.
"""
from __future__ import annotations

import logging
import os
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from lxml import html
from mkdocs.__main__ import cli
from PIL import Image

THEME = Path(__file__).resolve().parents[2] / "theme"

CONFIG = """\
site_name: The Saturday stall
site_url: https://stall.example/boxes/
docs_dir: tutorials
theme: {{name: null, custom_dir: "{theme}"}}
plugins: [foldgauge]
"""

SLEEVE = """\
---
title: Sleeve for a bar of soap
summary: A sleeve with a seam that nobody sees.
drawn_in: mm
lengths: {panel: 60 mm, high: 80 mm, tab: 10 mm}
editions:
  in: {panel: 2 3/8 in, high: 3 1/8 in, tab: 3/8 in}
level: easy
time: 20 min
---

Soap wants air: the sleeve is open at both ends.

## Cut the strip

Cut a strip of {{ size(strip) }}. See [the stall](../about.md).

```geometry
strip = sheet(width=2*panel + tab, height=high)
```

## Score the panels

Score at {{ panels.marks }}.

![The strip on the board.](strip.png "Two scores")

```geometry
panels = score(strip, x=every(panel, 2))
```
"""


@dataclass(frozen=True)
class Project:
    """A site's folder; ``site`` is where its pages go."""

    root: Path

    @property
    def site(self) -> Path:
        return self.root / "site"

    @property
    def source(self) -> Path:
        return self.root / "tutorials" / "soap-sleeve" / "index.md"

    def build(self, *options: str) -> Result:
        """Run ``mkdocs build`` as a person would."""
        return CliRunner().invoke(cli, ["build", "--config-file", str(self.root / "mkdocs.yml"), *options],
                                  catch_exceptions=False)

    def page(self, address: str) -> html.HtmlElement:
        """A built page."""
        return html.parse(self.site / address).getroot()

    def files(self) -> dict[str, bytes]:
        """Every file of the built site."""
        return {path.relative_to(self.site).as_posix(): path.read_bytes()
                for path in sorted(self.site.rglob("*")) if path.is_file()}


def new_project(root: Path) -> Project:
    """The small site, not yet built."""
    (root / "tutorials" / "soap-sleeve").mkdir(parents=True)
    (root / "mkdocs.yml").write_text(CONFIG.format(theme=THEME.as_posix()), encoding="utf-8")
    made = Project(root)
    made.source.write_text(SLEEVE, encoding="utf-8")
    (root / "tutorials" / "about.md").write_text("# The stall\n\nSaturdays, from eight.\n", encoding="utf-8")
    Image.new("RGB", (40, 30), "tan").save(made.source.parent / "strip.png")
    return made


@pytest.fixture(scope="session")
def built_cache(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What a build of the unchanged site keeps for the next one."""
    made = new_project(tmp_path_factory.mktemp("first"))
    assert made.build().exit_code == 0
    return made.root / ".foldgauge"


@pytest.fixture
def project(tmp_path: Path, built_cache: Path) -> Project:
    """A site that builds; the test may change its files. What an unchanged one keeps is there already."""
    shutil.copytree(built_cache, tmp_path / ".foldgauge")
    return new_project(tmp_path)


@pytest.fixture(autouse=True)
def idle_disk(monkeypatch: pytest.MonkeyPatch) -> None:
    """A build waits for the disk before it publishes; tests need not, since no power cut is tried."""
    if hasattr(os, "sync"):
        monkeypatch.setattr(os, "sync", lambda: None)


@pytest.fixture(autouse=True)
def quiet_log() -> Iterator[None]:
    """The host adds a handler to its log on every run; take them away again."""
    log = logging.getLogger("mkdocs")
    before = list(log.handlers)
    yield
    log.handlers[:] = before


@pytest.fixture
def edited(project: Project) -> Callable[[str, str], None]:
    """``edited(old, new)`` changes the source."""
    def edit(old: str, new: str) -> None:
        text = project.source.read_text(encoding="utf-8")
        assert old in text
        project.source.write_text(text.replace(old, new), encoding="utf-8")
    return edit

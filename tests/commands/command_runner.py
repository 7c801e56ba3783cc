"""Run ``foldgauge`` within a test, in a folder of its own."""
from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from generator.commands.main import foldgauge

SLEEVE = """---
title: A sleeve
drawn_in: mm
counts: {sides: 4}
lengths: {panel: 30 mm, wall: 60 mm, tab: 10 mm}
editions: {in: {panel: 1 1/4 in, wall: 2 1/2 in, tab: 3/8 in}}
---

## Cut and score

Cut a strip {{ strip.width }} long and score it at {{ panels.marks }}.

```geometry
strip = sheet(width=sides*panel + tab, height=wall)
panels = score(strip, x=every(panel, sides))
```
"""
BROKEN = SLEEVE.replace("every(panel, sides)", "every(pannel, sides)")
WARNED = SLEEVE.replace("at {{ panels.marks }}", "at 30 mm")


def run(*arguments: str | Path, stdin: str | bytes | None = None) -> Result:
    """Run the command, with what is typed into it; an exception that is not an exit is the test's failure."""
    result = CliRunner().invoke(foldgauge, [str(a) for a in arguments], stdin, prog_name="foldgauge")
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result


def write(folder: Path, text: str = SLEEVE, slug: str = "sleeve") -> Path:
    """A source in a folder of tutorials."""
    path = folder / slug / "index.md"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """An empty folder to stand in."""
    monkeypatch.chdir(tmp_path)
    return tmp_path

"""How far a build is stands at the terminal, unless it was told to be quiet."""
from __future__ import annotations

import io
import logging
import sys

import pytest

from generator.units import default_bench
from generator.website.finished import SourceRequest
from generator.website.sources import read_sources

BENCHES = {system: default_bench(system) for system in ("mm", "in")}


class Terminal(io.StringIO):
    """A stream that a person looks at."""

    def isatty(self) -> bool:
        """It is."""
        return True


@pytest.mark.parametrize(("level", "told"), [(logging.INFO, True), (logging.ERROR, False)])
def test_a_quiet_build_tells_no_progress(tmp_path, monkeypatch, level, told):
    """``mkdocs build -q`` lets through errors alone: its logger has that level, else that of information."""
    requests = []
    for slug in ("one", "two"):
        (tmp_path / slug).mkdir()
        (tmp_path / slug / "index.md").write_text("# No front matter\n", encoding="utf-8")
        address = f"{slug}/index.md"
        requests.append(SourceRequest(address, str(tmp_path / address), address, BENCHES, ("en",), True, ""))
    screen, logger = Terminal(), logging.getLogger("mkdocs")
    monkeypatch.setattr(sys, "stderr", screen)
    before = logger.level
    logger.setLevel(level)
    try:
        assert len(read_sources(requests, "", None).findings) >= 2
    finally:
        logger.setLevel(before)
    assert ("working out 1 of 2: one/index.md" in screen.getvalue()) is told
    assert bool(screen.getvalue()) is told

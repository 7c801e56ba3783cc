"""The published pages wait aside while new ones are made."""
from __future__ import annotations

from pathlib import Path

import pytest

from generator.website.atomic_publish import AtomicPublish


@pytest.fixture
def site(tmp_path: Path) -> Path:
    folder = tmp_path / "site"
    (folder / "caddy").mkdir(parents=True)
    (folder / "caddy" / "index.html").write_text("old")
    (folder / ".nojekyll").write_text("")
    return folder


def pages(folder: Path) -> dict[str, str]:
    return {p.relative_to(folder).as_posix(): p.read_text() for p in sorted(folder.rglob("*")) if p.is_file()}


def test_a_broken_build_leaves_what_was_there(site):
    """Whatever it had written goes, whatever was there comes back, and no trace of the waiting is left."""
    before = pages(site)
    kept = AtomicPublish(site)
    kept.back_up()
    (site / "half.html").write_text("new")
    kept.restore()
    assert pages(site) == before and not (site.parent / ".foldgauge").exists()


def test_a_whole_build_replaces_it(site):
    """The new pages stay, the old ones go; hidden files stay where they were, as the host leaves them too."""
    kept = AtomicPublish(site)
    kept.back_up()
    (site / "index.html").write_text("new")
    kept.discard_backup()
    assert pages(site) == {".nojekyll": "", "index.html": "new"} and not (site.parent / ".foldgauge").exists()


def test_a_build_that_was_killed_is_made_good_by_the_next(site):
    """Pages that were left aside come back before they are set aside again."""
    before = pages(site)
    AtomicPublish(site).back_up()
    (site / "half.html").write_text("half")
    again = AtomicPublish(site)
    again.back_up()
    again.restore()
    assert pages(site) == before


def test_a_first_build_has_nothing_to_keep(tmp_path):
    """Without an old site nothing is made beside it, and a broken build leaves none."""
    kept = AtomicPublish(tmp_path / "site")
    kept.back_up()
    kept.restore()
    kept.discard_backup()
    assert list(tmp_path.iterdir()) == []


def test_other_things_of_that_folder_stay(site):
    """The folder in which the pages wait may hold more: only what is ours is taken away."""
    other = site.parent / ".foldgauge" / "cache"
    other.mkdir(parents=True)
    kept = AtomicPublish(site)
    kept.back_up()
    kept.discard_backup()
    assert other.is_dir()

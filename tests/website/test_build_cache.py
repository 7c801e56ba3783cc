"""What is kept from one build to the next is what would be worked out again, or it is not used."""
from __future__ import annotations

from pathlib import Path

import pytest

from generator.locale import ENGLISH
from generator.tutorial import load
from generator.tutorial.template_files import template_files
from generator.units import default_bench
from generator.website import build_cache as kept_file
from generator.website.build_cache import CachedResults, cached_results_for
from generator.website.prose import InlineMarkdown
from generator.website.template_cache import cached_templates
from generator.website.view import problem_table
from tests.time_limits import within

BENCHES = {system: default_bench(system) for system in ("mm", "in")}
SOURCE = Path(__file__).resolve().parents[2] / "tutorials" / "soap-tray" / "index.md"
TRAY = load(SOURCE, "index.md", BENCHES).tutorial


def key(folder, sources=("caddy/index.md", "words"), benches=BENCHES) -> str:
    """The name under which what comes of these sources is kept."""
    return cached_results_for(sources, benches, folder, {}).key


@pytest.fixture(scope="module")
def filled():
    """What two answers left in a cache, and the answers."""
    cache = {}
    kept = CachedResults(cache, "k")
    return cache, cached_templates(TRAY, kept), problem_table(TRAY, InlineMarkdown(), ENGLISH, kept)


def test_what_is_kept_is_what_was_made(filled, monkeypatch):
    """Files and rows are the same with a cache and without, and nothing is worked out for those that are
    kept.
    """
    cache, files, rows = filled
    assert files == template_files(TRAY) and files.files and rows.rows and rows == problem_table(
        TRAY, InlineMarkdown())
    for work in ("template_cache.template_files", "view.troubleshoot"):
        monkeypatch.setattr(f"generator.website.{work}", None)
    kept = CachedResults(cache, "k")
    with within(0.1):
        assert cached_templates(TRAY, kept) == files and problem_table(TRAY, InlineMarkdown(), ENGLISH,
                                                                       kept) == rows


@pytest.mark.parametrize("spoil", [lambda _: b"", lambda data: data[:-1], lambda data: data + b"x",
                                   lambda data: data[:40] + bytes((data[40] ^ 1,)) + data[41:]])
def test_a_spoiled_entry_is_made_again(filled, spoil):
    """Cut short, longer or with a bit turned: it is not there, and a sound one takes its place."""
    cache, files, rows = filled
    spoiled = {name: spoil(data) for name, data in cache.items()}
    kept = CachedResults(spoiled, "k")
    assert kept.found("templates") is None and kept.found("troubles") is None
    assert cached_templates(TRAY, kept) == files and problem_table(TRAY, InlineMarkdown(), ENGLISH,
                                                                   kept) == rows
    assert spoiled == cache


def test_sources_benches_parts_and_code_make_the_key(tmp_path, monkeypatch):
    """A change in any of them and it is another key; nothing changed and it is the same."""
    first = key(tmp_path)
    assert key(tmp_path) == first
    keys = {first, key(tmp_path, ("caddy/index.md", "word")), key(tmp_path, ("caddy/index.de.md", "words")),
            key(tmp_path, benches={**BENCHES, "mm": BENCHES["in"]})}
    (tmp_path / "parts").mkdir()
    (tmp_path / "parts" / "lid.md").write_text("a part", encoding="utf-8")
    keys.add(key(tmp_path))
    monkeypatch.setattr(kept_file, "code_version", lambda: "another")
    assert len(keys | {key(tmp_path)}) == 6


def test_every_file_of_the_program_makes_its_version(tmp_path, monkeypatch):
    """Code, words and parts count, whatever folder they lie in; what else lies there does not."""
    monkeypatch.setattr(kept_file, "PACKAGE", tmp_path)
    versions = []
    for name, text in (("a.py", "1"), ("a.py", "2"), ("words/de/a.yaml", "a: b"), ("parts/lid.md", "x"),
                       ("a.pyc", "3")):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
        versions.append(kept_file.code_version.__wrapped__())
    assert len(set(versions[:4])) == 4 and versions[4] == versions[3]


def test_without_a_cache_nothing_is_kept():
    """Then everything is worked out each time."""
    kept = CachedResults()
    kept.put("x", b"1")
    assert kept.found("x") is None

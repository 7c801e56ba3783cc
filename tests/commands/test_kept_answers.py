"""What check and why have found is kept with what builds keep, until what it is made from changes."""
from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from generator.commands.main import foldgauge

SHELF = Path(__file__).resolve().parents[2] / "tutorials"


@pytest.fixture
def site(tmp_path, monkeypatch) -> Path:
    """A site of one tutorial, built once; the commands are called in its folder."""
    shutil.copytree(SHELF / "seed-envelope", tmp_path / "tutorials" / "seed-envelope")
    (tmp_path / "mkdocs.yml").write_text("site_name: A\ndocs_dir: tutorials\n", encoding="utf-8")
    (tmp_path / ".foldgauge" / "cache").mkdir(parents=True)
    monkeypatch.chdir(tmp_path)
    return tmp_path / "tutorials"


def run(*words: str):
    """The command, with its output."""
    return CliRunner().invoke(foldgauge, words)


def never(*_: object, **__: object) -> None:
    """What loads a source where nothing should."""
    raise AssertionError("worked out anew")


@pytest.mark.parametrize("words", [("check", "tutorials"), ("check", "--json", "tutorials/seed-envelope"),
                                   ("why", "tutorials/seed-envelope", "side")])
def test_what_was_found_is_found_again(site, monkeypatch, words):
    """The same words without any work; and with it where source, part, photo or bench is another."""
    first = run(*words)
    assert first.exit_code == 0 and first.output
    monkeypatch.setattr(f"generator.commands.{words[0]}.load_source", never)
    assert run(*words).output == first.output
    source, settings = site / "seed-envelope" / "index.md", site.parent / "mkdocs.yml"
    for path, added in ((source, "\n"), (site / "parts" / "x.md", "x"), (source.with_name("new.png"), ""),
                        (settings, "plugins: [{foldgauge: {benches: {mm: {board: 2 mm}}}}]\n")):
        before = path.read_text(encoding="utf-8") if path.exists() else None
        path.parent.mkdir(exist_ok=True)
        path.write_text((before or "") + added, encoding="utf-8")
        assert isinstance(run(*words).exception, AssertionError), path
        if before is None:
            path.unlink()
        else:
            path.write_text(before, encoding="utf-8")
    assert run(*words).output == first.output


def test_errors_are_kept_with_their_lines(site):
    """The second time as the first: the same findings at the same places, and the same exit status."""
    source = site / "seed-envelope" / "index.md"
    source.write_text(source.read_text(encoding="utf-8").replace("mountain", "mountian", 1), encoding="utf-8")
    first, again = run("check", "tutorials"), run("check", "tutorials")
    assert first.exit_code == again.exit_code == 1
    assert first.output == again.output and "mountian" in first.output


def test_without_a_build_nothing_is_begun(site):
    """A folder that no build has made is not made by a check."""
    shutil.rmtree(site.parent / ".foldgauge")
    assert run("check", "tutorials").exit_code == 0
    assert not (site.parent / ".foldgauge").exists()

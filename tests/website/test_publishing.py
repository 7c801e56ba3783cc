"""A build publishes whole or not at all, as a person runs it."""
from __future__ import annotations

import errno
import os
import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from click.testing import CliRunner
from mkdocs.__main__ import cli
from mkdocs.commands import gh_deploy
from mkdocs.config import load_config
from mkdocs.utils import write_file

from generator.files import AtomicPublish

KILLS = int(os.environ.get("FOLDGAUGE_KILLS", "2"))      # at random instants: 100 before a release
KILLED_WITHIN = 4.0      # s: a build of this site takes less


def started(project, *options: str) -> subprocess.Popen:
    return subprocess.Popen([sys.executable, "-m", "mkdocs", "build", "-f", "mkdocs.yml", *options],
                            cwd=project.root, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
                            env={**os.environ, "NO_COLOR": "1", "PYTHONUNBUFFERED": "1",
                                 "PYTHONPATH": str(Path(__file__).parents[2])})


def left(project) -> list[str]:
    return sorted(path.name for path in (project.root / ".foldgauge").iterdir())


def test_killed_at_random_instants(project, edited):
    """The old site to the byte, or the new one; broken builds change nothing, and a good one is whole."""
    project.build()
    old = project.files()
    edited("Soap wants air", "Soap wants much air")
    project.build("--site-dir", str(project.root / "other"))
    project.site.rename(project.root / "old")
    (project.root / "other").rename(project.site)
    new = project.files()
    dice = random.Random(5)
    for _ in range(KILLS):
        shutil.rmtree(project.site)
        shutil.copytree(project.root / "old", project.site)
        process = started(project)
        time.sleep(dice.random() * KILLED_WITHIN)
        process.kill()
        process.communicate()
        seen = project.files()
        assert seen in (old, new)
        edited("2*panel", "2*pannel")
        assert project.build().exit_code == 1 and project.files() == seen
        edited("2*pannel", "2*panel")
    assert project.build().exit_code == 0 and project.files() == new and left(project) == ["cache"]


def test_terminated_is_interrupted(project, edited):
    """SIGTERM in the midst of writing: one plain line, the old site, and nothing beside it."""
    project.build()
    old = project.files()
    edited("Soap wants air", "Soap wants much air")
    with started(project) as process:
        for line in process.stdout:
            if "Building documentation" in line:
                process.send_signal(signal.SIGTERM)
                break
        said = process.stdout.read()
    assert process.returncode == 1 and "Aborted" in said and "Traceback" not in said
    assert project.files() == old and left(project) == ["cache"]


def test_a_left_over_is_put_in_order_before_sources_are_judged(project, edited, monkeypatch):
    """The old site was set aside and the new one whole when it was killed: a failing build ends that."""
    project.build()
    new = project.files()
    killed = AtomicPublish(project.site)
    shutil.copytree(project.site, killed.begin(), dirs_exist_ok=True)
    (killed.beside.old).mkdir()
    killed.beside.journal.write_text('[["site"], []]')
    project.site.rename(killed.beside.old / "site")
    os.close(killed.beside.lock.handle)
    edited("2*panel", "2*pannel")
    assert project.build().exit_code == 1
    assert project.files() == new and left(project) == ["cache"]


def test_two_builds_at_once(project):
    """The second says so in one line and writes nothing."""
    first = AtomicPublish(project.site)
    first.begin()
    result = project.build()
    assert result.exit_code == 1 and "another build publishes into" in result.output
    assert len(result.output.strip().splitlines()) == 1 and not project.site.exists()
    first.discard()
    assert project.build().exit_code == 0


def test_a_file_in_the_place_of_the_site(project):
    """It is named in one line, and stays."""
    project.site.write_text("mine")
    result = project.build()
    assert result.exit_code == 1 and "site is a file" in result.output and project.site.read_text() == "mine"
    assert len(result.output.strip().splitlines()) == 1


def test_a_full_disk_while_pages_are_written(project, monkeypatch):
    """Nothing is published, the old site stays, and a plain line says why."""
    project.build()
    old = project.files()
    written = []

    def full(content: bytes, path: str) -> None:
        written.append(path)
        if len(written) > 5:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), path)
        write_file(content, path)
    monkeypatch.setattr("mkdocs.utils.write_file", full)
    result = project.build()
    assert result.exit_code == 1 and "no space left on device. Nothing was published" in result.output
    assert project.files() == old and left(project) == ["cache"]


@pytest.mark.parametrize("options", [["--dirty"], ["--no-strict"], []], ids=str)
def test_nothing_is_written_into_the_site_itself(project, options, monkeypatch):
    """However it is called, MkDocs never sees the folder that is published."""
    seen = []
    monkeypatch.setattr("mkdocs.utils.clean_directory", seen.append)
    monkeypatch.setattr("mkdocs.utils.write_file", lambda content, path: (
        seen.append(path), write_file(content, path)))
    assert project.build(*options).exit_code == 0
    assert len(seen) > 5 and not [path for path in seen if path.startswith(f"{project.site}")]
    assert (project.site / "soap-sleeve" / "index.html").exists()


def test_what_is_deployed_is_the_new_site(project, monkeypatch):
    """`mkdocs gh-deploy` is handed the folder of the site with the new pages; a broken build, nothing."""
    handed = []
    monkeypatch.setattr(gh_deploy, "gh_deploy", lambda config, **_: handed.append(
        (config.site_dir, (project.site / "index.html").exists())))
    run = ["gh-deploy", "--config-file", str(project.root / "mkdocs.yml")]
    assert CliRunner().invoke(cli, run).exit_code == 0 and handed == [(str(project.site), True)]
    project.source.write_text("broken", encoding="utf-8")
    assert CliRunner().invoke(cli, run).exit_code == 1 and len(handed) == 1


def test_a_preview_writes_where_it_looks(project):
    """Its folder is a temporary one, and is not published anywhere."""
    config = load_config(str(project.root / "mkdocs.yml"), site_dir=str(project.root / "shown"))
    config.plugins.on_startup(command="serve", dirty=False)
    assert config.plugins.on_config(config).site_dir == str(project.root / "shown")
    config.plugins.on_shutdown()

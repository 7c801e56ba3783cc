"""No input gives a traceback: files that are none, folders that cannot be read, settings that make
no sense.
"""
from __future__ import annotations

import importlib
import os
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.commands.command_runner import SLEEVE, run, write
from tests.time_limits import examples

quick = settings(deadline=None, max_examples=examples(60),
                 suppress_health_check=[HealthCheck.function_scoped_fixture])
ASKING = (("check",), ("measures",), ("measures", "--json"), ("why",))


def ask(command: tuple[str, ...], path: str | Path):
    """One of the commands about a path."""
    return run(*command, path, *(("panel",) if command == ("why",) else ()))


@pytest.mark.parametrize("command", ASKING, ids=" ".join)
@pytest.mark.parametrize("path",
                         ["nothing.md", "nothing/index.md", "file.md/index.md", "a" * 300, "binary.md",
                          "empty.md", "pipe",
                                  "loop", "loop/index.md", "odd\udcff.md"])
def test_paths_that_are_no_sources(here, command, path):
    """A finding and exit 1, whichever command is asked."""
    (here / "file.md").write_text("x", encoding="utf-8")
    (here / "binary.md").write_bytes(bytes(range(256)) * 20)
    (here / "empty.md").write_bytes(b"\n \n")
    os.mkfifo(here / "pipe")
    (here / "loop").symlink_to("loop")
    result = ask(command, path)
    assert result.exit_code == 1
    said = result.stdout + result.stderr
    assert "Traceback" not in said and ("file-unreadable" in said or "file-empty" in said)


@pytest.mark.parametrize("command", ASKING, ids=" ".join)
def test_a_folder_with_the_name_of_a_file(here, command):
    """A folder index.md holds no tutorial, nor does the folder around it."""
    (here / "folder.md" / "index.md").mkdir(parents=True)
    for path in ("folder.md", "folder.md/index.md"):
        result = ask(command, path)
        assert result.exit_code == 2 and f"{path} holds no tutorial" in result.stderr


@pytest.mark.parametrize("command", ASKING, ids=" ".join)
def test_folders_that_may_not_be_read(here, command, monkeypatch):
    """Where the system refuses to look, the refusal is told as it is."""
    write(here)
    refuse = PermissionError(13, "Permission denied")

    def refused(path: Path, *_, **__):
        raise refuse
    for name in ("stat", "is_dir", "is_file", "read_bytes"):
        monkeypatch.setattr(Path, name, refused)
    result = ask(command, "sleeve/index.md")
    assert result.exit_code == 1 and "permission denied" in result.stdout + result.stderr


def test_a_file_too_large_to_be_a_tutorial(here):
    """It is not even read."""
    with (here / "large.md").open("wb") as out:
        out.truncate(10 ** 9)
    assert "this file has 1000000000 bytes" in run("check", "large.md").stdout


@pytest.mark.parametrize(("text", "said"), [
    ("plugins: [\n", "mkdocs.yml, line 2: this is not YAML"),
    ("plugins:\n\t- foldgauge", "mkdocs.yml, line 2: this is not YAML"),
    ("a: 2001-99-99\n", "mkdocs.yml cannot be read as YAML"),
    ("a: " + "[" * 5000, "mkdocs.yml"),
    ("plugins: [{foldgauge: {benches: 3}}]", "mkdocs.yml: benches: write in: {…} and mm: {…}"),
    ("plugins: [{foldgauge: {benches: {cm: {board: 5 mm}}}}]",
     "mkdocs.yml: benches: write in: {…} and mm: {…}"),
    ("plugins: [{foldgauge: {benches: {in: [1/8 in]}}}]", "mkdocs.yml: benches: write in: {…} and mm: {…}"),
    ("plugins: [{foldgauge: {benches: {in: {bord: 1/8 in}}}}]", "did you mean board?"),
    ("plugins: [{foldgauge: {benches: {in: {board: 5}}}}]", "board: 5 has no unit"),
    ("plugins: [{foldgauge: {benches: {in: {board: 0 in}}}}]", "board: 0 in is nothing"),
])
def test_broken_settings_near_a_source(here, text, said):
    """A wrong use, with the file, the setting and what would mend it; from below the folder too."""
    source = write(here / "tutorials")
    (here / "mkdocs.yml").write_text(text, encoding="utf-8")
    for path in (source.relative_to(here), source):
        result = run("check", path)
        assert result.exit_code == 2 and result.stdout == "" and said in result.stderr, result.stderr


@pytest.mark.parametrize("text",
                         ["", "[]", "3", "plugins:", "plugins: search", "plugins: [search, 3, {foldgauge: }]",
                                  "plugins: [{foldgauge: {benches: }}]",
                                  "plugins: [{foldgauge: {benches: {in: }}}]",
                                  "x: !!python/name:os.system\nplugins: []",
                                  "hooks: !ENV X\nplugins: [foldgauge]"])
def test_settings_that_say_nothing_of_benches(here, text):
    """The usual benches serve."""
    write(here / "tutorials")
    (here / "mkdocs.yml").write_text(text, encoding="utf-8")
    assert run("check", "tutorials").exit_code == 0


@quick
@given(raw=st.one_of(st.binary(max_size=200),
                     st.text(max_size=200).map(lambda t: t.encode("utf-8", "replace"))),
       at=st.integers(0, len(SLEEVE)), command=st.sampled_from(ASKING))
def test_any_bytes_in_a_source(here, raw, at, command):
    """Bytes put anywhere into a source are findings, or no harm."""
    path = write(here)
    path.write_bytes(SLEEVE.encode()[:at] + raw + SLEEVE.encode()[at:])
    assert ask(command, path).exit_code in (0, 1)


@quick
@given(arguments=st.lists(st.one_of(st.sampled_from(["check", "why", "new", "calls", "measures", "--json",
                                                     "--in", "-h", "--version", "--",
                                                     "sleeve", "panel", "arc"]), st.text(max_size=5)),
                                                     max_size=4))
def test_any_arguments(here, arguments):
    """Any words behind the command end in 0, 1 or 2."""
    write(here)
    assert run(*arguments).exit_code in (0, 1, 2)


@pytest.mark.parametrize("encoding", ["ascii", "cp1252"])
def test_a_pipe_takes_every_sign(here, encoding):
    """Printed into a pipe, signs come out as UTF-8 whatever the machine's own encoding is."""
    write(here, SLEEVE.replace("A sleeve", "Ein Umschlag für Tee — ½ Stück 茶"))
    done = subprocess.run([sys.executable, "-c", "from generator.commands.main import main; main()",
                           "measures", "sleeve"],
                          capture_output=True, env={**os.environ, "PYTHONIOENCODING": encoding}, check=False)
    assert done.returncode == 0 and done.stderr == b""
    assert done.stdout.decode("utf-8").startswith("Ein Umschlag für Tee — ½ Stück 茶")


@pytest.mark.unforeseen
@pytest.mark.parametrize(("command", "module", "function"), [
    ("check", "check", "load_source"), ("fold", "fold", "load_source"),
    ("measures", "reports", "load_source"), ("regauge", "regauge", "sources_in")])
def test_a_command_that_fails_says_so_in_one_line(here, command, module, function, monkeypatch):
    """An unforeseen error names the command, what it worked on and its kind; --verbose shows where."""
    path = write(here)

    def broken(*_: object, **__: object) -> None:
        raise KeyError("strip")

    monkeypatch.setattr(importlib.import_module(f"generator.commands.{module}"), function, broken)
    result = run(command, path)
    assert result.exit_code == 1 and result.stderr.startswith(
        f"foldgauge {command} {path} stopped at an unforeseen KeyError: 'strip'\n")
    assert "Traceback" not in result.stderr and "report it" in result.stderr
    assert "in broken" in run("--verbose", command, path).stderr

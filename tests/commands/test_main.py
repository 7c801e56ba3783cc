"""``foldgauge`` itself: help and version answer without what the commands stand on."""
from __future__ import annotations

import subprocess
import sys

import click
import pytest

from generator.commands.main import COMMANDS, foldgauge
from tests.commands.command_runner import run

LARGE = {"numpy", "shapely", "pydantic", "mkdocs", "yaml", "svgwrite", "generator.tutorial"}
PROBE = ("import sys; from generator.commands.main import foldgauge\n"
         "try: foldgauge.main({!r}, prog_name='foldgauge')\n"
         "except SystemExit: print(*sys.modules, file=sys.stderr)")


@pytest.mark.parametrize("option", ["--version", "--help"])
def test_help_and_version_load_no_command(option):
    """Neither a command nor a large library is loaded for them."""
    done = subprocess.run([sys.executable, "-c", PROBE.format([option])], text=True, capture_output=True,
                          check=True)
    loaded = set(done.stderr.split())
    assert done.stdout.startswith(("foldgauge ", "Usage: foldgauge ")) and "click" in loaded
    assert not loaded & LARGE
    assert {name for name in loaded if name.startswith("generator.commands.")} == {"generator.commands.main"}


@pytest.mark.parametrize("name", COMMANDS)
def test_the_help_of_all_says_what_a_command_says_of_itself(name):
    """The list of commands has the first line of each command's own help."""
    own = run(name, "--help").stdout.split("\n\n", 2)
    assert own[0].startswith(f"Usage: foldgauge {name} ")
    assert " ".join(own[1].split()).startswith(COMMANDS[name])


def test_a_name_that_is_no_command_is_refused():
    """Exit status 2, as for every wrong use."""
    result = run("chekc", "box.md")
    assert result.exit_code == 2 and "No such command 'chekc'" in result.stderr
    assert isinstance(foldgauge, click.Group) and "chekc" not in foldgauge.commands

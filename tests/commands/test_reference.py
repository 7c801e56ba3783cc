"""``foldgauge explain``: what a finding means, and where the other commands point to it."""
from __future__ import annotations

import sys

import pytest

from generator.commands.main import foldgauge
from generator.findings.codes import CODES
from tests.commands.command_runner import BROKEN, run, write


def test_a_finding_is_explained():
    """Its meaning, an example, what that prints, and what mends it; brackets round the code do no harm."""
    result = run("explain", "[mark-doubled]")
    assert result.exit_code == 0 and result.stderr == ""
    assert result.stdout.startswith("mark-doubled (error)\n  Two marks lie on each other.\n")
    assert "    again = score(strip, x=2*panel)\n" in result.stdout
    assert ("     |                        ^^^^^^^\n" in result.stdout
            and "  to mend it\n    Leave" in result.stdout)


def test_the_example_can_be_tried(here):
    """What --whole prints is a source in which check finds the same."""
    lines = run("explain", "--whole", "mark-doubled").stdout.split("\n")
    source = [line.removeprefix("    ") for line in lines[5:lines.index("  prints")]]
    (here / "box.md").write_text("\n".join(source), encoding="utf-8")
    assert "[mark-doubled]" in run("check", "box.md").stdout


def test_all_codes_are_listed():
    """Each with its severity and the sentence of codes.py, whatever its length."""
    words = " ".join(run("explain").stdout.split())
    for code, (severity, meaning) in CODES.items():
        assert f"{code} ({severity}): {meaning}" in words


def test_an_unknown_code_is_answered_with_the_nearest():
    """Exit status 2; what is known of the others is printed."""
    result = run("explain", "off-gird", "off-grid")
    assert (result.exit_code, result.stderr) == (2,
                                                 "there is no finding 'off-gird'; did you mean 'off-grid'?\n")
    assert result.stdout.startswith("off-grid (warning)\n")
    assert run("explain", "xyzzy").stderr == "there is no finding 'xyzzy'\n"


@pytest.mark.parametrize("command", ["check", "measures", "fold"])
def test_at_a_terminal_the_last_line_names_explain(here, command, capsys, monkeypatch):
    """Once a run, of the first error; a program that reads the output gets findings alone."""
    write(here, BROKEN)
    assert "explain" not in run(command, "sleeve").output
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    with pytest.raises(SystemExit) as ended:
        foldgauge.main([command, "sleeve"], prog_name="foldgauge")
    assert ended.value.code == 1
    assert capsys.readouterr().err.endswith("\nfoldgauge explain name-unknown tells more\n")

"""``foldgauge check``: everything that is wrong, and an exit status that says so."""
from __future__ import annotations

from tests.commands.command_runner import BROKEN, SLEEVE, WARNED, run, write


def test_a_clean_source(here):
    """Exit 0, and a line for each source."""
    write(here)
    result = run("check", "sleeve/index.md")
    assert (result.exit_code, result.stdout) == (0,
                                                 "sleeve/index.md: every measure adds up in both editions\n")


def test_an_error(here):
    """Exit 1, with file, line, column, the source line, a caret and what would mend it."""
    write(here, BROKEN)
    result = run("check", "sleeve/index.md")
    assert result.exit_code == 1
    assert result.stdout.startswith(
        "sleeve/index.md:15:31: error: nothing is called 'pannel' [name-unknown]\n"
                                    "  15 | panels = score(strip, x=every(pannel, sides))\n")
    assert "to mend it: did you mean 'panel'?" in result.stdout and result.stdout.endswith("\n1 error\n")


def test_a_warning_is_no_error(here):
    """Warnings are printed, and the exit status is 0."""
    write(here, WARNED)
    result = run("check", "sleeve/index.md")
    assert result.exit_code == 0
    assert "warning: “30 mm” is typed by hand" in result.stdout and "write {{ panel }}" in result.stdout
    assert result.stdout.endswith("every measure adds up in both editions\n")


def test_several_paths(here):
    """All problems of all sources in one run, each with its own file; one wrong source makes the exit status
    1.
    """
    write(here, SLEEVE, "a")
    write(here, BROKEN, "b")
    write(here, "", "c")
    result = run("check", "a", "b/index.md", "c/index.md", "d/index.md")
    assert result.exit_code == 1
    assert [row.split(":")[0] for row in result.stdout.split("\n") if ": error: " in row] == [
        "b/index.md", "c/index.md", "d/index.md"]
    assert result.stdout.endswith("\n3 errors\n")


def test_a_folder_of_tutorials(here):
    """Every tutorial in it is checked, and the page that lists them is none of them."""
    write(here / "tutorials", SLEEVE, "a")
    write(here / "tutorials", BROKEN, "b")
    (here / "tutorials" / "index.md").write_text("# All our boxes\n", encoding="utf-8")
    result = run("check", "tutorials")
    assert result.exit_code == 1
    assert "tutorials/b/index.md:15:31" in result.stdout and "tutorials/index.md" not in result.stdout


def test_a_source_named_twice_is_checked_once(here):
    """By its folder and by its name."""
    write(here)
    assert run("check", "sleeve", "sleeve/index.md").stdout.count("adds up") == 1


def test_wrong_uses(here):
    """Nothing named, an unknown option, a folder without a tutorial: exit 2, and no findings."""
    (here / "empty").mkdir()
    for arguments in ((), ("--no-such-option", "x"), ("empty",)):
        result = run("check", *arguments)
        assert result.exit_code == 2 and result.stdout == "" and "Error: " in result.stderr


def test_the_benches_of_the_project_count(here):
    """Marks are judged by the nearest mkdocs.yml: on a board ruled in 10 mm, 30 mm is on its grid and 35 mm
    is not.
    """
    path = write(here / "tutorials",
                 SLEEVE.replace("panel: 30 mm", "panel: 35 mm").replace("panel: 1 1/4", "panel: 1 3/8"))
    settings = here / "mkdocs.yml"
    settings.write_text(
        "plugins:\n  - foldgauge:\n      benches: {mm: {board: 10 mm}}\nextra: !ENV [NAME, x]\n",
        encoding="utf-8")
    assert "between the marks of the scoring board" in run("check", path).stdout
    settings.unlink()
    assert "between the marks" not in run("check", path).stdout

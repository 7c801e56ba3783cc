"""``foldgauge check``: everything that is wrong, and an exit status that says so."""
from __future__ import annotations

import json

import pytest

from generator.findings.codes import CODES
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


# what --json prints, as a JSON Schema (draft 2020-12) says it: all are required, and no other is allowed
FINDING = {
    "file": {"type": "string", "minLength": 1},
    "line": {"type": "integer", "minimum": 1},
    "column": {"type": "integer", "minimum": 1},
    "end_line": {"type": "integer", "minimum": 1},
    "end_column": {"type": "integer", "minimum": 2},
    "code": {"enum": list(CODES)},
    "severity": {"enum": ["error", "warning"]},
    "message": {"type": "string", "minLength": 1},
    "hint": {"type": "string", "minLength": 0},
    "edition": {"enum": ["mm", "in", None]},
}
TYPES = {"string": str, "integer": int}


def fits(value: object, schema: dict) -> bool:
    """Whether a value keeps one of these small schemas."""
    if "enum" in schema:
        return value in schema["enum"]
    if type(value) is not TYPES[schema["type"]]:
        return False
    return value >= schema["minimum"] if "minimum" in schema else len(value) >= schema["minLength"]


def findings_of(result) -> list[dict]:
    """What was printed for programs: one value that keeps the schema, and nothing beside it."""
    printed = json.loads(result.stdout)
    assert list(printed) == ["schema", "findings"] and printed["schema"] == 1 and result.stderr == ""
    for each in printed["findings"]:
        assert list(each) == list(FINDING)
        assert not [key for key, schema in FINDING.items() if not fits(each[key], schema)], each
        assert (each["end_line"], each["end_column"]) > (each["line"], each["column"])
    return printed["findings"]


@pytest.mark.parametrize("text", [SLEEVE, WARNED, BROKEN, "", "---\ntitle: x"])
def test_findings_for_programs(here, text):
    """JSON with or without findings, of a source that reads or not; the exit status as without it."""
    write(here, text)
    result = run("check", "--json", "sleeve")
    found = findings_of(result)
    assert result.exit_code == run("check", "sleeve").exit_code == any(
        each["severity"] == "error" for each in found)
    assert bool(found) is (text != SLEEVE)


def test_a_finding_for_programs_to_the_letter(here):
    """The place is what is underlined: the end is the first column behind it."""
    path = write(here, BROKEN)
    found, = findings_of(run("check", "--json", "sleeve"))
    assert found == {
        "file": "sleeve/index.md", "line": 15, "column": 31, "end_line": 15, "end_column": 37,
        "code": "name-unknown", "severity": "error", "message": "nothing is called 'pannel'",
        "hint": "did you mean 'panel'?", "edition": None}
    assert path.read_text(encoding="utf-8").split("\n")[14][31 - 1:37 - 1] == "pannel"


def test_files_that_cannot_be_read_for_programs(here):
    """What is not there, is a folder without a tutorial's file, or is no text is told as any finding is."""
    (here / "binary.md").write_bytes(b"\xff\xfe\x00")
    result = run("check", "--json", "nothing.md", "binary.md", "a\udcff.md")
    assert result.exit_code == 1
    assert sorted((each["file"], each["code"]) for each in findings_of(result)) == [
        (file, "file-unreadable") for file in ("a\ufffd.md", "binary.md", "nothing.md")]


def test_the_edition_for_programs(here):
    """A field says in which edition alone; printed it stands behind the message, if that does not say so."""
    text = SLEEVE.replace("panels = ", "expect(wall == 2*panel)\npanels = ").replace(
        "panel: 1 1/4 in", "panel: 1 1/8 in")
    write(here, text)
    found, = findings_of(run("check", "--json", "sleeve"))
    assert (found["code"], found["edition"]) == ("expect-fails", "in") and "edition" not in found["message"]
    assert f"{found['message']} (in the inch edition only) [expect-fails]" in run("check", "sleeve").stdout
    write(here, SLEEVE.replace("panel: 1 1/4 in", "panel: 1 3/16 in"))
    found, = findings_of(run("check", "--json", "sleeve"))
    assert (found["code"], found["edition"]) == ("off-grid", "in")
    assert f"{found['message']} [off-grid]" in run("check", "sleeve").stdout


@pytest.mark.parametrize(("text", "says", "status"), [
    (SLEEVE, "-: every measure adds up in both editions\n", 0),
    (WARNED, "-:11:", 0), (BROKEN, "-:15:31: error: ", 1), ("", "-:1:1: error: ", 1)])
def test_a_source_from_standard_input(here, text, says, status):
    """Named -, with the line that is meant, and as JSON the same; the file system is not looked at."""
    result = run("check", "-", stdin=text)
    assert (result.exit_code, result.stdout.startswith(says)) == (status, True)
    assert "pannel, sides" in result.stdout or text != BROKEN
    result = run("check", "--json", "-", stdin=text)
    found = findings_of(result)
    assert result.exit_code == status and {each["file"] for each in found} == ({"-"} if found else set())
    assert list(here.iterdir()) == []


def test_standard_input_among_files(here):
    """The one source that is piped in is checked with the others, and photos beside it are not missed."""
    write(here)
    piped = SLEEVE.replace("Cut a strip", "![A sleeve](sleeve.jpg)\n\nCut a strip")
    result = run("check", "sleeve", "-", "-", stdin=piped)
    assert (result.exit_code, result.stdout.count("adds up")) == (0, 2)


def test_what_is_piped_in_need_not_be_text(here):
    """Bytes that are no UTF-8 are a finding."""
    result = run("check", "--json", "-", stdin=b"\xff\xfe")
    assert result.exit_code == 1 and [each["code"] for each in findings_of(result)] == ["file-unreadable"]

"""foldgauge regauge at the command line: what it prints, what it refuses, how it ends."""
from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from generator.commands import regauge as module
from generator.commands.main import foldgauge
from generator.regauge.verify import verify
from tests.regauge.sample_boxes import CADDY, sheet_of, six

STRIP = ("strip = sheet(width=4*panel + tab, height=wall)\npanels = score(strip, x=every(panel, "
         "4))\nfinish(width=panel, height=wall)")


def run(*arguments: object):
    """The command, as a person would type it."""
    return CliRunner().invoke(foldgauge, ["regauge", *map(str, arguments)], catch_exceptions=False)


@pytest.fixture
def box(tmp_path) -> Path:
    """The six-sided box without its other edition."""
    path = tmp_path / "index.md"
    path.write_text(six(), encoding="utf-8")
    return path


def test_the_readers_words_come_first_and_the_proof_last(box):
    """What to use and how the box comes out stands at the top; counts only where they are asked for."""
    result = run(box)
    assert result.exit_code == 0
    assert result.stdout.startswith("use panels of 1 3/4 in: the box comes out 0.8 mm taller\n")
    assert "cut off by proof" not in result.stdout
    explained = run(box, "--explain").stdout
    assert explained.startswith(result.stdout) and "cut off by proof" in explained[len(result.stdout):]
    assert "step 1/8 in" in explained and "panel every 1/4 in" in explained


def test_five_choices_stand_side_by_side(box):
    """Value, change in mm and per cent of each length, the box and the blank; then what binds and what else
    there is.
    """
    lines = run(box).stdout.split("\n")
    head = next(line for line in lines if "drawn" in line)
    assert head.split() == ["drawn", "1", "2", "3", "4", "5"]
    row = next(i for i, line in enumerate(lines) if line.startswith("panel"))
    assert lines[row].split()[:6] == ["panel", "45", "mm", "1", "3/4", "in"]
    assert lines[row + 1].strip().startswith("−0.6 mm, −1.2 %")
    assert any(line.startswith("box height") for line in lines) and any(line.startswith("strip width")
                                                                        for line in lines)
    text = "\n".join(lines)
    assert "what keeps choice 1 from lying closer" in text and "--prefer friendly" in text
    assert "rounding number by number" in text and "unequal panels at 'panels'" in text


def test_a_choice_that_outgrows_its_sheet_is_told(tmp_path):
    """150 mm, scored half-way on a board of 1/8 in, is 5 3/4 or 6 in, which is wider than the sheet."""
    path = tmp_path / "index.md"
    path.write_text(sheet_of("wide: 150 mm, high: 190 mm", "strip = sheet(width=wide, height=high)\n"
                             "line = score(strip, x=wide/2)", more="sheets: [150x200 mm, letter]\n"),
                    encoding="utf-8")
    told = run(path).stdout
    data = json.loads(run(path, "--json").stdout)["choices"]
    wide = [k for k, each in enumerate(data, 1) if float(each["values"]["wide"]["mm"]) > 150]
    assert 0 < len(wide) < len(data)
    assert [k for k, each in enumerate(data, 1) if each["too_large"]] == wide
    assert data[wide[0] - 1]["too_large"] == [{"piece": "strip", "sheet": "150 × 200 mm"}]
    listed = ", ".join(map(str, wide[:-1])) + f" and {wide[-1]}"
    assert (f"with choices {listed} 'strip' is too large for 150 × 200 mm, which holds it as it is drawn; "
            "--yield '150 × 200 mm=1' leaves such choices out\n") in told
    assert "too large" not in run(path, "--yield", "150 × 200 mm=1").stdout


def test_what_is_bought_stays_as_it_is(tmp_path):
    """A candle of 54 mm is that in both editions: the panel keeps room for it, and nothing else is chosen."""
    path = tmp_path / "index.md"
    path.write_text(sheet_of("panel: 58 mm, wall: 74 mm, tab: 12 mm, room: 3 mm",
                             STRIP + "\nexpect(panel >= candle + room)", more="bought: {candle: 54 mm}\n"),
                    encoding="utf-8")
    chosen = [each["values"] for each in json.loads(run(path, "--json").stdout)["choices"]]
    assert len(chosen) == 5 and all(each.keys() == {"panel", "wall", "tab", "room"} for each in chosen)
    assert all(float(each["panel"]["mm"]) >= 54 + float(each["room"]["mm"]) for each in chosen)
    assert run(path, "--write").exit_code == 0
    text = path.read_text(encoding="utf-8")
    assert "bought: {candle: 54 mm}\n" in text
    assert "candle" not in text.partition("editions:")[2].partition("}")[0]
    worded = CliRunner().invoke(foldgauge, ["why", str(path), "candle"]).stdout
    assert worded.startswith("candle = 54 mm | about 2 1/8 in\n")       # 54 / 25.4 = 2.126, and 17/8 = 2.125


@pytest.mark.parametrize(("bought", "message"), [
    ("{candle: 54 kg}", "kg is not a unit"), ("{candle: 54}", "the length 54 has no unit"),
    ("{panel: 54 mm}", "“panel” is named in lengths already"),
    ("{candle: {mm: 54 mm, in: 9 in}}", "is 54 mm in the metric edition and 9 in in the inch edition"),
    ("{candle: {mm: 2 in, in: 2 in, of: wax}}", "“of” means nothing here")])
def test_what_cannot_be_bought(tmp_path, bought, message):
    """Sizes without a unit, names that stand for two things, two things under one name."""
    path = tmp_path / "index.md"
    path.write_text(sheet_of("panel: 58 mm, wall: 74 mm, tab: 12 mm", STRIP, more=(
        f"bought: {bought}\neditions: {{in: {{panel: 2 1/4 in, wall: 3 in, tab: 1/2 in}}}}\n")),
        encoding="utf-8")
    assert message in CliRunner().invoke(foldgauge, ["check", str(path)]).output


def test_millimetres_from_inches(tmp_path):
    """A design drawn in inches goes to millimetres, and its differences are told in inches."""
    path = tmp_path / "index.md"
    path.write_text(sheet_of("panel: 1 1/4 in, wall: 2 1/2 in, tab: 3/8 in", STRIP, drawn_in="in"),
                    encoding="utf-8")
    result = run(path, "--to", "mm")
    assert result.exit_code == 0 and result.stdout.startswith(
        "use panels of 30 mm: the box comes out about 1/16 in narrower")


def test_kept_and_preferred(box):
    """What is kept stays, and is said to be kept; the other preference leads where it is asked for."""
    kept = run(box, "--keep", "crown = 1 7/8 in", "--prefer", "friendly")
    assert (kept.exit_code == 0 and "crown 1 7/8 in: you keep it" in kept.stdout
            and "with --prefer close" in kept.stdout)


def test_json_is_for_machines_and_carries_the_certificate(box):
    """Everything of the report as data, exact, and a certificate that holds."""
    data = json.loads(run(box, "--json", "--yield", "letter=1").stdout)
    assert (data["drawn_in"], data["to"], data["prefer"]) == ("mm", "in", "close")
    first = data["choices"][0]
    assert first["values"]["panel"] == {"mm": "44.45", "text": "1 3/4 in", "drawn_mm": "45",
                                        "change_mm": -0.55,
                                        "change_percent": -1.2222}
    assert first["blanks"]["strip"]["width"]["mm"] == "279.4" and first["box"]["height"]["text"] == "2 in"
    assert data["number_by_number"]["rows"][0]["name"] == "panels" and data["certificate"]["certain"]
    assert verify(data["certificate"]) == []


def test_written_into_the_source(box):
    """The choice is in the file, the build takes it, and a second run changes nothing."""
    result = run(box, "--write")
    assert result.exit_code == 0 and "now says choice 1" in result.stdout
    assert box.read_text(encoding="utf-8") == six().replace(
        "papers:", "editions: {in: {panel: 1 3/4 in for 45 mm, foot: 2 in for 50 mm, wall: 2 in for 50 mm, "
                   "crown: 1 3/4 in for 45 mm, tab: 1/2 in for 12 mm}}\npapers:")
    assert CliRunner().invoke(foldgauge, ["check", str(box)]).exit_code == 0
    before = box.read_bytes()
    assert run(box, "--write").exit_code == 0 and box.read_bytes() == before
    assert list(box.parent.iterdir()) == [box]


def test_nothing_is_written_without_being_asked(box):
    """Looking changes nothing."""
    before = box.read_bytes()
    run(box, "--explain")
    run(box, "--json")
    assert box.read_bytes() == before


def test_a_source_that_changed_meanwhile_is_not_lost(box, monkeypatch):
    """What an editor saved while the search was at work is still there, and the command says to run
    it again.
    """
    ask = module.find_lengths

    def slowly(*given):
        box.write_text("what somebody typed meanwhile", encoding="utf-8")
        return ask(*given)
    monkeypatch.setattr(module, "find_lengths", slowly)
    result = run(box, "--write")
    assert result.exit_code == 1 and "was changed" in result.stderr
    assert box.read_text(encoding="utf-8") == "what somebody typed meanwhile" and list(
        box.parent.iterdir()) == [box]


def test_nothing_fits_ends_with_one(box):
    """The demands that contradict, what would help, and status 1; nothing is written."""
    before = box.read_bytes()
    result = run(box, "--keep", "panel=1 7/8 in", "--write")
    assert result.exit_code == 1 and box.read_bytes() == before
    assert result.stdout.startswith(
        "nothing fits in inches: these demands cannot all be met\n  panel kept at 1 7/8 in\n")
    assert "what would help, each by itself\n  without keeping panel at 1 7/8 in" in result.stdout


def test_an_unsound_design_is_not_regauged(tmp_path):
    """What is wrong with the drawn side is told with its line, as check tells it."""
    path = tmp_path / "index.md"
    path.write_text(sheet_of("panel: 30 mm, wall: 60 mm",
                             "strip = sheet(width=4*panel, height=wal)\nu = score(strip, x=5*panel)"))
    result = run(path)
    assert result.exit_code == 1 and "sound as it is drawn" in result.stderr
    assert "wal" in result.stderr and "name-unknown" in result.stderr


@pytest.mark.parametrize(("text", "says"), [
    (None, "cannot be read"), (b"\xff\xfe", "not UTF-8"), (b"", "empty"),
    (sheet_of("x: 1 mm", "").replace("lengths: {x: 1 mm}\n", "").encode(), "names no lengths")])
def test_a_source_with_nothing_to_choose(tmp_path, text, says):
    """A file that is not there, no text, empty, or without lengths: said in a sentence, status 1, no
    traceback.
    """
    path = tmp_path / "index.md"
    if text is not None:
        path.write_bytes(text)
    result = run(path)
    assert result.exit_code == 1 and says in result.stderr


@pytest.mark.parametrize(("options", "says"), [
    (["--keep", "panel=1 3/4 in", "--keep", "panel=2 in"], "kept at another value already"),
    (["--keep", "panel"], "write NAME=VALUE"),
    (["--keep", "pannel=1 in"], "its lengths are panel, foot, wall, crown, tab"),
    (["--keep", "panel=45 mm"], "write it in inches"),
    (["--keep", "panel=wide"], "does not begin with a number"),
    (["--keep", "panel=0 in"], "is nothing"),
    (["--within", "0"], "not a window"), (["--within", "90 %"], "not a window"),
    (["--within", "much"], "not a window"),
    (["--yield", "letter"], "write SHEET=N"), (["--yield", "letter=0"], "write SHEET=N"),
    (["--yield", "leter=1"], "did you mean letter"), (["--yield", "12x=1"], "12x"),
    (["--to", "mm"], "drawn in millimetres already"), (["--to", "ft"], "is not one of"),
    (["--prefer", "cheap"], "is not one of")])
def test_a_wrong_use_is_said_with_what_is_right(box, options, says):
    """Status 2, one sentence, nothing written."""
    result = run(box, *options)
    assert result.exit_code == 2 and says in result.stderr and "Traceback" not in result.stderr


def test_a_grid_of_nothing_is_refused(box):
    """A board without marks cannot be worked with, and the settings say so."""
    (box.parent / "mkdocs.yml").write_text("plugins:\n  - foldgauge:\n      benches: {in: {board: 0 in}}\n")
    result = run(box)
    assert result.exit_code == 2 and "board" in result.stderr and "nothing" in result.stderr


def test_a_length_that_nothing_uses_is_named(tmp_path):
    """It is put on the rule by itself, and the report says that nothing uses it."""
    path = tmp_path / "index.md"
    path.write_text(sheet_of("panel: 30 mm, wall: 60 mm, tab: 10 mm, spare: 17 mm", STRIP))
    result = run(path)
    assert result.exit_code == 0 and "uses spare" in result.stdout


def test_a_sheet_smaller_than_the_blank(box):
    """No choice near the drawn one comes out of A5: the report names the sheet."""
    result = run(box, "--yield", "a5=1")
    assert result.exit_code == 1 and "one blank from one A5 sheet" in result.stdout


def test_a_listed_sheet_goes_with_its_selvedge(box):
    """Strips of 11 by 5 3/4 in come twice out of 12 by 12 in, but not when 1 1/2 in of it are trimmed off
    first.
    """
    assert run(box, "--yield", "12x12 in=2").exit_code == 0
    box.write_text(six().replace("papers:", "sheets: [{size: 12x12 in, trim: 1 1/2 in}]\npapers:"),
                   encoding="utf-8")
    result = run(box, "--yield", "12x12 in=2")
    assert result.exit_code == 1 and "two blanks from one 12 × 12 in sheet with selvedge" in result.stdout


def test_a_folder_and_the_projects_own_benches():
    """A tutorial's folder will do for its source, and the project's settings are those that the site is built
    with.
    """
    result = run(CADDY.parent)
    assert result.exit_code == 0 and result.stdout.startswith("use panels of 1 1/4 in")

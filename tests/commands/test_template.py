"""foldgauge template writes what was asked for, all of it or nothing."""
from __future__ import annotations

from pathlib import Path

import pdfplumber
from click.testing import CliRunner

from generator.commands.main import foldgauge

SLEEVE = """\
---
title: {title}
summary: A sleeve.
drawn_in: mm
lengths: {{panel: {panel}, high: 80 mm, tab: 10 mm}}
editions:
  in: {{panel: {panel_in}, high: 3 1/8 in, tab: 3/8 in}}
---

## Cut the strip

Cut {{{{ size(strip) }}}}.

```geometry
strip = sheet(width=2*panel + tab, height=high)
panels = score(strip, x=every(panel, 2))
```
"""


def source(folder: Path, title="Sleeve", panel="60 mm", panel_in="2 3/8 in") -> Path:
    """A tutorial of one strip."""
    path = folder / "sleeve" / "index.md"
    path.parent.mkdir()
    path.write_text(SLEEVE.format(title=title, panel=panel, panel_in=panel_in), encoding="utf-8")
    return path


def run(*arguments: object):
    """The command, as a person would type it."""
    return CliRunner().invoke(foldgauge, ["template", *map(str, arguments)], catch_exceptions=False)


def test_everything_is_written(tmp_path):
    """Two editions, two papers, three faces, three bench cards, and the cutting files of both editions."""
    result = run(source(tmp_path), "--out", tmp_path / "out")
    assert result.exit_code == 0, result.output
    names = {path.name for path in (tmp_path / "out").iterdir()}
    assert names == {f"sleeve-{system}-{paper}{face}.pdf" for system in ("mm", "in")
                     for paper in ("a4", "letter")
                     for face in ("", "-mirrored", "-ticks", "-bench-card", "-bench-card-large",
                                  "-bench-card-left")} | {
                         f"sleeve-{system}-cutting.{kind}" for system in ("mm", "in")
                         for kind in ("svg", "dxf")}
    assert result.output.count("\n") == len(names)


def test_only_what_is_asked_for(tmp_path):
    """One edition, one paper, one face: one template, the bench cards, and the cutting files of
    that edition.
    """
    result = run(source(tmp_path), "--out", tmp_path, "--paper", "letter", "--edition", "in", "--face",
                 "ticks")
    assert result.exit_code == 0
    assert {p.name for p in tmp_path.iterdir() if p.is_file()} == {
        "sleeve-in-letter-ticks.pdf", "sleeve-in-cutting.svg", "sleeve-in-cutting.dxf",
        *(f"sleeve-in-letter-bench-card{manner}.pdf" for manner in ("", "-large", "-left"))}


def test_written_again_it_is_the_same(tmp_path):
    """Old files are replaced, byte by byte the same."""
    file = source(tmp_path)
    run(file, "--out", tmp_path / "out")
    before = {p.name: p.read_bytes() for p in (tmp_path / "out").iterdir()}
    assert run(file, "--out", tmp_path / "out").exit_code == 0
    assert {p.name: p.read_bytes() for p in (tmp_path / "out").iterdir()} == before


def test_too_many_pages_are_counted_and_nothing_is_written(tmp_path):
    """4 m by 4 m: the number of pages is named, exit code 1, no folder."""
    file = source(tmp_path, panel="1900 mm", panel_in="75 in")
    text = file.read_text(encoding="utf-8").replace("high: 80 mm",
                                                    "high: 3900 mm").replace("high: 3 1/8 in", "high: 150 in")
    file.write_text(text, encoding="utf-8")
    result = run(file, "--out", tmp_path / "out")
    assert result.exit_code == 1 and "[template-pages]" in result.output and "pages of A4" in result.output
    assert not (tmp_path / "out").exists() and "Traceback" not in result.output


def test_letters_that_the_font_lacks_are_named(tmp_path):
    """The files are written; the finding says which letters are missing, and where they stand."""
    file = source(tmp_path, title="Szappantartó ő 箱")
    line = file.read_text(encoding="utf-8").split("\n").index("title: Szappantartó ő 箱") + 1
    result = run(file, "--out", tmp_path / "out", "--paper", "a4")
    assert result.exit_code == 0 and result.output.count("[template-letters]") == 1
    assert "lacks 箱:" in result.output and f":{line}:23" in result.output
    with pdfplumber.open(tmp_path / "out" / "sleeve-mm-a4.pdf") as document:
        text = document.pages[0].extract_text()
    assert "Szappantartó ő \N{REPLACEMENT CHARACTER}" in text


def test_a_broken_source_writes_nothing(tmp_path):
    """Its findings are printed as by check."""
    file = source(tmp_path)
    file.write_text(file.read_text(encoding="utf-8").replace("2*panel", "2*pannel"), encoding="utf-8")
    result = run(file, "--out", tmp_path / "out")
    assert result.exit_code == 1 and "pannel" in result.output and not (tmp_path / "out").exists()


def test_a_folder_that_is_a_file_is_named(tmp_path):
    """A plain message, exit code 2."""
    (tmp_path / "out").write_text("x", encoding="utf-8")
    result = run(source(tmp_path), "--out", tmp_path / "out")
    assert result.exit_code == 2 and "cannot be written" in result.output and "Traceback" not in result.output
    assert (tmp_path / "out").read_text(encoding="utf-8") == "x"


def test_scores_can_be_short_or_dashed(tmp_path):
    """Two lengths, each with its unit; what cannot be read is said in plain words."""
    file = source(tmp_path)
    run(file, "--out", tmp_path / "a", "--edition", "mm")
    assert run(file, "--out", tmp_path / "b", "--edition", "mm", "--short", "1 mm", "--dashes",
               "3 mm").exit_code == 0
    a, b = ((tmp_path / name / "sleeve-mm-cutting.svg").read_text(encoding="utf-8") for name in "ab")
    assert b.count("<path") > a.count("<path") and a.split('id="outline"')[1] == b.split('id="outline"')[1]
    wrong = run(file, "--out", tmp_path / "c", "--short", "1")
    assert wrong.exit_code == 2 and "--short" in wrong.output and not (tmp_path / "c").exists()


def test_without_paper_there_is_no_template(tmp_path):
    """A tutorial of a ribbon alone: a finding, exit code 1, nothing written."""
    file = source(tmp_path)
    text = file.read_text(encoding="utf-8")
    made = text.replace(
        "strip = sheet(width=2*panel + tab, height=high)\npanels = score(strip, x=every(panel, 2))",
                        "strip = ribbon(length=2*panel + tab + high)").replace(
                            "{{ size(strip) }}", "{{ panel }}")
    assert made != text
    file.write_text(made, encoding="utf-8")
    result = run(file, "--out", tmp_path / "out")
    assert result.exit_code == 1 and "[template-empty]" in result.output and not (tmp_path / "out").exists()


def test_files_are_called_by_their_tutorial(tmp_path, monkeypatch):
    """By its folder, even when the command is given within it; a source of another name gives that name."""
    file = source(tmp_path)
    (tmp_path / "box.md").write_bytes(file.read_bytes())
    monkeypatch.chdir(file.parent)
    run("index.md", "--out", tmp_path / "a", "--paper", "a4", "--edition", "mm")
    run(".", "--out", tmp_path / "a", "--paper", "a4", "--edition", "in")
    run("../box.md", "--out", tmp_path / "a", "--paper", "a4", "--edition", "mm")
    names = {path.name for path in (tmp_path / "a").iterdir()}
    assert {"sleeve-mm-a4.pdf", "sleeve-in-a4.pdf", "box-mm-a4.pdf"} <= names
    assert all(name.startswith(("sleeve-", "box-")) for name in names)

"""Writing loses nothing: the file is the old one or the new one, and the new one is proven first."""
from __future__ import annotations

import os
import shutil
import stat
from fractions import Fraction

import pytest

from generator.regauge import find_lengths, read_drawn_edition
from generator.tutorial import load_text
from generator.tutorial.edition_writer import (
    CHANGED_MEANWHILE,
    WriteRefused,
    replace_source,
    required_window,
    updated_source,
)
from generator.tutorial.folded_editions import check_folded
from tests.regauge.sample_boxes import BENCHES, CADDY, INCH, SMALL, answer, six, turned_round, wish
from tests.time_limits import alternating

LIDDED = next(path for path in SMALL if path.stem == "lidded-box")


WISHLESS = wish()


def written(text: str, asked=WISHLESS) -> str:
    """A source with the winner in it."""
    found = answer(text, asked)
    return updated_source(text.encode(), "box.md", found.problem, found.best.values, asked.within, BENCHES)


def without_edition(text: str) -> str:
    """The source as its author first drew it."""
    rows = text.split("\n")
    start = next(i for i, row in enumerate(rows) if row.startswith("editions:"))
    end = next(i for i in range(start + 1, len(rows)) if not rows[i].startswith(" "))
    return "\n".join(rows[:start] + rows[end:])


# its own test is test_back_to_millimetres
ROUND = [path for path in (CADDY, *SMALL) if path.stem != "six-sided"]


@pytest.mark.parametrize(("path", "way"), alternating(ROUND, ["as drawn", "turned round"]), ids=str)
def test_every_source_regauges_both_ways(path, way):
    """Without its other edition, and drawn in the other system: what is written builds, with no finding about
    editions.
    """
    text = without_edition(path.read_text(encoding="utf-8")) if way == "as drawn" else turned_round(
        path.read_text(encoding="utf-8"))
    new = written(text)
    loaded = load_text(new, "box.md", BENCHES)
    assert loaded.tutorial is not None, loaded.findings
    assert all(f.code == "off-grid" and "metric" in f.message
               or f.code in ("measure-typed", "length-unused", "score-unfolded")
               or way == "turned round" for f in loaded.findings), loaded.findings
    assert set(new.split("\n")) >= set(text.split("\n")) - {"editions:"}


def test_a_choice_from_outside_the_window_takes_its_window_along():
    """Kept at 2 in, the panels lie 12.9 % from 45 mm; the source then allows 13 %, and builds."""
    asked = wish(panel="2 in")
    new = written(six(), asked)
    assert ("editions: {in: {panel: 2 in for 45 mm, foot: 2 in for 50 mm, wall: 2 in for 50 mm, "
            "crown: 1 3/4 in for 45 mm, tab: 1/2 in for 12 mm}, within: 13 "
            "%}" in new)
    assert load_text(new, "box.md", BENCHES).tutorial is not None
    found = answer(new)
    assert found.problem.within == Fraction(13, 100)
    assert required_window(found.problem, found.best.values, None) is None


def test_what_would_not_build_is_not_written():
    """Values that break a requirement are refused with what the build would say."""
    text = LIDDED.read_text(encoding="utf-8")
    found = answer(text)
    with pytest.raises(WriteRefused) as refused:
        updated_source(text.encode(), "box.md", found.problem, {**found.best.values, "wall": INCH}, None,
                       BENCHES)
    assert any(f.code == "expect-fails" for f in refused.value.findings)
    with pytest.raises(WriteRefused, match="wall would lie 154 % from its drawn length"):
        updated_source(text.encode(), "box.md", found.problem, {**found.best.values, "wall": 4 * INCH}, None,
                       BENCHES)


def test_what_was_wrong_before_does_not_hold_it_up():
    """A photo that is still missing, or prose that does not read, is not the edition's business."""
    new = written(six() + "\nHere is {{ nothing_of_the_kind }}.\n")
    assert "editions: {in:" in new and [f.code
                                        for f in load_text(new, "box.md",
                                                           BENCHES).findings].count("name-unknown") == 1


def test_a_file_is_replaced_whole_and_keeps_its_mode(tmp_path):
    """The new text is in the file, nothing is left beside it, and who may read it stays as it was."""
    file = tmp_path / "index.md"
    file.write_bytes(b"old")
    file.chmod(0o640)
    replace_source(file, b"old", "new\r\n")
    assert file.read_bytes() == b"new\r\n" and list(tmp_path.iterdir()) == [tmp_path / "index.md"]
    assert stat.S_IMODE(file.stat().st_mode) == 0o640


def test_a_link_stays_a_link(tmp_path):
    """The file behind a link is written, not the link."""
    (tmp_path / "real.md").write_bytes(b"old")
    link = tmp_path / "index.md"
    link.symlink_to(tmp_path / "real.md")
    replace_source(link, b"old", "new")
    assert link.is_symlink() and (tmp_path / "real.md").read_bytes() == b"new"


def test_a_file_that_was_changed_is_left_alone(tmp_path):
    """What somebody wrote meanwhile is there afterwards, to the byte."""
    file = tmp_path / "index.md"
    file.write_bytes(b"their work")
    with pytest.raises(WriteRefused, match="changed"):
        replace_source(file, b"old", "new")
    assert file.read_bytes() == b"their work" and list(tmp_path.iterdir()) == [tmp_path / "index.md"]


def test_a_change_in_the_last_moment_is_seen(tmp_path, monkeypatch):
    """Even when it comes while the new text is being written beside the file."""
    file = tmp_path / "index.md"
    file.write_bytes(b"old")
    monkeypatch.setattr(shutil, "copymode", lambda *_: file.write_bytes(b"their work"))
    with pytest.raises(WriteRefused) as refused:
        replace_source(file, b"old", "new")
    assert str(refused.value) == CHANGED_MEANWHILE
    assert file.read_bytes() == b"their work" and list(tmp_path.iterdir()) == [tmp_path / "index.md"]


def test_a_full_disk_leaves_the_old_file(tmp_path, monkeypatch):
    """When the new text cannot be written out, the file is what it was."""
    file = tmp_path / "index.md"
    file.write_bytes(b"old")

    def full(descriptor: int) -> None:
        raise OSError(28, "No space left on device")
    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError):
        replace_source(file, b"old", "new")
    assert file.read_bytes() == b"old" and list(tmp_path.iterdir()) == [tmp_path / "index.md"]


def test_a_source_whose_other_edition_is_wrong_is_read_all_the_same():
    """Missing, misread, in the wrong unit, with too many names: the drawn side is sound, so it can be
    regauged.
    """
    base = six().replace("papers:",
                         "editions:\n  in: {panel: 1 1/4 in, foot: 2 in, wall: 2 in, crown: 1 3/4 in, tab: "
                         "1/2 in}\npapers:")
    for old, new in (("panel: 1 1/4 in", "panel: nonsense"), ("panel: 1 1/4 in", "panel: 30 mm"),
                     ("panel: 1 1/4 in, ", ""),
                     ("panel: 1 1/4 in", "panel: 1 1/4 in, old: 3 in"),
                     ("{panel: 1 1/4 in", "{panel: [1], x: 5, y: {}")):
        assert old in base
        text = base.replace(old, new)
        drawn, findings = read_drawn_edition(text, "box.md")
        assert drawn is not None, findings
        found = find_lengths(drawn, BENCHES, check_folded)
        new_source = updated_source(text.encode(), "box.md", found.problem, found.best.values, None, BENCHES)
        assert load_text(new_source, "box.md", BENCHES).tutorial is not None

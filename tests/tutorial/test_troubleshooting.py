"""If yours does not close: notes and rows come from the design itself, and every one can be followed."""
from __future__ import annotations

import pytest

from generator.locale import locale_for
from generator.tutorial import ComputedValue, load_text
from generator.tutorial.prose_evaluation import plain_text
from generator.tutorial.troubleshooting import MAX_NOTES, troubleshoot
from tests.folding.sample_boxes import BENCHES, ROOT, changed, source

NAMES = ("published", "lidded-box", "tray", "ornament", "envelope")


def loaded(name, *changes):
    """A tutorial of the tests."""
    done = load_text(changed(source(name), *changes), "box.md", BENCHES)
    assert done.tutorial is not None, done.findings
    return done.tutorial


@pytest.fixture(scope="module")
def told():
    """Every tutorial of :data:`NAMES` with what is told of it."""
    tutorials = {name: loaded(name) for name in NAMES}
    return {name: (each, troubleshoot(each)) for name, each in tutorials.items()}


def words(prose, system):
    return plain_text(prose, system)


@pytest.mark.parametrize("name", NAMES)
def test_at_most_three_steps_have_one_note_each(told, name):
    """A note at every step would be read by nobody; each stands at a step that is there."""
    tutorial, found = told[name]
    assert len(found.notes) <= MAX_NOTES and set(found.notes) <= {step.number for step in tutorial.steps}


@pytest.mark.parametrize("name", NAMES)
def test_every_row_can_be_linked_to_and_followed(told, name):
    """Addresses are unique, apart from those of the steps; what to measure leads to its step, and says it in
    both systems.
    """
    tutorial, found = told[name]
    anchors = [row.anchor for row in found.rows]
    steps = {step.anchor for step in tutorial.steps}
    assert len(set(anchors)) == len(anchors) and not set(anchors) & steps
    for row in found.rows:
        assert row.see and row.do and 1 <= len(row.measure) <= 3
        for line in row.measure:
            assert any(f"(#{anchor})" in words(line, "mm") for anchor in steps)
            assert any(isinstance(part, ComputedValue) for part in line)
            assert " mm" in words(line, "mm") and " in" in words(line, "in")


def test_rows_are_of_what_the_box_is_made_of(told):
    """A lid that may be tight only where there is a lid, a top only where one is gathered; an envelope has
    neither.
    """
    rows = {name: {row.anchor for row in found.rows} for name, (_, found) in told.items()}
    assert "if-lid-tight" in rows["lidded-box"] and not any("lid" in a for n in rows if n != "lidded-box"
                                                            for a in rows[n])
    assert "if-top-flat" in rows["published"] and not any("top" in a for n in rows if n != "published"
                                                          for a in rows[n])
    assert "if-seam" in rows["tray"] and "if-seam" in rows["ornament"] and not rows["envelope"]


def test_a_crown_is_measured_at_the_steps_that_make_it(told):
    """The height of the strip, the panels and the shoulder; 0.5 mm less of straight petals lose
    √(39² − 36.21²) − √(38.5² − 36.21²) = 1.4 mm (textbook), and the dome stands as high as the facts say.
    """
    _, found = told["published"]
    assert list(found.notes) == [1, 2, 3]
    assert "139 mm high" in words(found.notes[1], "mm") and "5 5/8 in high" in words(found.notes[1], "in")
    assert "12.4 mm instead of about 13.8 mm" in words(found.notes[3], "mm")
    assert "1/32 in too far" in words(found.notes[3], "in")
    row = next(row for row in found.rows if row.anchor == "if-top-flat")
    assert "13.8 mm" in words(row.known, "mm")
    assert "36.2 mm" in words(row.known, "mm") and "1 1/2 in" in words(row.known, "in")


@pytest.mark.parametrize("name", NAMES)
def test_every_note_says_what_happens_and_what_to_do(told, name):
    """What to check, what follows where it is off, and what mends it: three sentences in either system."""
    for note in told[name][1].notes.values():
        for system in ("mm", "in"):
            check, follows, mends = words(note, system).rstrip(".").split(". ")
            assert check.startswith("Before you go on, check that") and follows.startswith("If ") and mends


@pytest.mark.parametrize("name", NAMES)
def test_rows_tell_symptoms_apart(told, name):
    """No cause stands in two rows: it would tell nobody which of them she has."""
    causes = [words(line, "mm") for row in told[name][1].rows for line in row.measure]
    assert len(causes) == len(set(causes))


def test_the_edge_of_a_turned_piece_is_told_as_it_lay(told):
    """At its step the reader sees which edge is the left one; the table speaks of it when all is turned."""
    _, found = told["lidded-box"]
    causes = [words(line, "mm") for row in found.rows for line in row.measure]
    assert any("lies 40 mm from the edge that lay at the bottom then" in each for each in causes), causes
    assert not any("then" in words(note, "mm") for note in found.notes.values())


def test_a_steadier_hand_needs_fewer_notes():
    """hand: in the front matter is what the marks are tried with."""
    steady = loaded("published", ("level: medium", "level: medium\nhand: {mm: 0.2 mm, in: 1/128 in}"))
    assert not troubleshoot(steady).notes
    rough = loaded("published", ("level: medium", "level: medium\nhand: {mm: 1 mm, in: 1/16 in}"))
    assert "1 mm too" in words(troubleshoot(rough).notes[3],
                               "mm") and "1/16 in too" in words(troubleshoot(rough).notes[3], "in")


@pytest.mark.parametrize("name", ("published", "lidded-box"))
def test_german_says_the_same(told, name):
    """As many notes and rows with the same addresses, in other words."""
    tutorial, english = told[name]
    german = troubleshoot(tutorial, locale_for("de"))
    assert list(german.notes) == list(english.notes) and [r.anchor
                                                          for r in german.rows] == [
                                                                  r.anchor for r in english.rows]
    assert all(a.see != b.see and a.do != b.do for a, b in zip(german.rows, english.rows, strict=True))


def test_a_pinched_top_says_how_its_tips_are_pinched():
    """A row with the ridge that folding found, at the step that gathers; a smooth dome has none."""
    text = (ROOT / "tutorials" / "almond-pot" / "index.md").read_text(encoding="utf-8")
    pot = load_text(text, "box.md", BENCHES).tutorial
    for locale in (locale_for("en"), locale_for("de")):
        row = next(row for row in troubleshoot(pot, locale).rows if row.anchor == "if-top-ridge")
        said, = row.measure
        assert f"(#{pot.steps[-1].anchor})" in words(said, "mm") and row.see and row.do
        ridge = pot.folds["mm"].pieces[0].dome.ridge
        assert locale.figures(f"{ridge:.1f}") in words(said, "mm") and "9/16" in words(said, "in")

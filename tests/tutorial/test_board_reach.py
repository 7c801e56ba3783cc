"""A strip longer than the scoring board: where to stop, where to move it, where the rest then lies."""
from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.tutorial.board_reach import board_moves
from generator.tutorial.prose_evaluation import plain_text
from generator.units import bench_from, default_bench
from tests.tutorial.small_source import load, source, tutorial

FRONT = """---
title: A long sleeve
drawn_in: mm
counts: {sides: 8}
lengths: {panel: 50 mm, wall: 60 mm, tab: 10 mm}
editions: {in: {panel: 2 in, wall: 2 3/8 in, tab: 3/8 in}}
---
"""
FENCE = "strip = sheet(width=sides*panel + tab, height=wall)\npanels = score(strip, x=every(panel, sides))"
LONG = source(fence=FENCE, prose="Cut {{ size(strip) }}.", front=FRONT)


def notes(text: str, **benches) -> dict[str, list[str]]:
    """The notes of the first step in words, by system."""
    both = {system: bench_from(benches.get(system, {}), system) for system in ("mm", "in")}
    loaded = load(text, both)
    assert loaded.tutorial is not None, loaded.findings
    return {system: [plain_text(note, system) for note in loaded.tutorial.steps[0].notes] for system in both}


def test_both_boards_are_too_short():
    """Eight panels of 50 mm or 2 in, boards of 300 mm and 12 in: one note, each system with its own marks."""
    assert notes(LONG) == {
        "mm": ["The strip is longer than the board, which reaches 300 mm. Score up to 300 mm, then move it "
               "on so that the score "
               "at 300 mm lies at 50 mm; on the board the next then lie at 100 and 150 mm."],
        "in": ["The strip is longer than the board, which reaches 12 in. Score up to 12 in, then move it on "
               "so that the score "
               "at 12 in lies at 2 in; on the board the next then lie at 4 and 6 in."]}


def test_only_one_board_is_too_short():
    """Then the note says for which board it is, and every reader sees its measures."""
    told = notes(LONG, **{"in": {"board_length": "20 in"}})
    assert told["mm"] == told["in"] and len(told["mm"]) == 1
    assert told["in"][0].startswith(
        "With a board in millimetres: the strip is longer than the board, which reaches 300 mm.")


def test_a_short_board_is_moved_on_again_and_again():
    """A board of 7 in takes three moves; each says where the last score goes."""
    told = notes(LONG, **{"in": {"board_length": "7 in"}})["in"][1]
    assert [told.count(f"the score at {n} in lies at 2 in")
            for n in (6, 10, 14)] == [1, 1, 1] and "again" in told


def test_what_no_board_reaches_is_set_out_with_the_rule():
    """A board that ends before the first mark is of no use for the row."""
    told = notes(LONG, **{"in": {"board_length": "1 1/2 in"}})["in"][1]
    assert told.endswith("Set out these with the rule: 2, 4, 6, 8, 10, 12, 14 and 16 in.")


def test_a_strip_that_the_board_takes_has_no_note():
    """Nothing is said where nothing has to be moved, nor of cuts, nor of ticks made with the rule."""
    assert notes(source()) == {"mm": [], "in": []}
    ticks = source(fence="strip = sheet(width=sides*panel + tab, height=wall)\n"
                         "marks = tick(strip, x=every(panel, sides), edge=top, tool=rule)\ncuts = cut(strip, "
                         "x=panel)",
                   prose="Cut {{ size(strip) }}.", front=FRONT)
    assert notes(ticks) == {"mm": [], "in": []}


def test_a_step_has_the_notes_of_its_own_marks():
    """A row of ticks in a second step has a note there; the step of the fold has none."""
    text = (f"{LONG}\n## Tick\n\nTick.\n\n```geometry\npeaks = tick(strip, x=midway(panels), edge=top)\n```\n"
            "\n## Fold\n\nFold.\n\n```geometry\nfold(panels, mountain)\n```\n")
    made = tutorial(text)
    assert [len(step.notes) for step in made.steps] == [1, 1, 0]
    assert "Tick up to 275 mm" in plain_text(made.steps[1].notes[0], "mm")
    assert made.benches["mm"].tools["board"].reach == default_bench("mm").tools["board"].reach


@settings(deadline=None)
@given(st.lists(st.integers(1, 120), min_size=1, max_size=12, unique=True), st.integers(1, 60),
       st.integers(1, 4))
def test_every_mark_comes_to_lie_on_a_groove(places, reach, step):
    """Done as the note says, each mark lies on a groove of the board when it is made, after one that was made
    before.
    """
    places = [Fraction(step * place) for place in sorted(places)]
    reach = Fraction(step * reach)
    moves, beyond = board_moves(places, reach, Fraction(step))
    shift, made = Fraction(0), [place for place in places if place <= reach]
    for move in moves:
        assert move.last == made[-1] and 0 < move.to < move.last - shift
        shift = move.last - move.to
        assert all(0 < at <= reach and at % step == 0 for at in (move.to, *move.rest)) and move.rest
        made += [at + shift for at in move.rest]
    assert [*made, *beyond] == places
    if beyond:      # no groove would bring the next one onto the board
        assert not made or beyond[0] - made[-1] + step > reach or made[-1] - shift <= step


@pytest.mark.parametrize(("places", "reach", "moves"), [
    ([50, 100, 150, 200], 200, 0), ([50, 100, 150, 201], 200, 1), ([10, 390], 200, 0), ([100, 250], 200, 1)])
def test_moves_by_hand(places, reach, moves):
    """As many moves as are needed, none where the next mark lies too far from the last."""
    found, beyond = board_moves([Fraction(p) for p in places], Fraction(reach), Fraction(5))
    assert len(found) == moves and bool(beyond) == (places == [10, 390])

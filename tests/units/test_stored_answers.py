"""What was kept is what would be worked out again, wherever it now stands in its source, or not used."""
from __future__ import annotations

import random
import zlib
from dataclasses import replace

import numpy as np
import pytest

from generator.files import FileCache
from generator.findings import Span
from generator.folding import FoldedPlan, fold
from generator.paper.records import Plan
from generator.units import NotData, data_of, digest_of, length, stored, stored_answers, value_of
from tests.tutorial.small_source import tutorial_of

BOX = tutorial_of("tray").drawn


def moved(plan: Plan, lines: int) -> Plan:
    """The plan of the same fences further down."""
    def span(at: Span) -> Span:
        return replace(at, line=at.line + lines)

    data = data_of(plan, digest_of(plan)[1])
    return value_of(data, tuple(map(span, digest_of(plan)[1])))


def test_data_reads_back():
    """Plans and folded boxes, with their arrays and areas; the same data once more."""
    spans = digest_of(BOX)[1]
    for each in (BOX, fold(BOX)):
        again = value_of(data_of(each, spans), spans)
        assert data_of(again, spans) == data_of(each, spans) and type(again) is type(each)
    assert value_of(data_of(BOX, spans), spans) == BOX
    for value in (None, True, 1, 1.0, float("inf"), "\ud800", b"\x00", (), [1, (2,)], {1: {"a": ()}},
                  frozenset({1, 2}), length(3), np.float64(0.5)):
        again = value_of(data_of(value))
        assert again == value and type(again) is type(value)
    assert np.array_equal(value_of(data_of(np.eye(2))), np.eye(2))


def test_arrays_of_records_stay_read_only():
    """Nobody can change what was read either."""
    piece = value_of(data_of(fold(BOX), digest_of(BOX)[1]), digest_of(BOX)[1]).pieces[0]
    with pytest.raises(ValueError, match="read-only"):
        piece.angles[0] = 1


def test_what_has_only_moved_is_known_again():
    """It has the same name, and the answer speaks of the new lines."""
    below, cache = moved(BOX, 7), {}
    assert digest_of(below)[0] == digest_of(BOX)[0] and below != BOX
    first = stored(cache, fold, BOX)(BOX)
    again = stored(cache, fold, below)(None)
    assert lines_of(again) == [line + 7 for line in lines_of(first)] != []


def lines_of(box: FoldedPlan) -> list[int]:
    """Where its folds stand in the source."""
    return [bend.span.line for piece in box.pieces for hinge in piece.flat.hinges for bend in hinge.bends]


def test_whatever_differs_has_another_name():
    """A number of another type, an order, a place that two share no longer."""
    at, there = Span("a", 1), Span("a", 2)
    values = [1, 1.0, True, "1", (1,), [1], ((1,),), {1: 2}, {2: 1}, frozenset({1}), b"1", None, length(1),
              (at, at), (at, there)]
    assert len({digest_of(value)[0] for value in values}) == len(values)


def test_what_is_no_data_is_worked_out_each_time():
    """Functions, classes of others, places that nobody handed in."""
    calls = []

    def work(given):
        calls.append(given)
        return Span("elsewhere", 3)

    for known in (1, 1, print, object()):
        assert stored({}, work, known)(known) == Span("elsewhere", 3)
    assert len(calls) == 4
    with pytest.raises(NotData):
        data_of(print)


@pytest.mark.parametrize("told", [b"", b"x", data_of(1)[:-2]])
def test_other_data_is_refused(told):
    """Cut off, or never ours."""
    with pytest.raises(NotData):
        value_of(told)


def test_data_names_no_class_of_others():
    """A record is one of this package that is loaded; nothing else is ever called."""
    for row in ('["os system", "true"]', '["generator.nowhere X"]', '["builtins eval", "1"]', "[1]"):
        with pytest.raises(NotData):
            value_of(zlib.compress(f"[[{row}],[0]]".encode()))


def test_damage_and_other_code_are_no_answer(tmp_path, monkeypatch):
    """A byte flipped, cut off or emptied, and a program that works otherwise: it is worked out anew."""
    store, draw = FileCache(tmp_path), random.Random(15)
    first = stored(store, sorted_pieces, BOX)(BOX)
    (entry,) = tmp_path.iterdir()
    held = entry.read_bytes()
    for _ in range(40):
        at = draw.randrange(len(held))
        for data in (held[:at] + bytes([held[at] ^ 1 << draw.randrange(8)]) + held[at + 1:], held[:at]):
            entry.write_bytes(data)
            assert stored(store, sorted_pieces, BOX)(BOX) == first
            assert entry.read_bytes() == held
    assert stored(store, sorted_pieces, BOX)(None) == first
    monkeypatch.setattr(stored_answers, "code_of", lambda _: "another")
    with pytest.raises(AttributeError):
        stored(store, sorted_pieces, BOX)(None)


def sorted_pieces(plan: Plan) -> tuple[str, ...]:
    """Some work."""
    return tuple(sorted(info.name for info in plan.pieces))


def test_what_is_not_to_be_kept_is_not():
    """The worker says so of an answer."""
    cache = {}
    assert stored(cache, sorted_pieces, BOX, keeps=lambda _: False)(BOX) and not cache

"""Whatever is done to a source, it ends soon, in findings or in a tutorial of sound numbers, and never in an
error.
"""
from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, given, settings

from generator.findings import render_all
from generator.geometry import Circle
from generator.paper import plan_builder
from generator.paper.plan_builder import CallContext
from generator.paper.records import Plan
from generator.tutorial import LoadedSource, load_text
from generator.tutorial.derivation import derivation_text
from generator.tutorial.measures import measures_data, measures_table
from generator.units import default_bench
from tests.time_limits import ASKED, within
from tests.tutorial.oversized_sources import HEAVY
from tests.tutorial.source_mutations import SEEDS, changed_sources, other_measures

BENCHES = {system: default_bench(system) for system in ("mm", "in")}
LONGEST = 5.0       # seconds of this program's own time; a second on an idle machine of today
UNSOUND = re.compile(r"(?<![\w.])(?:nan|inf|infinity|NaN|Infinity)(?![\w.])")
EXAMPLES = 300 if ASKED else 60      # `make bench` tries more
MAX_WORK = plan_builder.MAX_WORK // (1 if ASKED else 10)     # `make bench` allows all of it
SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large]


def loaded_soon(text: str) -> LoadedSource:
    """A source, loaded within the time that it is given."""
    with within(LONGEST):
        return load_text(text, "box.md", BENCHES)


def assert_sound(loaded: LoadedSource) -> None:
    """Every finding can be printed and stands in the source; everything that is printed of a
    tutorial can be.
    """
    rows = loaded.source.split("\n")
    for each in loaded.findings:
        assert each.message and each.file == "box.md" and each.span.length >= 1
        assert 1 <= each.line <= len(rows) + 1 and each.column >= 1
        assert each.column <= len(rows[min(each.line, len(rows)) - 1]) + 1, each
    printed = render_all(loaded.findings, {"box.md": loaded.source})
    assert bool(printed) == bool(loaded.findings)
    said = "\n".join(f"{each.message} {each.hint}" for each in loaded.findings)
    assert not UNSOUND.search(said), said
    json.dumps(measures_data(loaded), allow_nan=False)
    if loaded.tutorial is not None:
        assert not UNSOUND.search(measures_table(loaded.tutorial))
        for name in loaded.tutorial.names:
            assert derivation_text(loaded.tutorial, name)[0]
        for plan in loaded.tutorial.plans.values():
            assert all(math.isfinite(number) for number in numbers_of(plan))


def numbers_of(plan: Plan) -> Iterator[float]:
    """Every coordinate, length and angle of a plan."""
    for history in plan.states.values():
        for _, state in history:
            yield from (float(state.width.value), float(state.height.value))
            strokes = [rim.stroke for rim in state.outline] + [run for mark in state.marks
                                                               for run in mark.runs]
            for stroke in strokes:
                ends = [stroke.center] if isinstance(stroke, Circle) else [stroke.start, stroke.end]
                yield from (float(v) for point in ends for v in (point.x, point.y))
                yield float(stroke.length())
            yield from (fold.angle for fold in state.folds if fold.angle is not None)
    yield from (float(size.value) for size in plan.finish.values())


@pytest.mark.parametrize("seed", range(len(SEEDS)))
def test_the_seeds_are_sound(seed):
    """Before they are changed, the examples and the caddy keep what their changed forms must keep."""
    assert_sound(loaded_soon(SEEDS[seed]))


@settings(deadline=None, max_examples=EXAMPLES, suppress_health_check=SLOW)
@given(changed_sources())
def test_no_change_gives_an_error(text):
    """Deleted, doubled, swapped, spliced and strewn with signs, a source is loaded or found wrong."""
    assert_sound(loaded_soon(text))


@settings(deadline=None, max_examples=EXAMPLES // 3, suppress_health_check=SLOW)
@given(other_measures())
def test_no_measures_give_an_error(text):
    """Nor do any lengths and counts, however they contradict each other; no number is ever beyond all
    numbers.
    """
    assert_sound(loaded_soon(text))


@pytest.mark.parametrize("name", HEAVY)
def test_no_source_works_for_ever(name, monkeypatch):
    """A source that asks for more than a box can need ends within its time, and within its
    allowance of work.
    """
    spent: list[int] = []
    spend = CallContext.count_work

    def counted(context: CallContext, amount: int = 1) -> None:
        spent.append(amount)
        spend(context, amount)
    monkeypatch.setattr(CallContext, "count_work", counted)
    monkeypatch.setattr(plan_builder, "MAX_WORK", MAX_WORK)
    assert_sound(loaded_soon(HEAVY[name]))
    # fences and prose, in two editions, each with one call too many
    assert sum(spent) <= 4 * (MAX_WORK + max(spent, default=0))


def test_unsound_numbers_would_be_seen():
    """The pattern finds what a float prints, and lets names and words be."""
    for unsound in (f"{math.nan} mm", f"about {math.inf}", "-inf in", "Infinity"):
        assert UNSOUND.search(unsound)
    for sound in ("information", "x.inf.y", "finish", "nano"):
        assert not UNSOUND.search(sound)

"""Exact sums, affine forms, and what becomes of a plan when every length grows alike."""
from __future__ import annotations

import math
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.geometry import Stroke
from generator.language.evaluation.editions import edition_values as given_for
from generator.language.evaluation.evaluate import EditionValues, Evaluation, evaluate
from generator.language.front_matter import read_front_matter
from generator.language.source.document import read_document
from generator.language.syntax.parser import parse_fence
from generator.paper.records import Plan
from generator.paper.verbs import VOCABULARY
from generator.paper.verbs.marks import TICK_LENGTH
from generator.units import length
from tests.paper.statement_evaluation import made, marks, value
from tests.time_limits import examples

SOURCES = sorted((Path(__file__).parent.parent / "sources").glob("*.md"))
STRIP = ("p = sheet(width=sides*panel + tab, height=wall)\npanels = score(p, x=every(panel, sides))\n"
         "peaks = tick(p, x=midway(panels), edge=top)\n")


def test_half_way_between_two_panels():
    """The tick between the third and the fourth score lies at 7/2 × panel, exactly.

    It depends on nothing else.
    """
    done = made(STRIP, counts={"sides": 8}, panel=30, tab=12, wall=60)
    peak = value(done, "peaks[4]")
    assert peak.position.form == {"panel": Fraction(7, 2)} and peak.position.value == 105
    assert [m.position.form for m in marks(done, "panels")] == [{"panel": k} for k in range(1, 9)]
    assert value(done, "p.width").form == {"panel": 8, "tab": 1}
    assert value(done, "p.width").names == {"panel", "tab", "sides"}


@pytest.mark.parametrize(("text", "form"), [
    ("w - 2*(a + b/3)", {"w": 1, "a": -2, "b": Fraction(-2, 3)}), ("a + b - a", {"b": 1}), ("a*b/b", None),
    ("sqrt(a*a)", None),
    ("min(a, b)", {"b": 1}), ("max(a, b)", {"a": 1}), ("a*(a/b)", None), ("a*n", {"a": 4}),
    ("a/n + w", {"a": Fraction(1, 4), "w": 1}),
    ("abs(b - a)", {"a": 1, "b": -1}), ("a*sin(30 deg)", None), ("every(a, n).last", {"a": 4}),
    ("along(a, b, a).last", {"a": 2, "b": 1}),
    ("card.thickness*4", {"card.thickness": 4}), ("a*3/2", {"a": Fraction(3, 2)}),
    ("more_than(a, b)", {"a": 1, "b": -1})])
def test_affine_forms(text, form):
    """A length that is linear in the named lengths knows its coefficients; any other has none."""
    assert value(made("u = a", counts={"n": 4}, a=30, b=20, w=200), text).form == form


@pytest.mark.parametrize(("text", "exact"), [
    ("a/3", True), ("sqrt(a*a)", True), ("hypot(3*a, 4*a)", True), ("hypot(a, a)", False), ("sqrt(2)", False),
    ("sqrt(4)", True),
    ("a*cos(60 deg)", False), ("abs(-a)", True), ("min(a, hypot(a, b))", True),
    ("max(a, hypot(a, b))", False)])
def test_what_is_exact(text, exact):
    """Sums, products, quotients and whole roots stay exact.

    Other roots and the functions of angles are about.
    """
    assert value(made("u = a", a=30, b=20), text).exact is exact


def test_a_mirrored_and_shifted_place_keeps_its_form():
    """Mirrored about the middle and moved: width − 2 × panel + tab."""
    done = made(STRIP + "u = offset(mirrored(panels[2]), tab)", counts={"sides": 8}, panel=30, tab=12,
                wall=60)
    assert value(done, "u").at.form == {"panel": 6, "tab": 2}


def steps_of(path: Path) -> tuple:
    """The front matter of a source and the statements of its steps."""
    document = read_document(path.name, path.read_text(encoding="utf-8"))
    front, findings = read_front_matter(document, VOCABULARY)
    assert front is not None and not findings, findings
    parsed = [(step.number, parse_fence(fence.statements_text, path.name, fence.first_line))
              for step in document.steps
              for fence in step.fences]
    assert not any(found for _, (_, found) in parsed)
    return front, [(number, statements) for number, (statements, _) in parsed]


READ = {path.stem: steps_of(path) for path in SOURCES}


def worked(name: str, system: str, k: Fraction = Fraction(1)) -> Evaluation:
    """A source evaluated with every length (thickness of paper too) k times as long."""
    front, steps = READ[name]
    told = given_for(front, system)
    lengths = {n: length(q.value * k, n) for n, q in told.lengths.items()}
    papers = {n: type(p)(p.name, p.weight, length(p.thickness.value * k) if p.thickness else None, p.grain)
              for n, p in told.papers.items()}
    return evaluate(system, EditionValues(lengths, told.counts, papers, told.spans),
                    steps)


def figures(stroke: Stroke) -> list[float]:
    """Points of a stroke that tell where it runs."""
    return [float(x) for t in (0, Fraction(1, 2), 1) for x in stroke.at(t)]


def plan_figures(plan: Plan) -> list[float]:
    """Everything in a plan that is a length: outlines, runs, positions, sizes, faces.

    Ticks are drawn as long as they are.
    """
    found: list[float] = []
    for piece in plan.states:
        now = plan.state(piece)
        found += [float(now.width), float(now.height)]
        strokes = [rim.stroke for rim in (*now.outline, *(r for hole in now.holes for r in hole))]
        strokes += [run for mark in now.marks if mark.verb != "tick" for run in mark.runs]
        strokes += [run for fold in now.folds for run in fold.runs] + [s for face in now.faces
                                                                       for s in face.outline]
        found += [x for stroke in strokes for x in figures(stroke)]
        for mark in now.marks:
            found += [float(q) for q in (*(p for p, _ in mark.positions), *mark.sizes)]
            found += [float(mark.length)] if mark.length is not None and mark.verb != "tick" else []
    return found + [float(q) for q in plan.finish.values()]


@pytest.mark.parametrize("name", READ)
@settings(deadline=None, max_examples=6)
@given(st.fractions(Fraction(1, 3), 1, max_denominator=12), st.sampled_from(("mm", "in")))
def test_scaling_every_length_scales_every_plan(name, k, system):
    """With all lengths k times as long, every measure of a whole tutorial is k times what it was.

    k is at most 1 because what a curve may swing out of the paper does not grow with it.
    """
    small, large = worked(name, system), worked(name, system, k)
    assert not small.findings and not large.findings
    a, b = plan_figures(small.plan), plan_figures(large.plan)
    assert len(a) == len(b) > 20
    assert all(math.isclose(x * float(k), y, rel_tol=1e-9, abs_tol=1e-7) for x, y in zip(a, b, strict=True))
    assert [act.verb for act in small.plan.acts] == [act.verb for act in large.plan.acts]


@settings(deadline=None, max_examples=30)
@given(st.fractions(1, 40, max_denominator=32), st.fractions(1, 40, max_denominator=32), st.integers(2, 12),
       st.fractions(Fraction(1, 4), 4, max_denominator=9))
def test_scaling_is_exact_where_the_plan_is(panel, tab, sides, k):
    """Positions and corners of a strip scale as fractions, without any dust."""
    one, other = (made(STRIP, counts={"sides": sides}, panel=panel * s, tab=tab * s, wall=(50 + panel) * s)
                  for s in (1, k))
    for a, b in zip(one.plan.state(0).marks, other.plan.state(0).marks, strict=True):
        assert b.position.value == a.position.value * k and b.place.value == a.place.value * k
    assert [r.stroke.end.x * k for r in one.plan.state(0).outline] == [r.stroke.end.x
                                                                       for r in other.plan.state(0).outline]
    assert all(m.length.value == TICK_LENGTH.value for m in one.plan.state(0).marks if m.verb == "tick")


@settings(deadline=None, max_examples=examples(40))
@given(st.lists(st.fractions(1, 60, max_denominator=64), min_size=1, max_size=8))
def test_what_follows_one_another_adds_up(widths):
    """The bays of a row of unequal panels are the widths they were made of, and add up to the last score."""
    names = [f"w{i}" for i in range(len(widths))]
    done = made(f"p = sheet(width={' + '.join([*names, 'rest'])}, height=rest)\n"
                f"k = score(p, x=along({', '.join(names)}))",
                rest=5, **dict(zip(names, widths, strict=True)))
    bays = value(done, "k.bays.width").items
    assert [q.value for q in bays] == widths and [q.form for q in bays] == [{n: 1} for n in names]
    assert marks(done, "k")[-1].position.value == sum(widths)

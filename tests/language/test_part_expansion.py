"""A source with parts makes the plan that the same statements make when they stand in it."""
from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.findings import render_all
from generator.language.evaluation.evaluate import EditionValues, Evaluation, evaluate
from generator.language.part_use import expand_parts
from generator.language.parts import built_in_parts, read_part
from generator.language.syntax.parser import parse_fence
from generator.paper.records import Plan
from generator.regauge import RegaugeOptions, read_drawn_edition
from generator.regauge.solution import choice_evaluator
from generator.tutorial import load_text
from generator.tutorial.folded_editions import check_folded
from generator.units import length
from tests.language.small_tutorials import BENCHES, FOLDER
from tests.time_limits import examples

# In the tests' sources: what stands there, and the use of a part that does the same.
SWAPS = {
    "caddy": (
        ("panels    = score(strip, x=every(panel, sides))", "tube = ring_scores(strip, sides, panel)"),
        ("bays      = panels.bays  ", "panels = tube.panels\nbays = tube.bays  "),
        ("curves    = score(strip, arc(at(bays.left, shoulder), at(bays.middle, top), bulge=bulge, "
         "side=right),\n"
         "                         arc(at(bays.middle, top), at(bays.right, shoulder), bulge=bulge, "
         "side=right))",
         "curves = peaked_curves(strip, bays, low=shoulder, high=top, bulge=bulge)"),
        ("feet      = cut(strip, x=panels, y=bottom..foot_line)  ",
         "base = flaps_below(strip, panels, line=foot_line)  "),
        ("remove(strip, x=panels.last..right, y=bottom..foot_line)\n"
         "remove(strip, x=panels.last..right, y=shoulder..top)", ""),
        ("faces(strip, x=panels.last..right, y=foot_line..shoulder)",
         "trimmed_tab(strip, panels, low=foot_line, high=shoulder)"),
        ("upright   = fold(panels, mountain, y=foot_line..shoulder)",
         "upright = ring_folds(panels, foot_line, shoulder)"),
        ("feet_faces = faces(strip, x=bays, y=bottom..foot_line)\n", ""),
        (", feet_faces: feet faces}", "}"),
        ("glue(feet_faces", "glue(base.flaps")),
    "tray": (
        ("slant = hypot(splay, rise)\n", ""),
        ("walls = attach(tray.edges, trapezoid(top=tray.edges.length + 2*splay, height=slant))",
         "sides = splayed_walls(tray, splay, rise)\nwalls = sides.walls\nslant = sides.slant"),
        ("corners = seam(walls.edges.each[4], rotated(walls.edges.each[2]))\n", ""),
        ("attach(walls.edges.each[4], tab(depth=flap))", "wall_tabs(walls, depth=flap).tabs")),
    "envelope": (
        ("notch(square, edge=bottom, at=middle, width=notch_width, depth=notch_depth)\n"
         "notch(square, edge=right,  at=middle, width=notch_width, depth=notch_depth)\n"
         "notch(square, edge=top,    at=middle, width=notch_width, depth=notch_depth)\n"
         "notch(square, edge=left,   at=middle, width=notch_width, depth=notch_depth)\n",
         "tips = edge_notches(square, width=notch_width, depth=notch_depth)\n"),
        ("low   = at(middle, bottom + notch_depth)\nfar   = at(right - notch_depth, middle)\n"
         "high  = at(middle, top - notch_depth)\nnear  = at(left + notch_depth, middle)\n",
         "near = tips[1]\nlow = tips[2]\nfar = tips[3]\nhigh = tips[4]\n")),
}


def _own(name: str | None) -> str | None:
    """A name that the source gives; what a use without a name makes has none."""
    return None if name is None or " " in name else name


def signature(plan: Plan, names: bool = False) -> list[tuple]:
    """What a plan makes, apart from where it is written.

    Acts, and every state with its marks, folds and faces.
    """
    found: list[tuple] = [(a.verb, a.step, a.pieces, a.marks) for a in plan.acts if a.verb != "faces"]
    for piece, states in plan.states.items():
        for _, state in states:
            found.append((piece, state.width.value, state.height.value, state.orientation,
                          tuple(str(r.stroke) for r in state.outline)))
        found += [(m.verb, m.position, m.measured_from, m.positions, m.sizes, m.tool, m.step, m.length,
                   m.whole, m.runs,
                   m.position.form if m.position else None, _own(m.name) if names else None)
                  for m in state.marks]
        found += [(f.mark, f.direction, f.runs, f.angle, f.step) for f in state.folds]
    return found


@pytest.mark.parametrize("name", SWAPS)
def test_a_box_of_parts_is_the_box_without(name):
    """Same marks, measures, cuts and folds in both editions, and no finding in either source."""
    text = (FOLDER / f"{name}.md").read_text(encoding="utf-8")
    with_parts = text
    for plain, part in SWAPS[name]:
        assert plain in with_parts, plain
        with_parts = with_parts.replace(plain, part)
    plain, parted = (load_text(each, f"{name}.md", BENCHES) for each in (text, with_parts))
    assert parted.tutorial is not None and not parted.findings, render_all(parted.findings, {})
    for system in ("mm", "in"):
        assert signature(parted.tutorial.plans[system]) == signature(plain.tutorial.plans[system])
        assert parted.tutorial.plans[system].finish == plain.tutorial.plans[system].finish


STRIP = "strip = sheet(width=5*a + b, height=4*c, paper=card)"
# each a step of a box, of which any number may follow one another
STEPS = ("tube = ring_scores(strip, 5, a)", "tube = uneven_ring(strip, group(a, b, a, b))",
         "low = score(strip, y=c)",
         "base = flaps_below(strip, tube.panels, low)",
         "roof = flaps_above(strip, line=2*c, panels=tube.panels)",
         "flap = trimmed_tab(strip, tube.panels, c, 3*c)",
         "flap = tab_between(strip, tube.panels, c, 3*c, taper=b/2)",
         "flap = tapered_tab(strip, tube.panels, b)",
         "slants = gusset_triangles(strip, tube.bays[2..3], c, top)",
         "curves = peaked_curves(strip, tube.bays, 2*c, top, b/3)", "ups = ring_folds(tube.panels, low=c)",
         "inner = gusset_middles(strip, tube.bays[2])", "ring_folds(tube.panels)",
         "rim = rim_scores(strip, c)", "rim = turned_scores(strip, c)", "corner_cuts(strip, rim)",
         "corners = corner_tabs(strip, rim, taper=b/4)", "tray = corner_faces(strip, rim)",
         "glue_corners(corners)",
         "lid = lid_blank(strip, c, lip=c/2, ease=b, paper=card)",
         "rounds = at_all_corners(circle(at(c/2, c/2), diameter=b), rim.front, rim.back)",
         "cut(strip, rounds)", "tips = edge_notches(strip, b, b/2)", "turn(strip, quarter)",
         "ruled = ring_scores(strip, 2, width=b, tool=rule)")
SIZES = st.fractions(min_value=5, max_value=60, max_denominator=4)


def both(rows: list[str], a: Fraction, b: Fraction, c: Fraction) -> tuple[Evaluation, Evaluation]:
    """The evaluation of statements, and that of the same with every part written out."""
    statements, wrong = parse_fence("\n".join([STRIP, *rows]), "box.md", 1)
    assert not wrong
    steps = [(k, (statement,)) for k, statement in enumerate(statements, start=1)]
    front = EditionValues({n: length(Fraction(v), n) for n, v in (("a", a), ("b", b), ("c", c))}, {},
                          {"card": CARD}, {})
    return tuple(evaluate("mm", front, each)
                 for each in (steps, expand_parts(steps, built_in_parts())))


@pytest.mark.slow
@settings(deadline=None, max_examples=examples(40))
@given(st.lists(st.sampled_from(STEPS), max_size=6, unique_by=lambda row: row.split(" = ")[0]), SIZES, SIZES,
       SIZES)
def test_written_out_it_is_the_same_plan(rows, a, b, c):
    """The statements shown to those who only look at a design make the same marks as the parts do.

    The names are the same too.
    """
    done, plain = both(rows, a, b, c)
    if not done.findings:   # a part that fails is undone whole, its statements one by one
        assert not plain.findings, render_all(plain.findings, {})
        assert signature(done.plan, names=True) == signature(plain.plan, names=True)


@pytest.mark.parametrize("rows", [[0, 2, 3, 4, 6, 8, 10, 11], [0, 9, 2, 3, 5, 12], [13, 15, 16, 18, 19],
                                  [14, 23, 15, 17, 22],
                                  [1, 7, 11], [24, 2], [13, 20, 21, 15, 17]], ids=str)
def test_sound_boxes_are_the_same_written_out(rows):
    """The same for designs in which nothing is wrong, so that it is not true for want of them."""
    done, plain = both([STEPS[k] for k in rows], Fraction(30), Fraction(4), Fraction(20))
    assert not done.findings, render_all(done.findings, {})
    assert len(done.plan.acts) > len(rows) and signature(done.plan,
                                                         names=True) == signature(plain.plan, names=True)


def _card():
    found = load_text("---\ntitle: x\ndrawn_in: mm\nlengths: {a: 9 mm}\neditions: {in: {a: 3/8 in}}\n"
                      "papers: {card: {weight: 200 gsm, "
                      "thickness: 0.26 mm}}\n---\n\n## x\n\n```geometry\n"
                      "s = sheet(width=a, height=a, paper=card)\n```\n", "x.md", BENCHES)
    return found.tutorial.front.papers["card"]


CARD = _card()


def test_requirements_of_parts_are_told_to_the_search():
    """Regauging knows of a requirement inside a part as if it stood in the tutorial.

    As a sum of the named lengths.
    """
    text = (FOLDER / "lidded-box.md").read_text(encoding="utf-8")
    requirement = next(row for row in text.split("\n") if row.startswith("expect(ease"))
    made = next(row for row in text.split("\n") if row.startswith("lid  = sheet"))
    parted = text.replace(requirement, "").replace(made, "lid = lid_blank(base, wall, lip, ease, card)")
    needs = []
    for each in (text, parted):
        drawn, wrong = read_drawn_edition(each, "box.md")
        assert not wrong
        problem = choice_evaluator(drawn, BENCHES, RegaugeOptions(), check_folded).problem
        needs.append([(n.names, n.kind, str(n.tree)) for n in problem.needs])
        assert [(c.name, c.side) for c in problem.clearances] == [("ease", "at least")]
    assert sorted(map(str, needs[0])) == sorted(map(str, needs[1])) and len(needs[0]) == 3


PART = """---
help: Score a strip twice.
takes:
  strip: piece — the strip
  width: length or strip.width/3 — of one
  with: tool or nothing
gives: {lines: the scores, first: the first}
---

Twice.

```geometry
lines = score(strip, x=every(width, 2), tool=with)
first = lines.first
```
"""
BITS = st.sampled_from(["---", "\n", "```", "geometry", ":", ": ", "{", "}", " or ", " — ", "piece",
                        "lengths", "nothing", "(", ")", "=",
                        "strip", "twice(strip)", "takes", "gives", "\"", "\x00", "\ud800", "..", "1 mm", "- ",
                        "[", "]", "&a", "*a"])


@pytest.mark.slow
@settings(deadline=None, max_examples=examples(80))
@given(st.lists(st.tuples(st.integers(0, len(PART)), st.sampled_from([0, 1, 3, 9, 40]),
                          st.one_of(BITS, st.text(max_size=3))),
                min_size=1, max_size=4))
def test_a_part_file_may_be_anything(changes):
    """Whatever is done to a part's file, it is read or refused with findings.

    And used, it gives a plan or findings.
    """
    text = PART
    for at, size, bit in changes:
        text = text[:at] + bit + text[at + size:]
    part, wrong = read_part("twice", "parts/twice.md", text)
    assert (part is None) == bool(wrong)
    assert all(f.message and f.line >= 1 and f.file == "parts/twice.md" for f in wrong)
    if part is not None:
        source = (FOLDER / "six-sided.md").read_text(encoding="utf-8").replace(
            "panels = score(strip, x=every(panel, sides))",
            "panels = score(strip, x=every(panel, sides))\nmore = twice(strip)\nlast = more.lines")
        assert load_text(source, "box.md", BENCHES, parts={"twice": part}).source

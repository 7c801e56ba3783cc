"""Parts: statements of the language that are used like one verb, as if they stood where they are used."""
from __future__ import annotations

import pytest

from generator.findings import render_all
from generator.language.evaluation.registry import REGISTRY
from generator.language.parts import Part, built_in_parts, read_part
from generator.paper.values import PartResults
from generator.tutorial import LoadedSource, load_text
from generator.tutorial.measures import measures_data
from generator.units import default_bench

BENCHES = {system: default_bench(system) for system in ("mm", "in")}
FRAME = """---
title: A sleeve
drawn_in: mm
counts: {{sides: 4}}
lengths: {{panel: 30 mm, wall: 60 mm, tab: 10 mm}}
editions: {{in: {{panel: 1 1/4 in, wall: 2 3/8 in, tab: 3/8 in}}}}
papers: {{card: {{weight: 200 gsm, thickness: 0.26 mm}}}}
---

## Cut

Of {{{{ sides }}}}.

```geometry
strip = sheet(width=sides*panel + tab, height=wall, paper=card)
```

## Work

{prose}

```geometry
{fence}
```
"""

LINE = FRAME.split("{fence}")[0].count("\n") + 1      # of the first statement of the second step


def loaded(fence: str, prose: str = "", **texts: str) -> LoadedSource:
    """A source with these statements in its second step, and parts of its own site."""
    parts = {name: part(name, text) for name, text in texts.items()}
    return load_text(FRAME.format(fence=fence, prose=prose), "box.md", BENCHES, parts=parts)


def part(name: str, text: str) -> Part:
    """A part from its text, which must be right."""
    found, wrong = read_part(name, f"parts/{name}.md", text)
    assert found is not None, render_all(wrong, {})
    return found


def written(takes: str, gives: str, fence: str) -> str:
    """The file of a part."""
    return (f"---\nhelp: Made for a test.\ntakes: {{{takes}}}\ngives: {{{gives}}}\n---\n\n"
            f"```geometry\n{fence}\n```\n")


def codes(found: LoadedSource) -> list[str]:
    """What is wrong, by its codes."""
    return [f.code for f in found.findings]


@pytest.mark.parametrize("each", built_in_parts().values(), ids=lambda part: part.name)
def test_a_part_that_comes_along_explains_itself(each):
    """Its help is a sentence, and every parameter and every result has words, for the reference of calls."""
    assert each.entry.help.endswith(".") and each.name not in REGISTRY
    assert each.entry.parameters and all(p.words for p in each.entry.parameters)
    assert all(isinstance(words, str) and words for words in each.entry.gives.values())


def test_the_files_are_read_once():
    """Regauging works a design out a thousand times; nothing is read again for that."""
    assert built_in_parts() is built_in_parts()


def test_marks_acts_and_faces_are_those_of_the_use():
    """What a part makes stands in the step and at the use, under the name of the use and its own."""
    found = loaded("tube = ring_scores(strip, sides, panel)\nflap = tapered_tab(strip, tube.panels, tab/2)")
    plan = found.tutorial.plans["mm"]
    state = plan.state(0)
    assert [m.name for m in state.marks] == ["tube.panels"] * 4 and {m.step for m in state.marks} == {2}
    assert {(m.span.file, m.span.line) for m in state.marks} == {("box.md", LINE)}
    acts = plan.acts_of(2)
    assert [a.verb for a in acts] == ["score", "remove", "faces"]
    assert [a.span.line for a in acts] == [LINE, LINE + 1,
                                           LINE + 1] and all(a.span.file == "box.md" for a in acts)
    assert [a.text.split(" =")[0] for a in acts] == ["tube", "flap", "flap"]
    face = found.tutorial.names["flap"].values["mm"]
    assert (face.name, face.span.line) == ("flap", LINE + 1)
    assert all(rim.span.file == "box.md" for rim in state.outline)


def test_measures_and_names_know_its_results():
    """The measures for machines list the marks under ``tube.panels``; the use stands for named results."""
    found = loaded("tube = ring_scores(strip, sides, panel)")
    group = measures_data(found)["editions"]["in"]["pieces"]["strip"]["groups"]["tube.panels"]
    assert [m["text"] for m in group["marks"]] == ["1 1/4 in", "2 1/2 in", "3 3/4 in", "5 in"]
    made = found.tutorial.names["tube"].values["mm"]
    assert isinstance(made, PartResults) and made.part == "ring_scores" and made.names == ("panels", "bays")


def test_a_use_without_a_name_names_nothing():
    """As with a verb, marks that nobody named have no name."""
    plan = loaded("ring_scores(strip, sides, panel)").tutorial.plans["mm"]
    assert {m.name for m in plan.state(0).marks} == {None}


def test_lengths_keep_their_form():
    """Through a part a measure stays a sum of named lengths, which is what regauging and why rest on."""
    plan = loaded("tube = ring_scores(strip, sides, panel)").tutorial.plans["mm"]
    assert [m.position.form for m in plan.state(0).marks] == [{"panel": k} for k in (1, 2, 3, 4)]


@pytest.mark.parametrize(("fence", "code"), [
    ("line = score(strip, x=panel)", "name-unknown"),        # a length of the tutorial
    ("line = score(strip, x=sides*width)", "name-unknown"),   # a count of it
    ("line = score(strip, x=other)", "name-unknown"),         # a name of its fences
])
def test_nothing_of_the_tutorial_is_known_within(fence, code):
    """A part sees its parameters and the words of the language, whatever the tutorial calls its things."""
    halved = written("strip: piece, width: length", "line: the score", fence)
    assert codes(loaded("other = panel\nline = halved(strip, other)", halved=halved)) == [code]


def test_nothing_within_is_known_outside():
    """What a part names for itself is no name of the tutorial, not even behind a dot."""
    halved = written("strip: piece, at: length", "line: the score, same: the same",
                     "inner = at + at\nline = score(strip, y=inner)\nsame = line")
    found = loaded("both = halved(strip, tab)\na = inner\nb = both.inner\nc = both.line", halved=halved)
    assert codes(found) == ["name-unknown", "attribute-unknown"]
    assert loaded("inner = panel\nline = halved(strip, panel/2)\nheight = inner",
                  halved=halved).tutorial is not None


def test_what_is_left_out_is_replaced_or_passed_on():
    """A default is an expression of the part's own parameters.

    ``nothing`` leaves the parameter of the verb out too.
    """
    halved = written("strip: piece, width: length, at: place or width/2, with: tool or nothing",
                     "line: the score",
                     "line = score(strip, x=at, tool=with)")
    plan = loaded("a = halved(strip, 4*panel)\nb = halved(strip, wall, panel, rule)\n"
                  "c = halved(strip, wall, with=trimmer, at=tab)",
                  halved=halved).tutorial.plans["mm"]
    assert [(float(m.place.value), m.tool)
            for m in plan.state(0).marks] == [(60, "board"), (30, "rule"), (10, "trimmer")]


def test_what_is_left_out_cannot_be_reckoned_with():
    """A parameter that may be left out for nothing is told at the use where the part needs it after all."""
    halved = written("strip: piece, at: length or nothing", "line: the score",
                     "line = score(strip, x=at + at)")
    found = loaded("a = halved(strip)", halved=halved)
    assert codes(found)[:1] == ["call-missing"] and {f.line for f in found.findings} == {LINE}


def test_a_group_in_a_single_place_uses_the_part_for_each():
    """Two pieces give two results, each with a piece's own marks; the group is selected from as any other."""
    found = loaded("both = group(strip, sheet(width=wall, height=wall, paper=card))\n"
                   "rims = rim_scores(both, tab)",
                   "{{ rims.first.front.marks }} {{ rims.front.count }} {{ rims.lines.all.count }}")
    # each result has a name that readers would meet, and no words for it are given
    assert codes(found) == ["reader-names"], render_all(found.findings, {})
    assert [p.wordings["mm"].text for p in found.tutorial.steps[1].prose
            if hasattr(p, "wordings")] == ["10 mm", "2", "8"]
    assert [len(found.tutorial.plans["mm"].state(k).marks) for k in (0, 1)] == [4, 4]


def test_a_failed_use_leaves_nothing_behind():
    """Half of a part is not done: the next statement works on the piece as it was."""
    found = loaded("flap = trimmed_tab(strip, score(strip, x=panel), tab, top)\n"
                   "line = score(strip, x=panel)\nlast = strip.width")
    assert codes(found) == ["zero-length"]      # and not: the second score lies on the first


def test_a_part_of_values_stands_in_prose_too():
    """A part that works no paper only gives a value, so prose may quote it where it stands."""
    third = written("of: length, by: number or 3", "size: the size", "size = of/by")
    found = loaded("x = third(wall)", "{{ third(wall) }} or {{ third(panel, by=2) }}, {{ x }}", third=third)
    assert [p.wordings["mm"].text for p in found.tutorial.steps[1].prose
            if hasattr(p, "wordings")] == ["20 mm", "15 mm", "20 mm"]
    assert codes(loaded("third(wall)", third=third)) == ["words-wrong"]     # made and thrown away


def test_work_within_parts_counts():
    """Parts that use parts cannot do more than one source may.

    The work of all of them is limited together.
    """
    texts = {"a": written("of: length", "size: it", "size = max(every(of, 900))")}
    for name, inner in (("b", "a"), ("c", "b")):
        rows = "\n".join(f"s{k} = {inner}(of)" for k in range(12))
        texts[name] = written("of: length", "size: it", f"{rows}\nsize = s1")
    found = loaded("x = c(panel)\ny = c(wall)", **texts)
    assert codes(found) == ["too-much"] and found.findings[0].line == LINE


def test_parts_are_not_nested_without_end():
    """A chain of parts deeper than anybody could follow is a finding, as deep expressions are."""
    rest = " + of" * 58
    texts = {"p0": written("of: length", "size: it", f"size = of{rest}")}
    for k in range(1, 6):
        texts[f"p{k}"] = written("of: length", "size: it", f"size = p{k - 1}(of){rest}")
    found = loaded("x = p5(panel)", **texts)
    assert codes(found) == ["too-deep"] and found.findings[0].line == LINE
    found = loaded(f"x = p2(panel){' + panel' * 58}", **texts)
    assert codes(found) == [] and found.tutorial.names["x"].values["mm"].value == (58 * 4 + 1) * 30


def test_requirements_within_are_judged_for_both_editions():
    """An expect of a part fails as one of the tutorial does, once for both editions, at the use."""
    kept = written("of: length, most: length", "of: the same", 'expect(of < most, because="it has to go in")')
    found = loaded("a = kept(wall, panel)\nb = kept(panel, wall)", kept=kept)
    assert [(f.code, f.line) for f in found.findings] == [("expect-fails", LINE)]
    assert "in the part 'kept'" in found.findings[0].hint and "it has to go in" in found.findings[0].message


def test_each_statement_of_a_part_is_judged_for_itself():
    """Two requirements of one part that fail in one edition each are both told, each with its edition."""
    kept = written("a: length, b: length", "a: the same", "expect(a <= b)\nexpect(a >= b)")
    text = FRAME.format(fence="x = kept(tab, stub)", prose="").replace("tab: 10 mm",
                                                                       "tab: 10 mm, stub: 9 mm").replace(
        "tab: 3/8 in", "tab: 3/8 in, stub: 1/2 in")
    found = load_text(text, "box.md", BENCHES, parts={"kept": part("kept", kept)}).findings
    told = [(f.code, f.line, f.edition) for f in found if f.code == "expect-fails"]
    assert told == [("expect-fails", LINE, "mm"),
                    ("expect-fails", LINE, "in")]

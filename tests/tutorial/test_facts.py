"""Facts at a glance, supplies, how the two boxes differ, and what nothing uses."""
from __future__ import annotations

import pytest

from generator.tutorial.prose_evaluation import plain_text
from tests.language.small_tutorials import tutorial as small
from tests.tutorial.small_source import FENCE, PROSE, STANDING, front, load, source, tutorial

INCH = "editions: {in: {panel: 1 1/4 in, wall: 2 1/2 in, tab: 3/8 in}}"


def words(prose: tuple, system: str = "mm") -> str:
    """Prose in plain text."""
    return " ".join(plain_text(prose, system).split())


def test_how_the_boxes_differ():
    """One sentence, with the gap of each finished size in both systems, and the advice to follow
    one of them.
    """
    sentence = tutorial(source()).differ
    assert words(sentence) == (
        "The inch box comes out about 1.8 mm wider and 3.5 mm taller than the metric one. Each is whole in "
        "itself, so follow one system from start to end.")
    assert "about 1/16 in wider and about 1/8 in taller" in words(sentence, "in")


@pytest.mark.parametrize(("panel", "wall", "said"), [
    ("1 1/8 in", "2 1/4 in", ("narrower", "lower")), ("1 1/4 in", "2 1/4 in", ("wider", "lower")),
    ("1 1/8 in", "2 1/2 in", ("narrower", "taller"))])
def test_smaller_and_larger_have_their_words(panel, wall, said):
    """Wider or narrower, taller or lower, deeper or shallower."""
    text = source(front=front(INCH, f"editions: {{in: {{panel: {panel}, wall: {wall}, tab: 3/8 in}}}}"))
    assert all(word in words(tutorial(text).differ) for word in said)
    deep = source(fence=FENCE.replace("finish(width=panel, height=wall)", "finish(depth=panel)"))
    assert "deeper" in words(tutorial(deep).differ)


def test_boxes_of_one_size():
    """Where the editions come out alike the sentence says so."""
    text = source(fence=FENCE.replace("finish(width=panel, height=wall)", "finish(width=panel/panel*lot)"),
                  front=front("tab: 10 mm}",
                              "tab: 10 mm, lot: 25.4 mm}").replace("tab: 3/8 in}", "tab: 3/8 in, lot: 1 in}"))
    assert "are the same size" in words(tutorial(text).differ)


def test_a_box_without_a_finished_size():
    """Nothing is said of what is not known."""
    assert tutorial(source(fence=FENCE.replace("finish(width=panel, height=wall)", ""))).differ == ()


def test_drawn_in_inches():
    """The sentence speaks of the other box, whichever it is."""
    told = front("drawn_in: mm", "drawn_in: in").replace("panel: 30 mm, wall: 60 mm, tab: 10 mm",
        "panel: 1 1/4 in, wall: 2 1/2 in, tab: 3/8 in")
    text = source(front=told.replace("{in: {panel: 1 1/4 in, wall: 2 1/2 in, tab: 3/8 in}}",
        "{mm: {panel: 30 mm, wall: 60 mm, tab: 10 mm}}"))
    assert words(tutorial(text).differ).startswith("The metric box comes out") and "narrower" in words(
        tutorial(text).differ)


def test_facts_at_a_glance():
    """Finished size, what folding tells, then each blank but ribbons, in both systems."""
    facts = {fact.label: fact.value for fact in small("caddy").facts}
    assert [label for label in facts if label != "Gathered top"] == ["Finished size", "Inside", "It holds",
                                                                     "Cord", "Strip"]
    assert words(facts["Strip"]) == "252 mm × 139 mm" and words(facts["Strip"],
                                                                "in") == "10 1/2 in × 5 5/8 in"
    assert words(facts["Finished size"]).startswith("about 72.4") and "high" in words(facts["Finished size"])
    assert list(fact.label for fact in small("lidded-box").facts) == ["Finished size", "Inside", "It holds",
                                                                      "Base", "Lid"]


def test_supplies_are_counted_from_the_plan():
    """One line a blank with its paper and weight, one a ribbon."""
    lines = [words(line) for line in small("caddy").supplies]
    assert lines[0] == "Card, 200 gsm: one piece 252 mm × 139 mm (strip)" and lines[1].startswith(
        "Cord: 480 mm long")
    papers = [words(line) for line in small("envelope").supplies]
    assert papers[0].startswith("Sheet paper, 120 gsm") and papers[1].startswith("Liner paper, 80 gsm")


@pytest.mark.parametrize(("told", "prose", "unused"), [
    (front("tab: 10 mm}", "tab: 10 mm, lace: 5 mm}").replace("tab: 3/8 in}", "tab: 3/8 in, lace: 1/4 in}"),
     PROSE, ["lace"]),
    (front("sides: 4", "sides: 4, rows: 2"), PROSE, ["rows"]),
    (front("papers: {card:", "papers: {tissue: {weight: 20 gsm}, card:"), PROSE, ["tissue"]),
    (front("tab: 10 mm}", "tab: 10 mm, lace: 5 mm}").replace("tab: 3/8 in}", "tab: 3/8 in, lace: 1/4 in}"),
    PROSE + " {{ lace }}", [])])
def test_names_that_nothing_uses(told, prose, unused):
    """A length, a count or a paper that neither a fence nor the prose mentions is a warning at its
    own place.
    """
    found = [f for f in load(source(front=told, prose=prose)).findings if f.code == "length-unused"]
    assert [f.message for f in found] == [f"nothing uses '{name}'" for name in unused]
    assert all(str(f.severity) == "warning"
               and told.split("\n")[f.line - 1][f.column - 1:].startswith(unused[0]) for f in found)


def test_a_measure_typed_by_hand_names_its_expression():
    """A number with a unit in prose is a warning that says what to write instead."""
    found = [f for f in load(source(prose=PROSE + " Leave 10 mm, score at 60 mm, cut at 55 mm.")).findings
             if f.code == "measure-typed"]
    assert len(found) == 3 and "{{ tab }}" in found[0].hint and "{{ wall }}" in found[
        1].hint and "{{" in found[2].hint


def test_a_step_without_geometry_is_told():
    """It has no picture; a warning at its heading."""
    text = source(STANDING) + "\n## Rest\n\nHave a cup of tea.\n"
    found, = load(text).findings
    assert found.code == "step-bare" and str(found.severity) == "warning" and text.split("\n")[
        found.line - 1] == "## Rest"


def test_a_step_has_a_picture_where_something_is_to_be_seen():
    """Work on paper shows; sums, requirements, named faces and the finished size leave nothing to draw."""
    for fence, shows in (("s2 = 2*panel", False), ("expect(panel < wall)\nfinish(depth=tab)", False),
                         ("f = faces(strip, x=panels.bays)", False), ("turn(strip, quarter)", True),
                         ("u = tick(strip, y=tab, edge=left)", True)):
        steps = tutorial(source() + f"\n## More\n\nMore.\n\n```geometry\n{fence}\n```\n").steps
        assert [step.has_picture for step in steps] == [True, shows], fence

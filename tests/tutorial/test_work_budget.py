"""What a tutorial may ask for altogether: beyond it the statement is named with which it is too much.

The sources are sound line by line; each took from half a minute to minutes to be drawn, up to a gigabyte.
"""
from __future__ import annotations

import pytest

from generator.drawing.folded.fold_pictures import fold_pictures
from generator.tutorial import load_text
from generator.tutorial.template_files import template_files
from generator.tutorial.work_budget import work_findings
from generator.units import default_bench
from tests.tutorial.greedy_sources import GREEDY

BENCHES = {system: default_bench(system) for system in ("mm", "in")}
REFUSED = {
    "a fold 400 times": "work-twice", "a glue 500 times": "work-twice", "links never closed": "too-much",
    "sheets 1000 times": "too-much", "sheets folded": "too-much", "boxes 59 times in steps": "too-much",
    "steps 390": "too-much", "score lines 770": "too-much", "score lines 350 folded": "too-much",
    "steps 500": "too-much", "an expression of 6000 levels": "too-deep",
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_is_far_too_much_is_refused_at_its_line(name):
    """An error in words, at a line of the source that holds more than its front matter."""
    loaded = load_text(GREEDY[name], "box.md", BENCHES)
    found = [each for each in loaded.findings if each.code == REFUSED[name]]
    assert loaded.tutorial is None and found
    assert all(8 < each.line <= GREEDY[name].count("\n") + 1 and each.hint for each in found)


def test_each_language_is_drawn_anew():
    """What is little enough in one language is too much in many."""
    plans = load_text(GREEDY["tags 10 times"], "box.md", BENCHES, folds=False).tutorial.plans.values()
    assert not list(work_findings(plans, 1))
    (found,) = work_findings(plans, 40)
    assert found.code == "too-much" and found.line > 18


def test_a_strip_that_is_rolled_up_is_drawn():
    """Eight folds the same way end with the last flap hinged upright: no side of it is the far one."""
    tutorial = load_text(GREEDY["pleats 8"], "box.md", BENCHES).tutorial
    assert fold_pictures(tutorial.drawn, tutorial.drawn_fold, tutorial.locale) is not None


def test_a_bench_card_of_many_pieces_goes_without_their_drawing():
    """Ten pieces side by side leave each less than no room: the rows of the card are still there."""
    tutorial = load_text(GREEDY["tags 10 times"], "box.md", BENCHES).tutorial
    files = template_files(tutorial, ("mm",), ("a4",)).files
    assert [each.kind for each in files].count("bench-card") == 3


@pytest.mark.parametrize("key", ["supplies", "sheets", "guides: {ovals"])
def test_a_list_of_the_front_matter_is_as_long_as_somebody_writes(key):
    """Three thousand supplies took ten seconds, within the size of a source: a hundred are enough."""
    many = ", ".join(f"{k} × {k} in" if "ovals" in key else "a4" if key == "sheets" else f"bead {k}"
                     for k in range(1, 102))
    row = f"{key}: [{many}]" + "}" * key.count("{")
    text = GREEDY["pleats 8"].replace("drawn_in: mm", f"drawn_in: mm\n{row}", 1)
    (found,) = [each for each in load_text(text, "box.md", BENCHES, folds=False).findings
                if "more than anybody has" in each.message]
    assert found.line == text[:text.index(row)].count("\n") + 1 and "100 at most" in found.hint

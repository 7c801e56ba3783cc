"""What is told at a glance of the folded box, in both editions, and what a batch takes of ribbon."""
from __future__ import annotations

import re

import pytest

from generator.folding import FoldedPlan
from generator.locale import locale_for
from generator.tutorial import load_text
from generator.tutorial.batch_supplies import ribbon_plans
from generator.tutorial.facts import box_facts, finished_sizes
from generator.tutorial.prose_evaluation import plain_text
from tests.folding.sample_boxes import changed, source
from tests.language.small_tutorials import HALF_MM
from tests.language.small_tutorials import tutorial as small


def told(text: str, system: str = "mm") -> dict[str, str]:
    """Label → words of every fact."""
    found = load_text(text, "box.md", HALF_MM)
    assert found.tutorial is not None, found.findings
    return {fact.label: plain_text(fact.value, system) for fact in found.tutorial.facts}


def test_a_box_tells_its_inside_and_what_goes_in():
    """120 × 80 × 40 mm of card 0.36 mm: 0.36 mm less at each wall and at the floor; limits rounded inward;
    384 cm³ on the nose.
    """
    facts = told(source("lidded-box"))
    assert facts["Inside"] == "about 119.3 by 79.3 mm, 39.6 mm high; 384 cm³"
    assert facts["It holds"] == ("a tin up to 79 mm across and 39 mm high, a box up to 119 by 79 mm, 39 mm "
                                 "high, or a ball up to 39 mm across")
    inches = told(source("lidded-box"), "in")
    assert inches["Inside"] == "about 4 3/4 by 3 1/4 in, 1 5/8 in high; about 25.1 cu in"
    assert "3 3/16 in across" in inches["It holds"]


def test_the_lid_is_told_only_where_there_is_nothing_else():
    """Nobody puts things into a lid; a box of that name alone is a box."""
    assert sum(label.startswith("Inside") for label in told(source("lidded-box"))) == 1


def test_several_boxes_say_which():
    """Two trays from one sheet each: the label names the piece."""
    text = re.sub(r"\blid\b", "tray", source("lidded-box"))
    assert {"Inside (base)", "Inside (tray)", "It holds (tray)"} <= set(told(text))


def test_a_gathered_top_tells_its_window_in_both_branches():
    """Tucked in 36.3 to 39.1 mm (36.2 and 39.2, rounded inward); outside from 36.2 mm on; never in the words
    of the other.
    """
    tucked = told(source("straight"))["Gathered top"]
    assert "about 14.5 mm above the shoulder" in tucked and "crown of 36.3 mm to 39.1 mm" in tucked
    outside = told(changed(re.sub(r" The caddy stands .*? wide\.", "", source("straight")),
                           ("gussets = fold(panels, valley, y=shoulder..top)",
                            "gussets = fold(panels, mountain, y=shoulder..top)"),
                           ("petals  = fold(curves, mountain)",
                            "petals  = fold(curves, valley)")))["Gathered top"]
    assert "outside" in outside and "36.3 mm or more" in outside and "39" not in outside


def test_a_curved_top_claims_no_window():
    """Of curved petals the closed form knows nothing: no height of crown is promised for them."""
    assert "crown" not in told(source("published")).get("Gathered top", "")


def test_what_goes_in_and_the_ribbon_have_lines_of_their_own():
    """As the author calls it, with its size; what else fits on request; the ribbon with way and bow."""
    facts = told(source("published"))
    assert facts["Made for"] == "a sealed bag of tea, 50 by 40 mm, 55 mm high"
    both = [load_text(source(name), "box.md", HALF_MM).tutorial for name in ("published", "lidded-box")]
    more = [[fact.label for fact in each.facts if fact.more] for each in both]
    assert more == [["It also holds"], []] and "It holds" in told(source("lidded-box"))
    assert facts["Ribbon"] == "240 mm round through the holes; with a bow it takes 540 mm"


def test_a_design_without_a_stated_size_is_measured():
    """The folded size stands in the place of the stated one, in both systems."""
    text = changed(source("tray"), ("finish(width=long + 2*splay, depth=short + 2*splay, height=rise)\n", ""))
    assert told(text)["Finished size"] == "138 by 98 mm, 40 mm high"
    assert told(text, "in")["Finished size"] == "5 1/2 by 4 in, 1 5/8 in high"


def test_what_is_not_folded_is_not_told():
    """Without folded boxes there is nothing to tell."""
    tutorial = small("caddy")
    assert box_facts(tutorial.front, tutorial.plans,
                     {}) == () and finished_sizes({"mm": FoldedPlan((), (), ()),
                                                   "in": FoldedPlan((), (), ())}) == ()


def test_in_german_all_of_it_is_german():
    """The same figures in other words."""
    tutorial = small("lidded-box")
    said = [plain_text(fact.value, "mm")
            for fact in box_facts(tutorial.front, tutorial.plans, tutorial.folds, locale_for("de"))]
    assert said[0].startswith("etwa 119,3 mal 79,3 mm, 39,6 mm hoch; 384") and "Dose" in said[
        1] and "tin" not in said[1]


@pytest.mark.parametrize(("system", "lengths"), [
    ("mm", ["480 mm", "2.9 m", "5.8 m", "11.6 m", "24 m"]),
    ("in", ["20 in", "3 1/2 yd", "6 3/4 yd", "13 1/2 yd", "28 yd"])])
def test_ribbon_for_a_batch_is_rounded_up_as_it_is_sold(system, lengths):
    """480 mm and 20 in for 1, 6, 12, 24 and 50 boxes; a yard is 36 in (NIST Handbook 44, Appendix C); never
    too little.
    """
    plan, = ribbon_plans(small("caddy"))
    assert plan.name == "cord, length" and [each.wordings[system].text
                                                    for each in plan.lengths] == lengths


def test_boxes_without_ribbon_need_none():
    """No ribbon, no column."""
    assert ribbon_plans(small("tray")) == ()

"""What is to go in goes in, what is stated of the size is so, and ribbons are long enough."""
from __future__ import annotations

import pytest

from generator.folding import fold
from generator.language.fences import read_fences
from generator.language.front_matter import read_front_matter
from generator.language.source.document import read_document
from generator.paper.verbs import VOCABULARY
from generator.regauge.problem import pose_problem
from generator.regauge.solution import ChoiceEvaluator
from generator.tutorial import load_text
from generator.tutorial.folded_editions import check_folded
from tests.folding.sample_boxes import changed, source
from tests.language.small_tutorials import BENCHES, HALF_MM
from tests.tutorial.site_tutorials import SHELF
from tests.tutorial.small_source import FENCE, STANDING, front
from tests.tutorial.small_source import load as load_small
from tests.tutorial.small_source import source as small

SIZES = "finish(width=long + ease, depth=short + ease, height=wall)"
TRAY_SIZES = "finish(width=long + 2*splay, depth=short + 2*splay, height=rise)"


def found(text: str) -> list[tuple[str, str]]:
    """(code, message) of everything that is found."""
    return [(f.code, f.message) for f in load_text(text, "box.md", HALF_MM).findings]


def holding(name: str, what: str) -> str:
    """A source that says what is to go in."""
    text = source(name)
    return text.replace("\n---\n", f"\nholds: {what}\n---\n", 1)


@pytest.mark.parametrize("what", [
    "{what: biscuits, width: 119 mm, depth: 79 mm, height: 39 mm}",
    "{what: biscuits, width: 79 mm, depth: 119 mm, height: 39 mm}",
    "{what: a candle glass, diameter: 79 mm, height: 39 mm}", "{what: a ball, diameter: 39 mm}",
    "{what: biscuits, width: 4 in, depth: 3 in, height: 1 1/2 in, piece: base}",
    "{what: a ribbon, width: 120 mm, depth: 80 mm, height: 24 mm, piece: lid}"])
def test_what_goes_in_is_silent(what):
    """120 × 80 × 40 mm outside, 119.3 × 79.3 × 39.6 inside card of 0.36 mm; either way round; the lid is
    asked only when it is named.
    """
    assert found(holding("lidded-box", what)) == []


@pytest.mark.parametrize(("what", "says"), [
    ("{what: biscuits, width: 119 mm, depth: 79 mm, height: 41 mm}",
     "inside it is about 119.3 by 79.3 mm, 39.6 mm high"),
    ("{what: a tin, diameter: 85 mm, height: 30 mm}",
     "a tin, 85 mm across and 30 mm high, does not go into 'base'"),
    ("{what: a ball, diameter: 42 mm}", "a ball, 42 mm across")])
def test_what_does_not_go_in_is_an_error_with_both_sizes(what, says):
    """One finding for both editions, in the words of the drawn one."""
    (code, message), = found(holding("lidded-box", what))
    assert code == "content-large" and says in message


@pytest.mark.parametrize(("what", "says"), [
    ("{what: soap, width: 119.34 mm, depth: 79 mm, height: 39 mm}",
     "inside it is about 119.3 by 79.3 mm, 39.6 mm high, too little by about 0.06 mm"),
    ("{what: a tin, diameter: 79.32 mm, height: 39 mm}", "mm high, too little by about 0.04 mm")])
def test_sizes_that_would_read_alike_are_told_apart(what, says):
    """119.34 mm do not go into 119.28 mm: by how much stands beside sizes that are rounded to the same."""
    (code, message), = found(holding("lidded-box", what))
    assert code == "content-large" and says in message


CADDY_BAG = "soft: true, width: 50 mm, depth: 40 mm, height: 55 mm}"


@pytest.mark.parametrize("bag", ["width: 50 mm, depth: 40 mm, height: 70 mm, soft: true}",
                                 "width: 69 mm, depth: 25 mm, height: 65 mm, soft: true}",
                                 "diameter: 60 mm, height: 70 mm, soft: true}"])
def test_what_is_soft_may_use_the_room_under_the_dome(bag):
    """The caddy is 60 mm high to its shoulder, and its straight top stands 14.8 mm more: 70 mm go in."""
    assert found(changed(source("straight"), (CADDY_BAG, bag))) == []


@pytest.mark.parametrize(("bag", "says"), [
    ("width: 50 mm, depth: 40 mm, height: 65 mm}", "57.9 mm high under its shoulder"),
    ("width: 50 mm, depth: 40 mm, height: 75 mm, soft: true}", "72 mm high under its top"),
    ("width: 70 mm, depth: 50 mm, height: 55 mm, soft: true}", "72 mm high under its top"),
    ("diameter: 71 mm, height: 71 mm, soft: true}", "room for about 268 cm³")])
def test_what_is_stiff_too_high_too_wide_or_too_much_does_not_go_under_the_dome(bag, says):
    """Eight layers of 0.26 mm lie on the floor and one above; 71 mm across and 71 mm high are 281 cm³."""
    (code, message), *_ = found(changed(source("straight"), (CADDY_BAG, bag)))
    assert code == "content-large" and says in message


def test_one_edition_alone_may_be_too_small():
    """1 5/8 in are 41.3 mm: 40 mm go into the inch box and not into the metric one; both say what
    they know.
    """
    text = holding("lidded-box", "{what: soap, width: 60 mm, depth: 40 mm, height: 40 mm}")
    assert [(f.code, f.edition) for f in load_text(text, "box.md", HALF_MM).findings] == [
        ("content-large", "mm")]


@pytest.mark.parametrize("what", ["{what: tea, width: 9 mm, depth: 9 mm, height: 9 mm, piece: saucer}"])
def test_a_box_of_which_nothing_is_known_cannot_be_tried(what):
    """A piece that is not there holds nothing; a ball of pentagons has no inside to stand in."""
    assert [code for code, _ in found(holding("lidded-box", what))] == ["fold-unknown"]
    assert [code for code, _ in found(holding("ornament",
                                              what.replace(", piece: saucer", "")))] == ["fold-unknown"]


def test_regauging_does_not_choose_a_box_that_is_too_small():
    """The leading choices are asked what goes in as the build is: a shorter wall fails for the
    height alone.
    """
    document = read_document("box.md",
                             holding("lidded-box", "{what: soap, width: 60 mm, depth: 40 mm, height: 39 mm}"))
    front, _ = read_front_matter(document, VOCABULARY)
    steps = [(step.number, statements) for step, statements in read_fences(document).steps]
    shop = ChoiceEvaluator(pose_problem(front, steps, BENCHES, "in", {}), check_folded)
    values = {name: front.lengths["in"][name].value for name in shop.problem.names}
    assert shop.evaluated(values).fits
    low = shop.evaluated({**values, "wall": values["wall"] * 12 / 13})      # 1 1/2 in: 38.1 mm
    assert [f.code for f in low.wrong] == ["content-large"]


@pytest.mark.parametrize("name",
                         ["caddy", "lidded-box", "envelope", "tray", "ornament", "published", "straight"])
def test_sound_designs_state_what_folds(name):
    """None of the tutorials states another size than it folds to, or is too short of ribbon."""
    assert found(source(name)) == []


@pytest.mark.parametrize(("change", "side"), [
    ("finish(width=long + 4*splay, depth=short + 2*splay, height=rise)", "width"),
    ("finish(width=long + 2*splay, height=rise + splay)", "height"),
    ("finish(width=short - splay, height=rise)", "width")])
def test_a_size_that_is_not_so_is_found_with_both_values(change, side):
    """Once, at the side's own value, in the words of the drawn edition."""
    text = changed(source("tray"), (TRAY_SIZES, change))
    one, = load_text(text, "box.md", HALF_MM).findings
    assert (one.code == "finish-differs" and f"the finished {side}" in one.message
            and "measures 138 by 98 mm, 40 mm high" in one.message)
    row = text.split("\n")[one.line - 1]
    assert row[:one.column - 1].endswith(f"{side}=")


@pytest.mark.parametrize("change", [
    "finish(width=short + 2*splay, depth=long + 2*splay, height=rise)",
    "finish(width=long + 2*splay, height=rise)", "finish(depth=short + 2*splay)",
    "thin = 4*card.thickness\nfinish(width=long + 2*splay + thin, depth=short + 2*splay, height=rise + "
    "thin)"])
def test_a_size_may_be_meant_another_way(change):
    """Width and depth the other way round, one side alone, over all layers of card (1.44 mm of 0.36 mm each):
    harmless.
    """
    assert found(changed(source("tray"), (TRAY_SIZES, change))) == []


def test_a_lid_may_make_a_box_taller():
    """Two pieces may stand in each other or on each other: up to the sum of both heights.

    Their width is judged.
    """
    assert found(changed(source("lidded-box"), (SIZES, "finish(width=long + ease, height=2*wall + lip)"))
                 )[0][0] == "finish-differs"
    assert found(changed(source("lidded-box"), (SIZES, "finish(width=long + ease, height=wall + lip)"))) == []
    assert [code for code, _ in found(changed(source("lidded-box"),
                                              (SIZES, "finish(width=long + wall)")))] == ["finish-differs"]


def test_a_lid_stands_on_its_base_or_in_it():
    """Base and lid are 40 and 25 mm high, together 65: 50 mm is the height of nothing."""
    middle = changed(source("lidded-box"), (SIZES, "finish(height=wall + lip - lip/2 - ease)"))
    assert [code for code, _ in found(middle)] == ["finish-differs"]


@pytest.mark.parametrize(("size", "codes"), [
    ("width=SIDES, height=SIDES", []), ("width=SIDES - SIDES/4", ["finish-differs"]),
    ("height=SIDES + SIDES/4", ["finish-differs"])])
def test_what_is_folded_flat_is_measured_in_its_plane(size, codes):
    """A square of 60 mm folded in half is 60 by 30 mm, and each side of it is either width or height."""
    text = small(fence=f"""
leaf = sheet(width=2*panel, height=2*panel, up=printed)
spine = score(leaf, x=panel)
fold(spine, mountain, by=180 deg)
finish({size.replace("SIDES", "2*panel")})
""")
    assert [f.code for f in load_small(text).findings if f.code == "finish-differs"] == codes


def test_a_tag_that_swings_hides_no_wrong_size():
    """A folded tag of which nobody says how far it opens is no part of the box; the box is judged."""
    tag = ("tag = sheet(width=2*lip, height=lip)\nhinge_ = score(tag, x=lip)\nfold(hinge_, mountain)\n")
    text = changed(source("lidded-box"), (SIZES, tag + "finish(width=long + 2*wall)"))
    assert "finish-differs" in [code for code, _ in found(text)]


def test_a_sleeve_that_is_not_closed_is_not_held_against_its_size():
    """Nothing is glued, so folding knows no size and says that alone: nothing tells how far the folds go."""
    assert [f.code for f in load_small(small()).findings] == ["fold-loose"]


@pytest.mark.parametrize(("change", "codes"), [
    (("lace_length: 600 mm", "lace_length: 230 mm"), ["ribbon-short"]),
    (("lace_length: 600 mm", "lace_length: 350 mm"), ["ribbon-short"]),
    (("lace_length: 600 mm", "lace_length: 390 mm"), ["ribbon-short"]),
    (("lace_length: 600 mm", "lace_length: 410 mm"), []),
    (("uses:", "bow: {mm: 400 mm, in: 12 in}\nuses:"), ["ribbon-short"]),
    (("uses:", "bow: {mm: 300 mm, in: 12 in}\nuses:"), [])])
def test_a_ribbon_that_is_too_short_is_a_warning(change, codes):
    """Eight holes 30 mm apart take 240 mm; then a bow as the author says, or a small one of 160 mm: two
    loops of 20 mm, two ends of 30 mm and the knot (common practice, no source).
    """
    inch = next((inch for mm, inch in {"230": 9, "350": 14, "390": 15, "410": 17}.items() if mm in change[1]),
                24)
    inches = ("lace_length: 24 in for 600 mm", f"lace_length: {inch} in")
    assert [code for code, _ in found(changed(source("published"), change, inches))] == codes


def test_folding_twice_gives_the_same_figures():
    """Figures are a function of the plan."""
    plan = load_small(small()).tutorial.plans["mm"]
    assert fold(plan).pieces[0].dimensions == fold(plan).pieces[0].dimensions


@pytest.mark.parametrize(("thickness", "codes"), (("0.9 mm", []), ("1 mm", []), ("1.1 mm", ["board-thick"])))
def test_board_is_not_folded(thickness, codes):
    """Above a millimetre card is board (common practice, no source)."""
    text = small(STANDING, front=front("thickness: 0.26 mm", f"thickness: {thickness}"))
    assert [f.code for f in load_small(text).findings] == codes


@pytest.mark.parametrize(("size", "short"), (("2*panel", False), ("2*panel - tab/10", True)))
def test_a_ribbon_through_one_hole(size, short):
    """A loop to pull by, with its knot, takes 60 mm of ribbon, not 59 (common practice, no source)."""
    loop = ("\neye = punch(strip, x=panel/2, y=wall/2, diameter=tab/2)\n"
            f"thread(ribbon(length={size}), through=eye)")
    found_ = [f.message for f in load_small(small(FENCE + loop)).findings if f.code == "ribbon-short"]
    assert found_ == ["this ribbon is 59 mm long, and a loop with its knot takes 60 mm"] * short


@pytest.mark.parametrize(("mm", "inch", "short"), [(600, 24, True), (760, 30, False)])
def test_a_ribbon_that_does_not_go_round_is_a_warning(mm, inch, short):
    """Both ways round a box of 100 by 70 mm, 41 mm high with its lid, are 2 · 170 + 4 · 41 = 504 mm.

    A knot takes 120 mm more (common practice, no source).
    """
    text = SHELF["biscuit-box"].read_text(encoding="utf-8")
    text = "\n".join(line for line in text.splitlines() if not line.startswith("expect(lace_length"))
    text = text.replace("lace_length: 30 in", f"lace_length: {inch} in").replace(
        "lace_length: 760 mm for 30 in", f"lace_length: {mm} mm for {inch} in")
    said = [f for f in load_text(text, "box.md", BENCHES).findings if f.code == "ribbon-short"]
    assert bool(said) is short and all("once round with its bow" in f.message for f in said)

"""Bands, clear areas, stamps, and pieces out of scraps."""
from __future__ import annotations

from fractions import Fraction

import pytest

from generator.findings import Severity
from generator.sheets import blanks_of
from generator.tutorial import load_text
from tests.paper.statement_evaluation import codes, made, measures, outline, value
from tests.tutorial.small_source import BENCHES, FENCE, source

BOX = """strip = sheet(width=4*a + b, height=h, paper=card)
k = score(strip, x=every(a, 4))
walls = faces(strip, x=k.bays, y=bottom..top)
"""
SIZES = {"a": 60, "b": 15, "h": 50, "rim": 5}


def test_a_band_goes_once_round_and_laps():
    """It is as long as the faces side by side and its lap, and as wide as it is told.

    Its length keeps its names.
    """
    done = made(BOX + "belt = band(walls, width=rim, lap=b, paper=card)", **SIZES)
    assert outline(done, "belt") == [(0, 0), (255, 0), (255, 5), (0, 5)]
    assert value(done, "belt.width").form == {"a": 4, "b": 1}
    assert done.plan.pieces[1].kind == "band"


def test_a_band_goes_round_faces_that_stand_above_each_other():
    """On a strip that is scored across, the heights of the faces are what it goes round."""
    done = made("p = sheet(width=h, height=4*a + b)\nk = score(p, y=every(a, 4))\n"
                "w = faces(p, x=left..right, y=k.bays)\nbelt = band(w, width=rim, lap=b)", **SIZES)
    assert measures(done, "belt.width") == [255]


def test_a_band_goes_over_a_lid_that_is_wider():
    """Faces above each other of unequal width are gone round by their heights all the same."""
    steps = ("low = faces(strip, x=k[1]..k[2], y=bottom..rim)\n"
             "high = faces(strip, x=k[1] - c..k[2] + c, y=rim..top)\n")
    done = made(BOX + steps + "belt = band(group(low, high), width=c, lap=b, paper=card)",
                **{**SIZES, "c": 4})
    assert outline(done, "belt")[2] == (50 + 15, 4)


def test_a_face_without_holes_is_clear_but_for_its_border():
    """The clear area keeps the border from all four edges, exactly, and can be named in prose."""
    done = made(BOX + "front = clear(walls[3], by=rim)", **SIZES)
    assert measures(done, "group(front.width, front.height)") == [50, 40]
    assert all(isinstance(n, Fraction) for n in measures(done, "group(front.width, front.height)"))


def test_a_clear_area_keeps_off_a_hole():
    """A hole 8 mm across whose middle lies 10 mm below the top leaves the part below it, less the border."""
    done = made(BOX + "punch(strip, x=k.bays.middle, y=two, diameter=hole, measured_from=top)\n"
                      "front = clear(walls[3], by=rim)",
                **SIZES, two=10, hole=8)
    assert measures(done, "group(front.width, front.height)") == [50, 50 - (10 + 4) - 2 * 5]


def test_a_clear_area_keeps_off_slits_and_folds_within_the_face():
    """A slit across the middle leaves the larger part.

    The nearer score counts as an edge of the face would.
    """
    done = made("p = sheet(width=w, height=h)\nslit(p, x=left + ten..right - ten, y=third)\n"
                "all = faces(p, x=left..right, y=bottom..top)\n"
                "front = clear(all, by=rim)", w=100, h=60, third=20, ten=10, rim=5)
    assert measures(done, "group(front.width, front.height)") == [90, 60 - 20 - 2 * 5]


def test_a_clear_area_that_is_nothing_is_refused():
    """A border that leaves nothing of the face is a finding at the border."""
    assert codes(BOX + "front = clear(walls[1], by=h)", **SIZES) == ["zero-length"]


def test_stamps_are_acts_on_their_faces():
    """Stamping and embossing leave the paper as it is, and are told with their faces."""
    done = made(BOX + "stamp(walls[1])\nemboss(group(walls[2], walls[3]))", **SIZES)
    verbs = [(act.verb, len(act.detail.faces)) for act in done.plan.acts if act.verb in ("stamp", "emboss")]
    assert verbs == [("stamp", 1), ("emboss", 2)]


SCRAP = BOX + "bits = remove(strip, x=k.last..right, y=bottom..bottom + a)\n"


def test_what_comes_out_of_a_scrap_needs_no_sheet():
    """A tag out of what was cut away is a piece of the same paper, and no blank."""
    done = made(SCRAP + "tag = sheet(width=b, height=c, out_of=bits)", **{**SIZES, "h": 90, "c": 55})
    assert [(p.name, p.out_of, p.paper.name)
            for p in done.plan.pieces] == [("strip", None, "card"), ("tag", "bits", "card")]
    assert [blank.name for blank in blanks_of(done.plan)["card"]] == ["strip"]


@pytest.mark.parametrize(("width", "height", "found"),
                         (("b", "a", []), ("a", "b", []), ("rim + b", "a", ["mark-off-piece"]),
                                                        ("b", "a + rim", ["mark-off-piece"])))
def test_a_scrap_gives_no_more_than_it_is(width, height, found):
    """Upright or turned by a quarter a piece must fit into the scrap."""
    assert codes(SCRAP + f"tag = sheet(width={width}, height={height}, out_of=bits)",
                 **{**SIZES, "h": 90}) == found


LATER = "\nwalls = faces(strip, x=panels.bays, y=bottom..top)\nfront = clear(walls[2], by=tab)\n{0}"
FRONT_WITH = "lengths: {panel: 30 mm, wall: 60 mm, tab: 10 mm}"


def _found(more: str) -> list[tuple[str, int]]:
    loaded = load_text(source(FENCE + LATER.format(more)), "box.md", BENCHES)
    return [(f.code, f.span.line) for f in loaded.findings if f.code == "clear-spoiled"
            or f.severity is Severity.ERROR]


def test_what_is_worked_into_a_clear_area_later_is_told():
    """A hole punched into it after all is a warning at the hole.

    One beside it, or a fold at its edge, is none.
    """
    line = source(FENCE + LATER).split("\n").index("{0}") + 1
    assert _found("punch(strip, x=panels.bays[2].middle, y=2*tab, "
                  "diameter=tab/2)") == [("clear-spoiled", line)]
    assert _found("punch(strip, x=panels.bays[3].middle, y=2*tab, diameter=tab/2)") == []


def test_paper_glued_over_a_clear_area_is_told():
    """A mat over the place of the stamp hides it."""
    line = source(FENCE + LATER).split("\n").index("{0}") + 2
    assert _found("mat = inset(walls[2], by=tab/2, paper=card)\n"
                  "glue(mat.faces, over=walls[2])") == [("clear-spoiled", line)]
    assert _found("mat = inset(walls[3], by=tab/2, paper=card)\nglue(mat.faces, over=walls[3])") == []


CURVED = (BOX + "w = walls[2]\n"
                "score(strip, arc(at(k.first, rim), at(k[2], rim), bulge=rim), arc(at(k.first, top - rim), "
                "at(k[2], top - rim), bulge=rim, side=right))\n")


@pytest.mark.parametrize("rim", (5, 6, 6.35))
def test_a_clear_area_between_curves_reaches_from_side_to_side(rim):
    """Curves into a face from both ends leave a rectangle from crest to crest, as wide as the face."""
    done = made(CURVED + "place = clear(w, by=c)", **{**SIZES, "rim": rim, "c": 4})
    width, height = (float(value(done, f"place.{side}").value) for side in ("width", "height"))
    assert (width, height) == pytest.approx((60 - 2 * 4, 50 - 4 * rim - 2 * 4), abs=1e-3)


OFFCUT_FRONT = """---
title: A sleeve for seed packets
drawn_in: mm
counts: {sides: 4}
lengths: {panel: 45 mm, wall: 60 mm, tab: 10 mm}
editions: {in: {panel: 1 3/4 in, wall: 2 1/2 in, tab: 3/8 in}}
papers: {card: {weight: 200 gsm, thickness: 0.26 mm}}
sheets: [a4, letter]
---
"""


def _tags(width: str, height: str) -> list[str]:
    fence = f"{FENCE}\ntag = sheet(width={width}, height={height}, paper=card, out_of=offcut)"
    return [f.code for f in load_text(source(fence, front=OFFCUT_FRONT), "box.md", BENCHES).findings
            if f.code == "offcut-small"]


def test_a_tag_must_come_out_of_what_the_sheet_leaves():
    """Of A4 the sleeves of 190 × 60 mm leave strips 20 mm wide.

    A tag of 20 × 40 mm comes out, one of 60 × 55 mm does not.
    """
    assert _tags("2*tab", "4*tab") == [] and _tags("4*tab", "2*tab") == []
    assert _tags("wall", "wall - tab/2") == ["offcut-small"]

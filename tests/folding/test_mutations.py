"""Boxes spoilt on purpose.

Each fault is found with its code and its line, and its smallest harmless cousin is not.
"""
from __future__ import annotations

import pytest

from generator.folding import fold
from generator.tutorial import load_text
from tests.folding.sample_boxes import BENCHES, CROWN, TRAY, changed, found, source
from tests.paper.statement_evaluation import made

SLEEVE = """
strip = sheet(width=front + side + back + last + tab, height=floor_deep + lap + wall, paper=card)
base  = score(strip, y=floor_deep + lap)
posts = score(strip, x=along(front, side, back, last))
cut(strip, x=posts, y=bottom..base)
remove(strip, x=posts.last..right, y=bottom..base)
remove(strip, x=posts[2]..posts[3], y=bottom..base)
low   = offset(base, -dust)
remove(strip, x=posts[1]..posts[2], y=bottom..low)
remove(strip, x=posts[3]..posts[4], y=bottom..low)
edge  = score(strip, y=lap, x=left..posts.first)
floor = faces(strip, x=left..posts.first, y=edge..base)
hem   = faces(strip, x=left..posts.first, y=bottom..edge)
dusts = faces(strip, x=group(posts[1]..posts[2], posts[3]..posts[4]), y=low..base)
walls = faces(strip, x=posts.bays, y=base..top)
flap  = faces(strip, x=posts.last..right, y=base..top)
fold(posts, mountain)
fold(base, mountain)
fold(edge, mountain)
glue(flap, under=walls.first)
glue(dusts, under=floor)
glue(hem, under=walls[3])
"""
SIZES = {"front": 60, "side": 40, "back": 60, "last": 40, "wall": 80, "tab": 12, "lap": 10, "floor_deep": 40,
         "dust": 25,
         "more": 2, "hole": 4}
OPEN = """
base  = panel(rectangle(width=long, height=short), paper=card)
walls = attach(base.edges, rectangle(width=base.edges.length, height=deep))
seam(walls.edges.each[4], rotated(walls.edges.each[2]))
fold(walls.hinge, mountain)
"""
FLAPS = """
sheet_ = sheet(width=4*panel + tab, height=foot + wall)
line_  = score(sheet_, y=foot)
posts  = score(sheet_, x=every(panel, 4))
cut(sheet_, x=posts, y=bottom..line_)
remove(sheet_, x=posts.last..right, y=bottom..line_)
walls  = faces(sheet_, x=posts.bays, y=line_..top)
flaps  = faces(sheet_, x=posts.bays, y=bottom..line_)
tab_   = faces(sheet_, x=posts.last..right, y=line_..top)
fold(posts, mountain)
fold(line_, mountain)
glue(tab_, under=walls.first)
glue(flaps, order=opposite)
"""
SLEEVE_NET = """
one   = panel(rectangle(width=panel, height=wall), paper=card)
two   = attach(one.edges[2], rectangle(width=wall, height=panel))
three = attach(two.edges[3], rectangle(width=wall, height=panel))
four  = attach(three.edges[3], rectangle(width=wall, height=panel))
flap  = attach(four.edges[3], rectangle(width=wall, height=tab))
brim  = attach(one.edges[3], rectangle(width=panel, height=2*panel))
fold(group(two.hinge, three.hinge, four.hinge, flap.hinge), mountain)
glue(flap, under=one.faces[1])
fold(brim.hinge, mountain, by=90 deg)
"""
FOOT = {"panel": 50, "wall": 40, "foot": 26, "tab": 10, "more": 2}
BOX = {"long": 120, "short": 80, "deep": 40, "top": 30, "more": 3}
EIGHT = {"panel": 30, "wall": 40, "crown": 38, "tab": 10}


def judged(text: str, sizes: dict[str, object],
           counts: dict[str, int] | None = None) -> list[tuple[str, str]]:
    """(code, statement) of everything found in a few statements."""
    rows = text.split("\n")
    return [(f.code, rows[f.line - 1]) for f in fold(made(text, counts, **sizes).plan).findings]


# (what is done, statements, sizes, the code, the beginning of the line); then its harmless cousin
# (statements, sizes)
CASES = {
    "a floor 2 mm short": (SLEEVE, SIZES | {"floor_deep": 38}, "glue-apart", "glue(hem", SLEEVE,
                           SIZES | {"floor_deep": 40}),
    "a panel 1 mm wider than its twin": (SLEEVE, SIZES | {"front": 61}, "seam-open", "glue(dusts", SLEEVE,
                                         SIZES | {"front": 61, "back": 61}),
    "a side 1 mm narrower than its twin": (SLEEVE, SIZES | {"side": 39}, "glue-apart", "glue(hem", SLEEVE,
                                           SIZES | {"side": 39, "last": 39, "floor_deep": 39}),
    "a tab wider than its wall": (SLEEVE, SIZES | {"tab": 62}, "tab-sticks-out", "glue(flap", SLEEVE,
                                  SIZES | {"tab": 60}),
    "a hem higher than the wall": (SLEEVE, SIZES | {"lap": 83}, "tab-sticks-out", "glue(hem", SLEEVE,
                                   SIZES | {"lap": 80}),
    "a fold told the wrong way": (SLEEVE.replace("fold(edge, mountain)", "fold(edge, valley)"), SIZES,
                                  "glue-apart", "glue(hem",
                                  SLEEVE, SIZES),
    "a fold forgotten": (SLEEVE.replace("fold(edge, mountain)", ""), SIZES, "score-unfolded", "edge  = score",
                         SLEEVE.replace("fold(edge, mountain)",
                                        "").replace("glue(hem, under=walls[3])", "").replace(
                             "x=left..posts.first)\nfloor", "x=left..posts.first, keep=flat)\nfloor"), None),
    "a wall that a cut takes off": (SLEEVE + "cut(strip, x=posts[2], y=base..top)\n", SIZES, "net-parts",
                                    "cut(strip, x=posts[2]",
                                    SLEEVE, SIZES),
    "a cut past its score": (SLEEVE.replace("cut(strip, x=posts, y=bottom..base)",
                                            "cut(strip, x=posts, y=bottom..offset(base, more))"),
                             SIZES, "cut-overruns", "cut(strip, x=posts", SLEEVE, SIZES),
    "a score once it is glued": (SLEEVE + "late = score(strip, y=top - more, keep=flat)\n", SIZES,
                                 "step-order", "late",
                                 SLEEVE.replace("fold(posts, mountain)",
                                                "early = score(strip, y=top - more, keep=flat)\n"
                                                "fold(posts, mountain)"),
                                 SIZES),
    "a cut once it is glued": (SLEEVE + "cut(strip, x=left + lap, y=base + lap..top)\n", SIZES, "step-order",
                               "cut(strip, x=left",
                               SLEEVE.replace("fold(posts",
                                              "cut(strip, x=left + lap, y=base + lap..top)\nfold(posts"),
                               SIZES),
    "a fold that the glue holds": (SLEEVE.replace("fold(edge, mountain)\n", "")
                                   + "glue(hem, under=floor)\nfold(edge, mountain, by=180 deg)\n",
                                   SIZES, "step-order", "fold(edge", SLEEVE, SIZES),
    "a hole in the seam": (SLEEVE + "punch(strip, x=lap/2, y=base + wall/2, diameter=hole)\n", SIZES,
                           "hole-glued", "punch",
                           SLEEVE + "punch(strip, x=front/2, y=base + wall/2, diameter=hole)\n", SIZES),
    "a hole in the tab": (SLEEVE + "punch(strip, x=posts.last + tab/2, y=base + wall/2, diameter=hole)\n",
                          SIZES, "hole-glued", "punch",
                          SLEEVE + "punch(strip, x=group(posts.last + tab/2, left + tab/2), "
                           "y=base + wall/2, diameter=hole)\n", SIZES),
    "a hole too near the edge": (SLEEVE + "punch(strip, x=front/2, y=top - 2*more, diameter=hole)\n", SIZES,
                                 "hole-near-edge", "punch",
                                 SLEEVE + "punch(strip, x=front/2, y=top - 3*more, diameter=hole)\n", SIZES),
    "a hole too near a cut": (SLEEVE + "punch(strip, x=posts.first - 2*more, y=base - lap, diameter=hole)\n",
                              SIZES, "hole-near-edge",
                              "punch", SLEEVE + "punch(strip, x=front/2, y=base - lap, diameter=hole)\n",
                              SIZES),
    "a score that stops short": (SLEEVE.replace("y=lap, x=left..posts.first",
                                                "y=lap, x=left..posts.first - more"), SIZES,
                                 "score-ends", "edge  = score", SLEEVE, SIZES),
    "flaps that leave a hole": (FLAPS, FOOT | {"foot": 24}, "floor-open", "glue(flaps", FLAPS,
                                FOOT | {"foot": 25}),
    "flaps under each other in a circle": (FLAPS.replace("glue(flaps, order=opposite)",
                                                         "glue(flaps, under=rotated(flaps))"), FOOT,
                                           "layers-circle", "glue(flaps",
                                           FLAPS.replace("opposite", "in_turn"), FOOT),
    "the line of the flaps not folded": (FLAPS.replace("fold(line_, mountain)", ""), FOOT, "score-unfolded",
                                         "line_  = score", FLAPS, FOOT),
    "walls bent too far": (TRAY.replace("mountain)",
                                        "mountain, by=90 deg - atan(splay/rise) + 2*atan(splay/rise))"),
                           {"long": 120, "short": 80, "rise": 40, "splay": 2}, "seam-open", "corners = seam",
                           TRAY.replace("mountain)", "mountain, by=90 deg - atan(splay/rise))"),
                           {"long": 120, "short": 80, "rise": 40, "splay": 2}),
    "a brim through the wall opposite": (OPEN + "brim = attach(walls[1].edges[3], rectangle(width=long, "
                                                "height=short + deep))\n"
                                         "fold(brim.hinge, mountain, by=atan(deep/long) + 90 deg)\n", BOX,
                                         "panels-collide", "fold(brim",
                                         OPEN + "brim = attach(walls[1].edges[3], rectangle(width=long, "
                                                "height=short + deep))\n"
                                         "fold(brim.hinge, mountain, by=90 deg)\n", BOX),
    "a flap through a sleeve that may still lean": (SLEEVE_NET.replace("by=90 deg", "by=140 deg"),
                                                    {"panel": 40, "wall": 60, "tab": 10},
                                                    "panels-collide", "fold(brim", SLEEVE_NET,
                                                    {"panel": 40, "wall": 60, "tab": 10}),
    "a crown too low": (CROWN, EIGHT | {"crown": 36}, "crown-window", "gather", CROWN, EIGHT | {"crown": 37}),
    "a crown too high": (CROWN, EIGHT | {"crown": 40}, "crown-window", "gather", CROWN,
                         EIGHT | {"crown": 39}),
    "folds round a point that fight": (OPEN.replace("fold(walls.hinge, mountain)",
                                                    "fold(walls.hinge, group(mountain, mountain, mountain, "
                                                    "valley))"),
                                       BOX, "seam-open", "seam(walls", OPEN, BOX),
}


@pytest.mark.parametrize("name", CASES)
def test_a_fault_is_found_where_it_is(name):
    """The right code, at the line that the demonstrator has to look at."""
    text, sizes, code, line, *_ = CASES[name]
    told = judged(text, sizes, {"sides": 8})
    assert any(c == code and row.startswith(line) for c, row in told), told


@pytest.mark.parametrize("name", CASES)
def test_its_harmless_cousin_is_silent(name):
    """What differs from a fault by as little as may be, and is none, is not complained of."""
    *_, text, sizes = CASES[name]
    told = judged(text, sizes or SIZES, {"sides": 8})
    assert not told


# whole tutorials, both editions: (source, changes, code, the beginning of its line), then changes that do no
# harm
WHOLE = {
    "a flap of the floor that does not reach": ("published",
                                                [("foot:   40 mm", "foot:   34 mm"),
                                                 ("expect(foot >= apothem", "expect(foot <= 2*apothem")],
                                                "floor-open", "glue(flap_faces",
                                                [("foot:   40 mm", "foot:   37 mm")]),
    "walls folded inside out": ("published", [("fold(panels, mountain, y=foot_line..shoulder)",
                                               "fold(panels, valley, y=foot_line..shoulder)")],
                                "folds-contradict", "upright = fold",
                                [("fold(foot_line, mountain)", "fold(foot_line, mountain, by=90 deg)")]),
    "a lid that is too tight": ("lidded-box", [("ease:     2 mm", "ease:     1 mm"),
                                               ("ease >= 4*", "ease >= 2*")], "lid-tight", "lid  = sheet",
                                [("ease:     2 mm", "ease:     1.5 mm")]),
    "a solid with a wrong angle": ("ornament", [("180 deg - 2*atan(golden)", "182 deg - 2*atan(golden)")],
                                   "seam-open", "", [("by=bend", "by=bend")]),
    "a tray with walls cut otherwise": ("tray", [("top=tray.edges.length + 2*splay",
                                                  "top=tray.edges.length + splay")], "seam-open",
                                        "corners = seam", [("tab(depth=flap)", "tab(depth=flap)")]),
    "a hole at the very peak": ("published", [("eyelet: 12 mm", "eyelet:  4 mm")], "hole-near-edge",
                                "holes = punch", [("eyelet: 12 mm", "eyelet:  9 mm")]),
    "a crown that is too high": ("straight",
                                 [("crown:  39 mm", "crown:  40 mm"), ("<= crown <= corner", "<= crown")],
                                 "crown-window", "gather(strip",
                                 [("crown:  39 mm", "crown:  38 mm")]),
}


@pytest.mark.parametrize("name", WHOLE)
def test_a_fault_in_a_tutorial_is_found_where_it_is(name):
    """The finding stands among those of the source, with its line."""
    base, changes, code, line, _ = WHOLE[name]
    told = found(changed(source(base), *changes))
    assert any(c == code and row.startswith(line) for c, row in told), told


@pytest.mark.parametrize("name", WHOLE)
def test_a_tutorial_changed_without_harm_is_silent(name):
    """Neither the fault nor anything else is found."""
    base, *_, harmless = WHOLE[name]
    assert not found(changed(source(base), *harmless))


def test_what_folding_finds_stands_among_the_findings_of_a_source():
    """The build stops at a ball that cannot close, and names the fold to blame, once for both editions."""
    text = changed(source("ornament"), ("180 deg - 2*atan(golden)", "182 deg - 2*atan(golden)"))
    loaded = load_text(text, "box.md", BENCHES)
    assert loaded.tutorial is None and [f.code for f in loaded.findings] == ["fold-angle"]
    assert text.split("\n")[loaded.findings[0].line - 1].startswith("joints = fold(")


@pytest.mark.parametrize("name", ["caddy", "envelope", "lidded-box", "ornament", "six-sided", "tray",
                                  "published", "straight"])
def test_the_unbroken_tutorials_are_silent(name):
    """The small sources, the published caddy, and the caddy with straight folds for its crown."""
    assert not found(source(name))

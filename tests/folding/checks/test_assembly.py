"""The order of work: nothing is glued before what it needs, or behind what is closed."""
from __future__ import annotations

from tests.folding.checks.sources import SLEEVE, found
from tests.folding.sample_boxes import CROWN, folded

CARTON = """
strip = sheet(width=2*front + 2*side + tab, height=dust + wall, up=printed)
foot = score(strip, y=dust)
posts = score(strip, x=along(front, side, front, side))
cut(strip, x=posts, y=bottom..foot)
remove(strip, x=posts.last..right, y=bottom..foot)
walls = faces(strip, x=posts.bays, y=foot..top)
flaps = faces(strip, x=posts.bays, y=bottom..foot)
flap = faces(strip, x=posts.last..right, y=foot..top)
fold(posts, mountain, by=90 deg)
fold(foot, mountain)
glue(flap, under=walls.first)
glue(flaps, order=opposite)
"""
RING, FLOOR = "glue(flap, under=walls.first)\n", "glue(flaps, order=opposite)\n"


def test_a_floor_is_closed_once_its_ring_is():
    """The flaps of a floor meet only where the ring of walls stands."""
    assert found(CARTON) == []
    assert found(CARTON, (RING + FLOOR, FLOOR + RING)) == [("step-order", FLOOR.strip())]


def test_a_top_is_gathered_once_its_ring_is_closed():
    """A crown is gathered round its axis; a strip has none."""
    ring = "glue(flap, under=walls.first)\n"
    sizes = {"panel": 30, "wall": 40, "crown": 16, "tab": 8}
    early = CROWN.replace(ring + "gather(strip)\n", "gather(strip)\n" + ring)
    rows = early.split("\n")
    assert ("step-order", "gather(strip)") in [(f.code, rows[f.line - 1]) for f in
                                               folded(early, {"sides": 6}, **sizes).findings]
    assert "step-order" not in [f.code for f in folded(CROWN, {"sides": 6}, **sizes).findings]


def test_a_score_on_a_folded_piece():
    """Nothing is scored once walls stand; what is cut off then, scissors reach."""
    late = "late = score(strip, y=wall/2, keep=flat)"
    assert found(SLEEVE, ("glue(flap", f"{late}\nglue(flap")) == [("step-order", late)]
    slip = "remove(strip, x=posts.last + lap..right, y=bottom..lap)"
    assert found(SLEEVE, ("glue(flap", f"{slip}\nglue(flap")) == []


def test_a_ribbon_is_threaded_before_it_gathers():
    """A top that is pulled together by a ribbon needs it in its holes."""
    eyes = ("fold(lines, mountain, y=bottom..brim)",
            "eyes = punch(strip, x=lines.bays.middle, y=wall + crown/2, "
            "diameter=hole)\nlace = ribbon(length=sides*panel*3)\nfold(lines, mountain, y=bottom..brim)")
    sizes = {"panel": 30, "wall": 40, "crown": 26, "tab": 8, "hole": 3}
    done = {}
    for name, order in {"right": "thread(lace, through=eyes)\ngather(strip, by=lace)",
                        "late": "gather(strip, by=lace)\nthread(lace, through=eyes)"}.items():
        text = CROWN.replace(*eyes).replace("gather(strip)", order)
        rows = text.split("\n")
        done[name] = [(f.code, rows[f.line - 1]) for f in folded(text, {"sides": 6}, **sizes).findings]
    assert ("step-order", "gather(strip, by=lace)") in done["late"]
    assert "step-order" not in dict(done["right"])


def test_a_band_goes_round_what_is_folded():
    """A sleeve that is folded only when its band lies round it."""
    band, fold = "sash = band(walls, width=dust, lap=tab)\n", "fold(posts, mountain, by=90 deg)\n"
    ring = "glue(flap, under=walls.first)\n"
    assert found(SLEEVE + band) == []
    assert ("step-order", band.strip()) in found(SLEEVE, (fold + ring, ring + band + fold))

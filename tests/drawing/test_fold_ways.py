"""Between the stops of every fold slider paper stays paper: read from the data, as its program reads it."""
from __future__ import annotations

import json

import numpy as np
import pytest

from generator.drawing.folded.slider_data import slider_data
from tests.drawing.slide_reading import Body, placed
from tests.tutorial.site_tutorials import SHELF, folded_of, on_shelf

PLACES = np.linspace(0, 1, 13)      # of each way
TEAR, PIERCING, MOVED = 0.3, 0.3, 0.5    # mm; what an eye sees
# Where no flat panels can go: the gussets of a bag (a paper bag does not fold rigidly along its usual
# creases: Balkcom, Demaine, Demaine, Ochsendorf and You, “Folding paper shopping bags”, from memory), and
# tucks, whose tip is farther from the lid's fold than the wall is behind which they slip (Pythagoras), and
# the second end of a pouch, whose faces are bent by then: its flaps snap over (common practice, no source).
BENDS = {("biscuit-bag", 4), ("window-carton", 4), ("ring-of-wedges", 2), ("soap-pouch", 4)}


@pytest.fixture(scope="module")
def slides() -> dict[str, list[Body]]:
    """The pieces of every tutorial that is folded, from numbers and lists alone."""
    made = {slug: slider_data(*folded_of(on_shelf(slug))) for slug in SHELF}
    return {slug: [Body(body) for body in json.loads(json.dumps(each.bodies))] for slug, each in made.items()
            if each is not None}


def ways(slides: dict[str, list[Body]]):
    """Tutorial, piece, and its places on each way, but for stretches in which it bends."""
    for slug, bodies in slides.items():
        for body in bodies:
            for end in body.stops:
                rigid = next((low for low, high in body.bends if high == end), end)
                if rigid > end - 1:
                    yield slug, body, end - 1 + PLACES * (rigid - end + 1)


def test_no_panel_tears_from_its_neighbour(slides):
    """Beside every fold, at 13 places of every way."""
    torn = [(slug, place, worst) for slug, body, places in ways(slides) for place in places
            if (worst := body.tear(place))[0] > TEAR]
    assert len(slides) >= 12 and not torn


def test_no_panel_passes_through_another(slides):
    """Neither on the way nor at a stop."""
    pierced = [(slug, place, worst) for slug, body, places in ways(slides) for place in places
               if (worst := body.pierced(place))[0] > PIERCING]
    assert not pierced


def test_panels_come_to_lie_on_the_side_where_they_are_drawn(slides):
    """What ends in a layer above another one comes from above it."""
    wrong = [(slug, places[-1], pair) for slug, body, places in ways(slides) if places[-1] in body.stops
             for pair in body.from_below(places)]
    assert not wrong


def test_something_moves_at_every_stop(slides):
    """A fold turns, a sheet bends or a ribbon is drawn through: by half a millimetre at least."""
    for slug, bodies in slides.items():
        stops = sorted({stop for body in bodies for stop in body.stops})
        assert stops == list(range(1, len(stops) + 1))
        for stop in stops:
            moved = [body.moved(stop - 1, stop) > MOVED or body.laced(stop) for body in bodies]
            assert any(moved), (slug, stop)


def test_paper_bends_only_where_no_flat_panels_can_go(slides):
    """And there it says so."""
    found = {(slug, high) for slug, bodies in slides.items() for body in bodies for _, high in body.bends}
    assert found == BENDS


def test_faults_are_found(slides):
    """An even turn from the open bag to the shut one tears it; the carton's lid runs into its flaps."""
    (bag,), (carton,) = slides["biscuit-bag"], slides["window-carton"]
    bag, carton = bag.even(2, 4), carton.even(3, 4)
    assert max(bag.tear(2 + u)[0] for u in 2 * PLACES) > 5
    assert max(carton.pierced(3 + u)[0] for u in PLACES) > 3


def test_the_reading_agrees_with_a_square_box():
    """Two flaps of a square box, 40 by 20 mm, both bent in by 45°, stand in each other."""
    body = Body({"up": 1, "root": 0, "rides": [0, 1, 2], "angles": [[0, 0, 0], [1, 7854, 7854]], "bends": [],
                 "panels": [[[0, 0, 40000, 0, 40000, 40000, 0, 40000], [0, 1, 2, 0, 2, 3]],
                            [[0, 0, 40000, 0, 40000, -20000, 0, -20000], [0, 2, 1, 0, 3, 2]],
                            [[0, 0, 0, 40000, -20000, 40000, -20000, 0], [0, 1, 2, 0, 2, 3]]],
                 "arms": [[1, 0, 0, 40000, 0, -1, 0], [2, 0, 1, 0, 0, 0, -1]],
                 "lines": [[0, 0, 1, 0, 0, 0, 40000, 0], [0, 0, 2, 1, 0, 0, 0, 40000]],
                 "lifts": [], "laces": [], "moves": [1]})
    assert body.pierced(1.0)[0] == 0 and body.tear(0.5)[0] == 0
    frames = body.frames(1.0)
    tip = placed(frames[1], np.array([[20.0, -20.0]]))[0]
    assert abs(abs(tip[2]) - 20 * np.sin(np.pi / 4)) < 1e-3 and tip[1] < 0


def test_what_is_glued_on_put_round_and_tied_is_on_the_slider(slides):
    """The mat of 92 by 61 mm lies on its lid from the flat sheet on, the band of 35 mm goes round at the end.

    Ribbons end in the bow of the still pictures: the drawer's loop stands off by 35 % of 140 mm.
    """
    (box,) = slides["hinged-box"]
    mats = [extra for extra in box.body["extras"] if extra[2] >= 0]
    bands = [extra for extra in box.body["extras"] if extra[2] < 0]
    (mat,) = mats
    sides = np.ptp(np.array(mat[4]).reshape(-1, 2), axis=0) / 1000
    assert mat[0] < 0 and sorted(sides) == pytest.approx([61, 92], abs=0.01)
    assert len(bands) >= 4 and all(box.stops[-1] - 0.01 < band[0] < box.stops[-1] for band in bands)
    widths = [np.linalg.norm(np.diff(np.array(band[4]).reshape(-1, 3) / 1000, axis=0), axis=1)[1]
              for band in bands]
    assert widths == pytest.approx([35] * len(bands), abs=0.05)
    drawer = next(body for body in slides["tea-drawer"] if body.body["bows"])
    bow = np.array(drawer.body["bows"][0]).reshape(-1, 3)
    assert np.linalg.norm(bow - bow[0], axis=1).max() == pytest.approx(0.35 * 140, abs=1)
    tied = {slug for slug, bodies in slides.items() for body in bodies if body.body["bows"]}
    assert tied == {"almond-pot", "biscuit-bag", "gable-carrier", "soap-pyramid", "tea-caddy", "tea-drawer"}

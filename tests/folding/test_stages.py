"""How a piece stands after each step, and on the way between."""
from __future__ import annotations

import numpy as np
import pytest

from generator.folding.records import placed_points
from generator.folding.stages import FIRST_FLAP_SHARE, SPRINGBACK_SHARE, FoldMotion
from tests.tutorial.site_tutorials import on_shelf
from tests.tutorial.small_source import tutorial_of

NAMES = ("caddy", "envelope", "lidded-box", "ornament", "tray")


@pytest.fixture(scope="module")
def ways() -> dict[str, list[FoldMotion]]:
    """The way of every piece of the small sources."""
    made = {}
    for name in NAMES:
        tutorial = tutorial_of(name)
        made[name] = [FoldMotion(tutorial.drawn, piece) for piece in tutorial.folds[tutorial.drawn_in].pieces]
    return made


@pytest.mark.parametrize("name", NAMES)
def test_the_last_stage_is_the_finished_box(ways, name):
    """In the end every panel lies where folding says, and every fold has the angle that closes the box."""
    for way in ways[name]:
        last = way.stages[-1]
        signs = np.array([hinge.bend.sign for hinge in way.piece.flat.hinges])
        assert last.angles == pytest.approx(signs * way.piece.angles, abs=1e-9)
        assert last.frames == pytest.approx(way.piece.frames, abs=1e-9)


@pytest.mark.parametrize("name", NAMES)
def test_paper_keeps_its_size_all_the_way(ways, name):
    """At every stage and between any two, panels are moved and not stretched.

    They hang together at their folds.
    """
    for way in ways[name]:
        stages = [way.flat, *way.stages]
        for one, other in zip(stages, stages[1:], strict=False):
            half = way.between(one, other, 0.37)
            for frames in (one.frames, half.frames, other.frames):
                turns = frames[:, :3, :3]
                assert np.einsum("nij,nkj->nik", turns,
                                 turns) == pytest.approx(np.tile(np.eye(3), (len(turns), 1, 1)), abs=1e-9)
            for arm in way.link.arms:
                hinge = way.piece.flat.hinges[arm.hinge]
                ends = np.array((hinge.start, hinge.end))
                places = [placed_points(half.frames[k], ends) for k in (arm.panel, arm.parent)]
                assert places[0] == pytest.approx(places[1], abs=1e-9)


def test_the_way_between_begins_and_ends_at_its_stages(ways):
    """Share 0 is the first stage, share 1 the second."""
    (way,) = ways["tray"]
    begun, ended = way.between(way.flat, way.stages[-1], 0.0), way.between(way.flat, way.stages[-1], 1.0)
    assert begun.frames == pytest.approx(way.flat.frames)
    assert ended.frames == pytest.approx(way.stages[-1].frames)


def test_paper_springs_back_until_it_is_held(ways):
    """The caddy's walls stand open after folding and are closed by the seam.

    Its flaps hang until the floor is glued, the first inmost.
    """
    (way,) = ways["caddy"]
    folded, glued = way.stages[0], way.stages[1]
    walls = [h.id for h in way.piece.flat.hinges if abs(way.piece.angles[h.id] - np.pi / 4) < 1e-6
             and abs(h.start[0] - h.end[0]) < 1e-6]
    shares = np.abs(folded.angles[walls]) / way.piece.angles[walls]
    # the tab alone is bent all the way
    assert sorted(set(shares.round(3))) == [SPRINGBACK_SHARE, 1.0] and (shares == 1.0).sum() == 1
    assert np.abs(glued.angles[walls]) == pytest.approx(way.piece.angles[walls])
    flaps = [h.id for h in way.piece.flat.hinges if abs(way.piece.angles[h.id] - np.pi / 2) < 1e-6]
    hang = np.abs(folded.angles[flaps]) / (np.pi / 2)
    assert len(flaps) == 8 and len(set(hang.round(4))) == 8 and hang.max() < FIRST_FLAP_SHARE


def test_a_step_that_only_cuts_is_no_stage(ways):
    """Stages are of steps that fold, glue, seam, thread or gather, from the first fold on."""
    assert [stage.step for stage in ways["caddy"][0].stages] == [6, 7, 8]
    assert [stage.step for stage in ways["ornament"][0].stages] == [3, 4, 5]
    assert [way.stages[0].step for way in ways["lidded-box"]] == [6, 6]


def on_the_shelf(slug: str) -> FoldMotion:
    tutorial = on_shelf(slug)
    return FoldMotion(tutorial.drawn, tutorial.folds[tutorial.drawn_in].pieces[0])


def degrees(way: FoldMotion, stage: int, start: tuple[float, float], end: tuple[float, float]) -> float:
    """The angle of the hinge between two points of the flat plan (mm)."""
    (hinge,) = [h for h in way.piece.flat.hinges
                if {tuple(h.start.round(1)), tuple(h.end.round(1))} == {start, end}]
    return float(np.degrees(way.stages[stage].angles[hinge.id]))


def test_flaps_stand_open_until_those_below_them_are_held():
    """The envelope's side flaps spring back; the lower and the upper one, which will cover them, stand.

    They lie flat when the pocket is glued, the upper one when the step that says so closes it.
    """
    way = on_the_shelf("seed-envelope")
    angles = np.sort(np.degrees(np.abs([stage.angles for stage in way.stages])), axis=1)
    assert [stage.step for stage in way.stages] == [6, 7, 8]
    assert angles == pytest.approx(np.array([[90, 90, 144, 144], [144, 180, 180, 180], 4 * [180]]))


def test_a_fold_goes_on_where_the_score_below_it_is_not_folded_yet():
    """Before base and roof of the bag are shut the upright folds of its walls run from edge to edge."""
    way = on_the_shelf("biscuit-bag")
    wall = degrees(way, 0, (76.2, 139.7), (76.2, 31.8))
    assert wall == pytest.approx(-90 * SPRINGBACK_SHARE)
    for start, end in ((0.0, 31.8), (139.7, 174.6), (174.6, 200.0)):
        assert degrees(way, 0, (76.2, start), (76.2, end)) == pytest.approx(wall)


@pytest.mark.parametrize(("slug", "low", "high", "shut"),
                         [("biscuit-bag", 0, 32, 12), ("biscuit-bag", 139, 201, 13),
                          ("gable-carrier", 126, 201, 12)])
def test_what_is_folded_once_and_opened_again_is_shut_by_the_step_that_holds_it(slug, low, high, shut):
    """The base when it is glued, the roof and its grips when a ribbon ties them: until then they stand open.

    The sources say so in words ("fold it up once like this, and open it again").
    """
    way = on_the_shelf(slug)
    across = [h.id for h in way.piece.flat.hinges if abs(h.start[0] - h.end[0]) > 1
              and low <= min(h.start[1], h.end[1]) and max(h.start[1], h.end[1]) < high]
    assert len(across) >= 8
    for stage in way.stages:
        made = np.abs(stage.angles[across])
        assert (made > 0.5).all() if stage.step >= shut else (made == 0).all(), stage.step


def test_a_pyramid_stands_open_until_it_is_tied():
    """All its walls lean out by a fifth of what they will be folded, when it was tried dry."""
    way = on_the_shelf("soap-pyramid")
    tried, tied = (np.abs(stage.angles[[0, 3, 6, 7]]) for stage in way.stages[-2:])
    assert tried == pytest.approx(SPRINGBACK_SHARE * tied)


@pytest.mark.parametrize("slug", ["window-carton", "gable-carrier"])
def test_no_two_neighbouring_flaps_of_a_square_floor_hang_in(slug):
    """They would stand in each other: two opposite ones hang, the others stand open."""
    way = on_the_shelf(slug)
    hanging = [k for k, stage in enumerate(way.stages) if 0 < np.count_nonzero(stage.angles[:4]) < 4]
    assert hanging
    for k in hanging:
        assert [bool(angle) for angle in way.stages[k].angles[:4]] == [False, True, False, True]

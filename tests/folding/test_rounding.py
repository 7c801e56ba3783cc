"""What is found, said and drawn does not hang on rounding: off by a hair it is the same."""
from __future__ import annotations

import json
import platform

import numpy as np
import pytest

from generator.folding.features.placements import rigid_motion
from generator.tutorial import load_text
from tests.bench.perturb import PATHS, digests, sources, under
from tests.catalogue.case_runner import BENCHES, FILE
from tests.catalogue.cases import all_cases
from tests.folding.perturb import differing, disturbed
from tests.time_limits import ASKED

# what folds nothing asks for no coordinate
SOURCES = [case for case in all_cases() if case.fence("command") is None and "fold(" in case.source]
TIMES = 20 if ASKED else 1      # `make bench` disturbs more often
TIMES_BENT = 2 if ASKED else 1      # of a page whose tops are bent anew each time, which takes seconds


@pytest.mark.parametrize("case", SOURCES, ids=str)
def test_a_case_disturbed_is_found_alike(case):
    """Coordinates and starting angles off by 10⁻⁹ change no finding; of many cases nothing is folded."""
    times = TIMES_BENT if case.page == "curved_folds" else TIMES
    assert differing(lambda: load_text(case.source, FILE, BENCHES).findings, times) == {}


def test_the_disturbance_reaches_the_folding():
    """A box that is folded asks for its coordinates while they are disturbed, or nothing would be shown."""
    case = next(case for case in SOURCES if case.title == "Glue where nothing lies")
    with disturbed(1) as asked:
        load_text(case.source, FILE, BENCHES)
    assert asked["points"] > 20


@pytest.mark.skipif(platform.machine() != "x86_64", reason="these kernels are of one family of processors")
def test_kernels_of_the_linear_algebra_agree():
    """That of this machine and an old one give the tray the same findings, words, pictures and slides."""
    here = {path.parent.name: digests(path) for path in sources(["soap-tray"])}
    assert json.loads(json.dumps(here)) == under(PATHS["without AVX2"], ["soap-tray"])


def test_a_piece_that_one_edge_holds_stays_as_it_is_drawn():
    """Points on one line leave a turn about it open: the least turn is taken, whatever the rounding."""
    edge = np.array(((0.0, 0.0, 0.0), (40.0, 0.0, 0.0)))
    for chance in map(np.random.default_rng, range(5)):
        noise = 1e-9 * chance.standard_normal((2, 2, 3))
        move = rigid_motion(edge + noise[0], edge + (5.0, 6.0, 7.0) + noise[1])
        assert move[:3, :3] == pytest.approx(np.eye(3), abs=1e-6)
        opposite = rigid_motion(edge + noise[0], edge[::-1] + noise[1])
        assert opposite[:3, :3] == pytest.approx(np.diag((-1.0, 1.0, -1.0)), abs=1e-6)

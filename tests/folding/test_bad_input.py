"""Plans that no box can be made of: a clear word, never a number that is none, and never a long wait."""
from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.folding import analyse_tolerances, fold, obj_text
from tests.folding.sample_boxes import CROWN, PRISM, TRAY, codes, folded
from tests.paper.statement_evaluation import evaluated
from tests.time_limits import within


@settings(deadline=None, max_examples=25)
@given(text=st.sampled_from([PRISM, TRAY, CROWN]), sides=st.integers(2, 9), panel=st.integers(1, 90),
       wall=st.integers(1, 90),
       crown=st.integers(1, 120), tab=st.integers(1, 90), splay=st.integers(1, 60), rise=st.integers(1, 60))
def test_nothing_gives_a_number_that_is_none(text, sides, panel, wall, crown, tab, splay, rise):
    """Whatever the measures, every frame, angle, residual and figure is a number."""
    done = evaluated(text, {"sides": sides}, panel=panel, wall=wall, crown=crown, tab=tab, splay=splay,
                     rise=rise,
                     long=2 * panel, short=panel)
    for piece in fold(done.plan).pieces:
        assert np.isfinite(piece.frames).all() and np.isfinite(piece.angles).all()
        assert all(np.isfinite((r.gap, r.turn)).all() for r in piece.residuals)
        if piece.dimensions is not None:
            assert np.isfinite(piece.dimensions.size).all() and (piece.dimensions.volume is None
                                                              or np.isfinite(piece.dimensions.volume))


@settings(deadline=None, max_examples=8)
@given(text=st.sampled_from([PRISM, TRAY, CROWN]), sides=st.integers(3, 7), panel=st.integers(5, 60),
       crown=st.integers(5, 70),
       hand=st.floats(0.01, 5))
def test_no_slip_of_the_hand_gives_a_number_that_is_none(text, sides, panel, crown, hand):
    """Whatever the measures and however far a mark is off, every defect and every share is a number."""
    plan = evaluated(text, {"sides": sides}, panel=panel, wall=30, crown=crown, tab=6, splay=4, rise=20,
                     long=2 * panel,
                     short=panel).plan
    found = analyse_tolerances(plan, fold(plan), hand)
    assert all(np.isfinite((i.value, i.limit, i.seen)).all() for i in found.defects)
    assert all(np.isfinite((s.share, s.before, s.after, *s.seen)).all() for s in found.found)


def test_two_thousand_panels_are_refused_within_five_seconds():
    """A grid of 45 by 45 folds is no box; the finding is a warning, so that the page is made all the same."""
    plan = evaluated("s = sheet(width=n*w, height=n*w)\nfold(score(s, x=every(w, n - 1)), mountain)\n"
                     "fold(score(s, y=every(w, n - 1)), valley)",
                     {"n": 45}, w=10).plan
    with within(5):
        done = fold(plan)
    assert codes(done) == ["too-much"] and done.findings[0].severity == "warning"


def test_a_hundred_free_folds_are_folded_or_refused_in_time():
    """A crown of twenty-four sides has a hundred and twenty folds, a grid of ten by ten two hundred.

    Never more than ten seconds.
    """
    grid = ("s = sheet(width=n*w + tab, height=n*w)\nup = score(s, x=every(w, n))\nfold(up, mountain)\n"
            "fold(score(s, y=every(w, n - 1)), valley)\n"
            "glue(faces(s, x=up.last..right, y=bottom..top), under=faces(s, x=left..up.first, "
            "y=bottom..top))")
    plans = [evaluated(grid, {"n": 10}, w=10, tab=5).plan,
             evaluated(CROWN, {"sides": 24}, panel=8, wall=25, crown=30.5, tab=6).plan]
    for plan in plans:
        with within(10):
            done = fold(plan)
        piece, = done.pieces
        assert piece.judged or ("too-much" in codes(done) and piece.why_not_judged)


def test_a_search_that_is_given_up_says_so():
    """The finding is a warning at the piece, and says that the check was left out."""
    done = folded("s = sheet(width=n*w + tab, height=n*w)\nup = score(s, x=every(w, n))\n"
                  "across = score(s, y=every(w, n - 1))\nfold(up, mountain)\nfold(across, valley)\n"
                  "glue(faces(s, x=up.last..right, y=bottom..top), under=faces(s, x=left..up.first, "
                  "y=bottom..top))",
                  {"n": 12}, w=10, tab=5)
    told, = done.findings
    assert (told.code, told.severity, told.line) == ("too-much", "warning",
                                                     1) and "not checked by folding" in told.message


def test_folds_that_cannot_be_reached_are_found():
    """A box whose walls are told to fold outwards by a right angle.

    Its seams cannot meet, and stay as far apart as they are.
    """
    done = folded("base = panel(rectangle(width=long, height=short))\n"
                  "walls = attach(base.edges, rectangle(width=base.edges.length, height=deep))\n"
                  "seam(walls.edges.each[4], rotated(walls.edges.each[2]))\n"
                  "fold(walls.hinge, group(mountain, valley, mountain, valley), by=90 deg)", long=60,
                  short=40, deep=20)
    assert codes(done) == ["seam-open"] and max(r.gap for r in done.residuals) > 20


def test_angles_that_contradict_each_other_are_found():
    """A ring of four whose folds are told to be 80° cannot close."""
    done = folded(PRISM.replace("fold(lines, mountain)", "fold(lines, mountain, by=80 deg)"), {"sides": 4},
                  panel=30, wall=40, tab=8)
    assert "seam-open" in codes(done) and {f.line for f in done.findings} == {7}


def test_a_plan_without_folds_has_nothing_to_say():
    """Neither pieces nor findings."""
    done = folded("s = sheet(width=w, height=w)", w=20)
    assert not done.pieces and not done.findings and not done.facts


def test_the_mesh_has_every_panel_and_only_numbers():
    """A reader of our own: as many faces as panels, every index within the vertices, lengths kept in mm."""
    text = obj_text(folded(PRISM, {"sides": 6}, panel=30, wall=40, tab=8))
    rows = [line.split() for line in text.splitlines()]
    points = np.array([row[1:] for row in rows if row[0] == "v"], float)
    faces = [[int(k) - 1 for k in row[1:]] for row in rows if row[0] == "f"]
    assert len(faces) == 7 and max(map(max, faces)) < len(points) and np.isfinite(points).all()
    sides = {round(float(np.linalg.norm(points[f[k]] - points[f[k - 1]])), 3) for f in faces
             for k in range(len(f))}
    assert sides == {30, 40, 8}

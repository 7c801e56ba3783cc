"""The one fold that goes the wrong way is named, and no fold where another cause is as likely."""
from __future__ import annotations

import pytest

from generator.findings import Finding, finding
from generator.folding import fold
from generator.folding.diagnosis import explained, wrong_angle_fold, wrong_way_fold
from tests.folding.checks.sources import SIZES, SLEEVE, TRAY
from tests.folding.checks.test_assembly import CARTON
from tests.folding.sample_boxes import changed
from tests.paper.statement_evaluation import made


def blamed(text: str, *changes: tuple[str, str]) -> str | None:
    """The statement that is blamed, if any."""
    text = changed(text, *changes)
    plan = made(text, {"sides": 4}, **SIZES).plan
    cause = wrong_way_fold(plan, fold(plan).findings, lambda turned: fold(turned).findings)
    return text.split("\n")[cause.line - 1] if cause is not None else None


def test_a_sound_box_blames_nobody():
    """Nothing is found, so nothing is asked."""
    assert blamed(CARTON) is blamed(SLEEVE) is blamed(TRAY) is None


@pytest.mark.parametrize(("text", "wrong"), (
    (CARTON, "fold(foot, valley)"),
    (TRAY.replace("fold(walls.hinge", "fold(walls[1..3].hinge")
     + "fold(walls[4..4].hinge, mountain, by=90 deg)\n",
     "fold(walls[4..4].hinge, valley, by=90 deg)"),
    (SLEEVE, "fold(posts, valley, by=90 deg)")))
def test_one_fold_in_the_wrong_direction(text, wrong):
    """The floor outwards, one wall of a tray downwards.

    A sleeve with its print inside and its tab outside.
    """
    assert blamed(text, (wrong.replace("valley", "mountain"), wrong)) == wrong


def test_a_tab_glued_over_its_wall_is_no_matter_of_folds():
    """With the folds turned the tab would lie inside, but so would the print: the glue is to blame."""
    assert blamed(SLEEVE, ("under=", "over=")) is None


def test_a_wall_that_is_too_long_is_no_matter_of_folds():
    """Whichever way its folds go, a tray of unequal walls gapes."""
    longer = "fold(walls.hinge, mountain, by=90 deg)", "fold(walls.hinge, mountain, by=80 deg)"
    assert blamed(TRAY, longer) is None


@pytest.mark.parametrize(("text", "right", "wrong"), (
    (TRAY, "fold(walls.hinge, mountain, by=90 deg)", "fold(walls.hinge, mountain, by=80 deg)"),
    (SLEEVE, "fold(posts, mountain, by=90 deg)", "fold(posts, mountain, by=60 deg)")))
def test_a_fold_by_a_wrong_angle(text, right, wrong):
    """Walls at 80 degrees gape; left alone they stand at 90. A sound box blames nobody."""
    assert with_wrong_angle(changed(text, (right, wrong))) == wrong
    assert with_wrong_angle(text) is None


def with_wrong_angle(text: str) -> str | None:
    """The statement whose angle is blamed, if any."""
    plan = made(text, {"sides": 4}, **SIZES).plan
    cause = wrong_angle_fold(plan, fold(plan).findings, lambda freed: ((done := fold(freed)), done.findings))
    return text.split("\n")[cause.line - 1] if cause is not None else None


def test_a_wall_of_another_height_is_no_matter_of_angles():
    """With one panel of a sleeve 5 mm wider no angle brings its tab onto its wall level."""
    uneven = changed(SLEEVE, ("along(front, side, front, side)", "along(front, side, front + more, side)"))
    assert fold(made(uneven, {"sides": 4}, **SIZES).plan).findings
    assert with_wrong_angle(uneven) is None


def test_what_follows_from_a_fold_is_not_told_beside_it():
    """Glue that misses follows from the fold; a hole too near an edge does not, nor must a stated size."""
    def of(code: str) -> Finding:
        return finding(code, cause.span, "it is so")

    cause = finding("fold-backwards", fold(made(SLEEVE, {}, **SIZES).plan).pieces[0].flat.hinges[0].bend.span,
                    "it goes the wrong way")
    rows = [of("glue-apart"), of("hole-near-edge"), of("finish-differs")]
    assert [each.code for each in explained(rows, cause)] == ["fold-backwards", "hole-near-edge"]
    assert [each.code for each in explained(rows[1:], cause)] == ["fold-backwards", "hole-near-edge",
                                                                  "finish-differs"]


@pytest.mark.parametrize("by", (120, 150, 60))
def test_a_lid_by_a_wrong_angle(by):
    """A lid that is said to close stands askew by what its fold is off: by 90 degrees it lies level."""
    lid = ("lid = attach(walls[1].edges[3], rectangle(height=side))\nlid_down = fold(lid.hinge, mountain, "
           "by={} deg)\n")
    text = TRAY + lid + "close(lid, over=base.faces.first)\n"
    plan = made(text.format(by), {"sides": 4}, **SIZES).plan
    done = fold(plan)
    assert done.tilts == pytest.approx([abs(by - 90)])
    cause = wrong_angle_fold(plan, done.findings, lambda freed: ((again := fold(freed)), again.findings),
                             done.tilts)
    assert cause is not None and cause.code == "fold-angle" and "by 90°" in cause.hint
    right = made(text.format(90), {"sides": 4}, **SIZES).plan
    assert fold(right).tilts == () and not fold(right).findings

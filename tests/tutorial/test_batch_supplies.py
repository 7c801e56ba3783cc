"""Which sheets the blanks of a tutorial come out of, and how many a batch takes."""
from __future__ import annotations

from pathlib import Path

from generator.tutorial import Tutorial, load
from generator.tutorial.batch_supplies import BATCHES, sheet_plans
from generator.units import default_bench

CADDY = Path(__file__).parents[2] / "tutorials" / "tea-caddy" / "index.md"


def loaded(change=lambda text: text, tmp_path=None) -> Tutorial:
    """The caddy, changed or not."""
    path = CADDY
    if tmp_path is not None:
        path = tmp_path / "index.md"
        path.write_text(change(CADDY.read_text(encoding="utf-8")), encoding="utf-8")
    found = load(path, "caddy.md", {s: default_bench(s) for s in ("mm", "in")})
    assert found.tutorial is not None, found.findings
    return found.tutorial


def test_each_listed_sheet_says_what_it_gives():
    """252 × 139 mm comes once out of A4 and Letter, twice out of 12 × 12 in: 2 × 139 < 304.8 (elementary)."""
    plans = {plan.sheet: plan for plan in sheet_plans(loaded())}
    assert list(plans) == ["A4", "Letter", "12 × 12 in"]
    assert set(plans["A4"].gives.values()) == {"One sheet gives the blank of one box"}
    assert set(plans["12 × 12 in"].gives.values()) == {"One sheet gives the blanks of two boxes"}
    assert all(plan.pictures for plan in plans.values())


def test_a_batch_takes_as_many_sheets_as_its_boxes_need():
    """One box a sheet, or two: 50 boxes take 50 sheets, or 25."""
    plans = {plan.sheet: plan for plan in sheet_plans(loaded())}
    for sheet, each in (("A4", 1), ("12 × 12 in", 2)):
        for needed in plans[sheet].needed:
            assert dict(needed.sheets) == dict.fromkeys(("mm", "in"), -(-needed.boxes // each))
    assert tuple(n.boxes for n in plans["A4"].needed) == BATCHES


def test_a_sheet_that_is_too_small_says_so(tmp_path):
    """A5 holds no strip of 252 mm: no picture, no batch, and the reason in words."""
    small, = sheet_plans(loaded(lambda text: text.replace("[a4, letter, 12x12 in]", "[a5]"), tmp_path))
    assert set(small.gives.values()) == {"A sheet of A5 is too small for strip"}
    assert not small.needed
    assert not small.pictures


def test_the_grain_is_said_and_free_paper_says_nothing(tmp_path):
    """Paper whose grain runs across the strip binds the sheet; paper of any grain does not."""
    bound = sheet_plans(loaded())[0]
    free = sheet_plans(loaded(lambda text: text.replace("grain: across, ", ""), tmp_path))[0]
    assert bound.notes == ("the grain must run along the short side of the sheet",)
    assert free.notes == ()

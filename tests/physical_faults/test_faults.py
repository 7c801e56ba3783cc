"""Faults that nobody could fold are found where they are made, and changes that look like them pass."""
from __future__ import annotations

from pathlib import Path

import pytest

from tests.physical_faults.mutated import Change, at_its_place, changes, findings_of
from tests.time_limits import sampled

FAULTS, COUSINS = list(changes(harmful=True)), list(changes(harmful=False))
# what is asked of faults that nobody has seen, as shares of all
FOUND, AT_ITS_PLACE = 0.95, 0.90
# the first of each family and every tenth after it; `make bench` tries all
TRIED = [sampled(changes, 10, lambda change: change.family) for changes in (FAULTS, COUSINS)]


@pytest.fixture(scope="module")
def judged(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[bool, bool]]:
    """Fault that is tried → whether anything is found, and whether it stands where the fault is."""
    made = {}
    for change in TRIED[0]:
        source, lines, found = findings_of(change, tmp_path_factory.mktemp("fault"))
        made[change.label] = bool(found), any(at_its_place(change, source, lines, each) for each in found)
    return made


@pytest.mark.slow
def test_faults_are_found(judged: dict[str, tuple[bool, bool]]) -> None:
    """At least 95 of 100 physical faults are found, and 90 of 100 on the line that makes them."""
    missed = [label for label, (found, _) in judged.items() if not found]
    elsewhere = [label for label, (_, placed) in judged.items() if not placed]
    assert len(judged) - len(missed) >= FOUND * len(judged), missed
    assert len(judged) - len(elsewhere) >= AT_ITS_PLACE * len(judged), elsewhere


@pytest.mark.slow
@pytest.mark.parametrize("cousin", TRIED[1], ids=lambda change: change.label)
def test_harmless_changes_pass(cousin: Change, tmp_path: Path) -> None:
    """What looks like a fault and does no harm gives no finding at all."""
    assert findings_of(cousin, tmp_path)[2] == []


def test_the_list_is_broad() -> None:
    """There are sixty faults or more in eight families or more, with cousins in each, and all differ."""
    assert len(FAULTS) >= 60 and len({change.family for change in FAULTS}) >= 8
    assert {change.family for change in FAULTS} == {change.family for change in COUSINS}
    assert len({change.label for change in FAULTS + COUSINS}) == len(FAULTS) + len(COUSINS)

"""All pieces of a plan beside each other as they belong: what is glued together in its place, a lid over its base."""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
import shapely

from generator.folding.case import Case
from generator.folding.checks.lids import lids
from generator.folding.joints import Fitting
from generator.folding.records import FoldedPiece


def placed_pieces(cases: Sequence[Case], fits: Mapping[int, Fitting]) -> list[FoldedPiece]:
    """The folded pieces with their placements: glued ones where they are held, lids on their bases, others where they are."""
    made = {case.info.id: _placed(case, fits.get(k)) for k, case in enumerate(cases)}
    for lid, base in lids(cases):
        if fits.get(next(k for k, c in enumerate(cases) if c is lid)) is None or not _is_held(cases, fits, lid):
            made[lid.info.id] = replace(made[lid.info.id], placement=made[base.info.id].placement @ _over(lid, base))
    return [made[case.info.id] for case in cases]


def _is_held(cases: Sequence[Case], fits: Mapping[int, Fitting], case: Case) -> bool:
    fit = next((f for k, f in fits.items() if cases[k] is case), None)
    return fit is not None and bool(fit.meetings or fit.plates)


def _placed(case: Case, fit: Fitting | None) -> FoldedPiece:
    if fit is None:
        return case.folded
    folded = replace(case.folded, placement=fit.placement)
    if fit.angles is None:
        return folded
    return replace(folded, angles=fit.angles, frames=case.link.frames(case.signs * fit.angles))


def _over(lid: Case, base: Case) -> np.ndarray:
    """The motion that brings a lid upside down onto the rim of its base, long side along long side."""
    floor, height = _standing(base)
    roof, _ = _standing(lid)
    flip = np.diag((1.0, -1.0, -1.0, 1.0))
    lift = np.eye(4)
    lift[2, 3] = height + (lid.thickness + base.thickness) / 2
    return floor @ lift @ flip @ np.linalg.inv(roof)


def _standing(case: Case) -> tuple[np.ndarray, float]:
    """A frame (4 × 4) in the middle of the floor, x along its longer side and z to where the walls rise, and how high they do."""
    folded, root = case.folded, case.link.root
    frame, panel = folded.frames[root], folded.flat.panels[root].polygon
    points = np.concatenate([folded.corners(k) for k in range(len(folded.flat.panels)) if case.firm(k)])
    middle = np.array((*shapely.box(*panel.bounds).centroid.coords[0], 0.0, 1.0))
    up = frame[:3, 2]
    rise = (points - (frame @ middle)[:3]) @ up
    up = up if rise.max() >= -rise.min() else -up
    wide, high = np.ptp(shapely.get_coordinates(panel), axis=0)
    x = frame[:3, 0] if wide >= high else frame[:3, 1]
    made = np.eye(4)
    made[:3, :3] = np.stack([x, np.cross(up, x), up], axis=1)
    made[:3, 3] = (frame @ middle)[:3]
    return made, float(np.abs(rise).max())

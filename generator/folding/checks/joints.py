"""Pieces that are glued or seamed to each other fit: a base goes into its walls, a liner onto its panel."""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
import shapely
from shapely import Polygon

from generator.findings import Finding, finding
from generator.folding.case import Case
from generator.folding.checks.tabs import DUST, OVER
from generator.folding.closings import face_polygon
from generator.folding.faces import piece_polygon
from generator.folding.joints import Fitting, Joint, Meeting, ground_of, seen_on
from generator.folding.records import Residual

TIGHT = 0.25        # mm; more than paper gives when a part is pushed in (common practice, no source)
EASE = 0.75         # mm; half a millimetre is left at each side of what goes inside (common practice, no source)
LEAVES = 0.25       # mm; a liner that reaches farther over its panel stands up at the fold
MOSTLY = 0.98       # share of a face that lies in one panel

Row = tuple[Finding, float]


def joint_residuals(cases: Sequence[Case], fits: Mapping[int, Fitting]) -> tuple[Residual, ...]:
    """How far each edge that joins two pieces is from where it belongs, in mm."""
    return tuple(Residual("joint", m.act.number, m.index, float(np.linalg.norm(_offset(cases, fit, m)[0])), 0.0, m.act.span)
                 for fit in fits.values() for m in fit.meetings)


def joint_findings(cases: Sequence[Case], fits: Mapping[int, Fitting]) -> Iterator[Finding]:
    """The worst finding of each statement that joins two pieces."""
    worst: dict[tuple[str, int], Row] = {}
    for fit in fits.values():
        rows = [*_edges(cases, fit), *_leaves(cases, fits, fit), *_plates(cases, fits, fit)]
        for found, far in rows:
            key = found.code, found.span.line
            if key not in worst or far > worst[key][1]:
                worst[key] = found, far
    yield from (found for found, _ in worst.values())


def _offset(cases: Sequence[Case], fit: Fitting, m: Meeting) -> tuple[np.ndarray, bool]:
    """From the middle of an edge to the middle of where it belongs, but for the way along it; and whether it reaches too far."""
    mine = m.mine @ fit.placement[:3, :3].T + fit.placement[:3, 3]
    along = (m.theirs[1] - m.theirs[0]) / np.linalg.norm(m.theirs[1] - m.theirs[0])
    apart = mine.mean(axis=0) - m.theirs.mean(axis=0)
    across = apart if m.ordered else apart - (apart @ along) * along
    case = cases[fit.piece]
    middle = np.concatenate([case.folded.corners(k) for k in range(len(case.folded.flat.panels)) if case.firm(k)]).mean(axis=0)
    centre = fit.placement[:3, :3] @ middle + fit.placement[:3, 3]
    return across, bool(across @ (m.theirs.mean(axis=0) - centre) > 0)


def _edges(cases: Sequence[Case], fit: Fitting) -> Iterator[Row]:
    case = cases[fit.piece]
    for m in fit.meetings:
        across, outside = _offset(cases, fit, m)
        far = float(np.linalg.norm(across))
        if m.joint is None and far > TIGHT:
            yield finding("seam-open", m.act.span, f"put together, the edges of pair {m.index} stay {case.say(far)} apart",
                          "look at the panels of both pieces: one is too long or too short"), far
        elif m.joint is not None and far > (TIGHT if outside else EASE):
            how = "too large for" if outside else "too small for"
            yield finding("glue-apart", m.act.span, f"'{case.info.name}' is {how} what it is glued to: at face {m.index} it "
                          f"stands {case.say(far)} {'beyond' if outside else 'short of'} the edge",
                          f"make '{case.info.name}' {'smaller' if outside else 'larger'}; half a millimetre of ease is enough"), far


def _leaves(cases: Sequence[Case], fits: Mapping[int, Fitting], fit: Fitting) -> Iterator[Row]:
    """Tabs that do not lie along what they are glued to, or reach beyond it."""
    case = cases[fit.piece]
    for m in fit.meetings:
        if m.joint is None:
            continue
        shape, height = seen_on(cases, fits, fit, m.joint)
        panel = cases[m.joint.other].folded.flat.panels[m.joint.target_panel].polygon
        off = float(np.abs(height - height.mean()).max())
        if off > OVER:
            yield finding("glue-apart", m.act.span, f"face {m.index} of '{case.info.name}' does not lie along what it is glued to: "
                          f"its end stands {case.say(2 * off)} away", "look at the angle of its fold"), off
        elif (far := _beyond(shape, panel)) > OVER:
            yield finding("tab-sticks-out", m.act.span, f"face {m.index} of '{case.info.name}' reaches {case.say(far)} beyond the "
                          "panel it is glued to", "make it smaller, or taper its ends"), far


def _plates(cases: Sequence[Case], fits: Mapping[int, Fitting], fit: Fitting) -> Iterator[Row]:
    """Liners and base plates that reach beyond what they lie on."""
    case = cases[fit.piece]
    for joint in fit.plates if not fit.meetings else ():
        shape, _ = seen_on(cases, fits, fit, joint)
        far = _beyond(shape, _room(cases[joint.other], joint, fit.plates))
        if far > LEAVES:
            yield finding("tab-sticks-out", joint.act.span, f"'{case.info.name}' reaches {case.say(far)} beyond what it is "
                          "glued to", "make it smaller; a border of a millimetre or two keeps it clear of the folds"), far


def _room(host: Case, joint: Joint, plates: Sequence[Joint]) -> Polygon:
    """Where a plate may lie: a floor, the panel of its target, or all of the paper where the target is more than a panel."""
    ground = ground_of(host, joint, plates)
    target, panel = face_polygon(joint.target), host.folded.flat.panels[joint.target_panel].polygon
    if not ground.equals(target):
        return ground
    return panel if target.intersection(panel).area >= MOSTLY * target.area else piece_polygon(host.state)


def _beyond(shape: Polygon, panel: Polygon) -> float:
    out = shape.difference(panel)
    if out.area < DUST:
        return 0.0
    return float(shapely.distance(panel, shapely.points(shapely.get_coordinates(out))).max())

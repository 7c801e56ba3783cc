"""The layer order of panels that lie on each other.

What is glued on what decides, else the printed sides, else what was folded
last; the tuck of a lid goes in.
"""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from generator.dataclass import dataclass
from generator.folding import FoldedPiece
from generator.folding.closings import PanelLocator, glued_faces
from generator.folding.records import placed_points
from generator.folding.rigid_folding import in_frame_of
from generator.folding.stages import FLAT_FOLD_MARGIN, FoldMotion, FoldStage
from generator.geometry.arrays import FloatArray
from generator.geometry.tolerances import CONTACT_DISTANCE, MIN_LAYER_OVERLAP, PARALLEL_TOLERANCE
from generator.paper.records import Glue

# mm between two layers: enough to tell them apart, and a whole pile still touches
LAYER_DISTANCE = 0.12
TUCK_COSINE = 0.5        # cosine; a lid and its tuck stand at more than 60°


@dataclass(frozen=True, slots=True, eq=False)
class _PanelAbove:
    """Panel ``moving`` lies beyond panel ``fixed`` in a ``direction`` of space.

    ``guessed`` where nothing but habit says so.
    """

    fixed: int
    moving: int
    direction: FloatArray
    guessed: bool = False

    def ends(self, reference: FloatArray) -> tuple[int, int]:
        """The lower and the upper panel, upwards being the direction ``reference``."""
        return (self.fixed, self.moving) if reference @ self.direction > 0 else (self.moving, self.fixed)


class LayerOrder:
    """The layers of one piece at any stage of its folding."""

    def __init__(self, motion: FoldMotion, printed_up: bool) -> None:
        self.piece: FoldedPiece = motion.piece
        self._arms = {arm.panel: arm for arm in motion.link.arms}
        self._paths = motion.link.paths
        self._printed = 1 if printed_up else -1
        locator = PanelLocator(self.piece.flat)
        self._glued = {(each.panel, each.target_panel): each.over
                       for each in glued_faces(motion.plan, self.piece.piece, locator) if each.paired}
        self._piles = [[locator.panel(f) for f in act.detail.ordered_faces if f.piece == self.piece.piece]
                       for act in motion.plan.acts if isinstance(act.detail, Glue) and not act.detail.target]

    def lifts(self, stage: FoldStage, panels: Sequence[int]) -> Mapping[int, float]:
        """Panel → how far it lies above its own plane, along its +z side, in mm; 0 for most."""
        pairs = [self._above(stage, i, j) for i, j in self.overlapping(stage, panels)]
        lifts: dict[int, float] = {}
        for connected in _connected_groups(pairs):
            reference = stage.frames[min(min(pair.fixed, pair.moving) for pair in connected)][:3, 2]
            levels: dict[int, int] = {}
            group = _without_contradicted_guesses(connected, reference)
            for _ in range(len(group)):
                if not any([_raise_panel(levels, pair, int(np.sign(reference @ pair.direction)))
                            for pair in group]):
                    break
            signs = {k: int(np.sign(stage.frames[k][:3, 2] @ reference)) for k in levels}
            lifts |= {k: LAYER_DISTANCE * level * signs[k] for k, level in levels.items() if level}
        return lifts

    def overlapping(self, stage: FoldStage, panels: Sequence[int]) -> Iterator[tuple[int, int]]:
        """Pairs of panels that lie on each other."""
        normals = stage.frames[:, :3, 2]
        corners = {k: self.piece.flat.panels[k].polygon.exterior.coords for k in panels}
        points = {k: placed_points(stage.frames[k], np.asarray(ring)[:-1]) for k, ring in corners.items()}
        for place, i in enumerate(panels):
            for j in panels[place + 1:]:
                if abs(normals[i] @ normals[j]) < 1 - PARALLEL_TOLERANCE:
                    continue
                if np.abs((points[j] - points[i][0]) @ normals[i]).max() > CONTACT_DISTANCE:
                    continue
                moved = in_frame_of(self.piece.flat, stage.frames, j, i)
                if moved.intersection(self.piece.flat.panels[i].polygon).area > MIN_LAYER_OVERLAP:
                    yield i, j

    def _above(self, stage: FoldStage, i: int, j: int) -> _PanelAbove:
        for tab, target in ((i, j), (j, i)):
            if (tab, target) in self._glued:
                printed = self._printed * stage.frames[target][:3, 2]
                return _PanelAbove(target, tab, printed if self._glued[tab, target] else -printed)
        for pile in self._piles:
            bound = {k: max(each, key=pile.index) for k in (i, j) if (each := self._bound(stage, k, pile))}
            if len(set(bound.values())) == 2:
                low, high = sorted((i, j), key=lambda k: pile.index(bound[k]))
                return _PanelAbove(low, high, self._outward(stage, bound[high]))
        if stage.frames[i][:3, 2] @ stage.frames[j][:3, 2] < 0:
            plain = -self._printed * stage.frames[i][:3, 2]
            return _PanelAbove(i, j, plain if self._plain_sides_meet(stage, i, j) else -plain)
        low, high = sorted((i, j), key=self._moved)
        outward = self._outward(stage, high)
        return _PanelAbove(low, high, -outward if self._is_tuck(stage, high) else outward, guessed=True)

    def _bound(self, stage: FoldStage, panel: int, pile: Sequence[int]) -> list[int]:
        """The panels of a pile that a panel is, or is folded right over to, but for what they hang on."""
        folded = [hinge.other(panel) for hinge in self.piece.flat.hinges_of(panel)
                  if abs(stage.angles[hinge.id]) > np.pi - FLAT_FOLD_MARGIN]
        return [panel] if panel in pile else [k for k in folded if k in pile and (
            k not in self._arms or self._arms[k].parent != panel)]

    def _is_tuck(self, stage: FoldStage, panel: int) -> bool:
        """Whether a panel is the tuck of a lid, which goes in behind a wall (common practice, no source).

        Nothing hangs on it, and the lid, which stands across it, hangs on one wall and holds nothing but
        tucks.
        """
        hinges, arm = self.piece.flat.hinges_of, self._arms.get(panel)
        if arm is None or len(hinges(panel)) != 1:
            return False
        if sum(len(hinges(h.other(arm.parent))) > 1 for h in hinges(arm.parent)) != 1:
            return False
        return bool(abs(stage.frames[panel][:3, 2] @ stage.frames[arm.parent][:3, 2]) < TUCK_COSINE)

    def _plain_sides_meet(self, stage: FoldStage, i: int, j: int) -> bool:
        """Whether two panels that are turned to each other do so with their plain sides.

        The fold between them says it; where none joins them, as with the halves of a handle, the printed side
        of a box is outside.
        """
        joined = [h.id for h in self.piece.flat.hinges_of(i) if h.other(i) == j]
        return not joined or bool(stage.angles[joined[0]] * self._printed < 0)

    def _moved(self, panel: int) -> tuple[int, int]:
        """When a panel was folded last, and how far from the root it hangs."""
        hinges = np.flatnonzero(self._paths[panel])
        acts = [bend.act for k in hinges for bend in self.piece.flat.hinges[k].bends]
        return max(acts, default=-1), len(hinges)

    def _outward(self, stage: FoldStage, panel: int) -> FloatArray:
        """The normal of a folded panel on the side turned away from what it was folded onto."""
        arm = self._arms.get(panel)
        sign = np.sign(stage.angles[arm.hinge]) if arm is not None and stage.angles[arm.hinge] else 1.0
        outward: FloatArray = -sign * stage.frames[panel][:3, 2]
        return outward


def _without_contradicted_guesses(group: Sequence[_PanelAbove], reference: FloatArray) -> list[_PanelAbove]:
    """Without the guesses that folds and glue decide by way of other panels.

    That happens in a pleat between two panels that are turned alike.
    """
    above: dict[int, set[int]] = {}
    for low, high in (pair.ends(reference) for pair in group if not pair.guessed):
        above.setdefault(low, set()).add(high)
    return [pair for pair in group if not pair.guessed or not (_is_above(above, *pair.ends(reference))
                                                              or _is_above(above, *pair.ends(-reference)))]


def _is_above(above: Mapping[int, set[int]], start: int, goal: int) -> bool:
    """Whether one panel lies above another by a chain of others."""
    seen, ahead = {start}, [start]
    while ahead:
        new = above.get(ahead.pop(), set()) - seen
        if goal in new:
            return True
        seen |= new
        ahead += new
    return False


def _raise_panel(levels: dict[int, int], pair: _PanelAbove, sign: int) -> bool:
    """Put one panel beyond another; True where that moved it."""
    least = levels.setdefault(pair.fixed, 0) * sign + 1
    if levels.setdefault(pair.moving, 0) * sign < least:
        levels[pair.moving] = least * sign
        return True
    return False


def _connected_groups(pairs: Sequence[_PanelAbove]) -> list[list[_PanelAbove]]:
    """Connected components: pairs that share a panel, together."""
    groups: list[tuple[set[int], list[_PanelAbove]]] = []
    for pair in pairs:
        ends = {pair.fixed, pair.moving}
        touched = [g for g in groups if g[0] & ends]
        groups = [g for g in groups if not g[0] & ends]
        groups.append((ends.union(*(g[0] for g in touched)), [o for g in touched for o in g[1]] + [pair]))
    return [group for _, group in groups]

"""Which of several panels that lie on each other is above: by what is glued on what, else by what was folded last,
or by their printed sides; the tuck of a lid goes in."""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from generator.folding import FoldedPiece
from generator.folding.closings import PanelLocator, glued_faces
from generator.folding.rigid_folding import in_frame_of
from generator.folding.stages import FoldMotion, FoldStage
from generator.paper.records import Glue

CONTACT_DISTANCE = 0.2         # mm; panels this close lie on each other
LAYER_DISTANCE = 0.12        # mm; so far apart they are taken to be: enough to tell them apart, and a whole pile still touches
MIN_OVERLAP_AREA = 2.0           # mm²
PARALLEL_TOLERANCE = 1e-4     # 1 − cosine
TUCK_COSINE = 0.5        # cosine; a lid and its tuck stand at more than 60°


@dataclass(frozen=True, slots=True)
class _PanelAbove:
    """Panel ``moving`` lies beyond panel ``fixed`` in the direction ``way`` of space; ``guessed`` where nothing but habit says so."""

    fixed: int
    moving: int
    way: tuple[float, float, float]
    guessed: bool = False

    def ends(self, reference: np.ndarray) -> tuple[int, int]:
        """The lower and the upper panel, upwards being a direction."""
        return (self.fixed, self.moving) if reference @ self.way > 0 else (self.moving, self.fixed)


class LayerOrder:
    """Knows the layers of one piece; asked for one stage after another."""

    def __init__(self, way: FoldMotion, printed_up: bool) -> None:
        self.piece: FoldedPiece = way.piece
        self._arms = {arm.panel: arm for arm in way.link.arms}
        self._paths = way.link.paths
        self._printed = 1 if printed_up else -1
        locator = PanelLocator(self.piece.flat)
        self._glued = {}
        for each in glued_faces(way.plan, self.piece.piece, locator):
            if each.paired:
                self._glued[each.panel, each.target_panel] = each.over
        self._piles = [[locator.panel(f) for f in _in_order(act.detail) if f.piece == self.piece.piece]
                       for act in way.plan.acts if isinstance(act.detail, Glue) and not act.detail.target]

    def lifts(self, stage: FoldStage, panels: Sequence[int]) -> Mapping[int, float]:
        """Panel → how far it lies above its own plane, along its +z side, in mm; 0 for most."""
        overs = [self._over(stage, i, j) for i, j in self._lying(stage, panels)]
        values, senses = {}, {}
        for group in _connected_groups(overs):
            reference = stage.frames[min(min(o.fixed, o.moving) for o in group)][:3, 2]
            levels: dict[int, int] = {}
            group = _without_contradicted_guesses(group, reference)
            for _ in range(len(group)):
                if not any([_raise_panel(levels, over, int(np.sign(reference @ over.way))) for over in group]):
                    break
            values |= levels
            senses |= {k: int(np.sign(stage.frames[k][:3, 2] @ reference)) for k in levels}
        return {k: LAYER_DISTANCE * level * senses[k] for k, level in values.items() if level}

    def _lying(self, stage: FoldStage, panels: Sequence[int]) -> Iterator[tuple[int, int]]:
        """Pairs of panels that lie on each other."""
        normals = stage.frames[:, :3, 2]
        corners = {k: self.piece.flat.panels[k].polygon.exterior.coords for k in panels}
        spots = {k: np.asarray(c)[:-1] @ stage.frames[k][:3, :2].T + stage.frames[k][:3, 3] for k, c in corners.items()}
        for place, i in enumerate(panels):
            for j in panels[place + 1:]:
                if abs(normals[i] @ normals[j]) < 1 - PARALLEL_TOLERANCE:
                    continue
                if np.abs((spots[j] - spots[i][0]) @ normals[i]).max() > CONTACT_DISTANCE:
                    continue
                lap = in_frame_of(self.piece.flat, stage.frames, j, i).intersection(self.piece.flat.panels[i].polygon)
                if lap.area > MIN_OVERLAP_AREA:
                    yield i, j

    def _over(self, stage: FoldStage, i: int, j: int) -> _PanelAbove:
        for tab, target in ((i, j), (j, i)):
            if (tab, target) in self._glued:
                printed = self._printed * stage.frames[target][:3, 2]
                return _PanelAbove(target, tab, tuple(printed if self._glued[tab, target] else -printed))
        for pile in self._piles:
            if i in pile and j in pile:
                low, high = sorted((i, j), key=pile.index)
                return _PanelAbove(low, high, self._outward(stage, high))
        if stage.frames[i][:3, 2] @ stage.frames[j][:3, 2] < 0:
            plain = -self._printed * stage.frames[i][:3, 2]
            return _PanelAbove(i, j, tuple(plain if self._plain_sides_meet(stage, i, j) else -plain))
        low, high = sorted((i, j), key=self._moved)
        outward = self._outward(stage, high)
        return _PanelAbove(low, high, tuple(-x for x in outward) if self._tucked(stage, high) else outward, guessed=True)

    def _tucked(self, stage: FoldStage, panel: int) -> bool:
        """Whether a panel is the tuck of a lid, which goes in behind a wall (common practice, no source).

        Nothing hangs on it, and the lid, which stands across it, hangs on one wall and holds nothing but tucks.
        """
        hinges, arm = self.piece.flat.hinges_of, self._arms.get(panel)
        if arm is None or len(hinges(panel)) != 1 or sum(len(hinges(h.other(arm.parent))) > 1 for h in hinges(arm.parent)) != 1:
            return False
        return abs(stage.frames[panel][:3, 2] @ stage.frames[arm.parent][:3, 2]) < TUCK_COSINE

    def _plain_sides_meet(self, stage: FoldStage, i: int, j: int) -> bool:
        """Whether two panels that are turned to each other do so with their plain sides.

        The fold between them says it; where none joins them, as with the halves of a handle, the printed side of a box
        is outside.
        """
        joined = [h.id for h in self.piece.flat.hinges_of(i) if h.other(i) == j]
        return not joined or stage.angles[joined[0]] * self._printed < 0

    def _moved(self, panel: int) -> tuple[int, int]:
        """When a panel was folded last, and how far from the root it hangs."""
        hinges = np.flatnonzero(self._paths[panel])
        acts = [bend.act for k in hinges for bend in self.piece.flat.hinges[k].bends]
        return max(acts, default=-1), len(hinges)

    def _outward(self, stage: FoldStage, panel: int) -> tuple[float, float, float]:
        """The side of a folded panel that is turned away from what it was folded onto."""
        arm = self._arms.get(panel)
        sign = np.sign(stage.angles[arm.hinge]) if arm is not None and stage.angles[arm.hinge] else 1.0
        return tuple(-sign * stage.frames[panel][:3, 2])


def _in_order(glue: Glue) -> Sequence:
    return [glue.faces[k - 1] for k in glue.order] or list(glue.faces)


def _without_contradicted_guesses(group: Sequence[_PanelAbove], reference: np.ndarray) -> list[_PanelAbove]:
    """Without the guesses that folds and glue decide by way of other panels, as in a pleat between two panels that are turned alike."""
    above: dict[int, set[int]] = {}
    for low, high in (over.ends(reference) for over in group if not over.guessed):
        above.setdefault(low, set()).add(high)
    return [over for over in group if not over.guessed or not (_is_above(above, *over.ends(reference))
                                                              or _is_above(above, *over.ends(-reference)))]


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


def _raise_panel(levels: dict[int, int], over: _PanelAbove, way: int) -> bool:
    """Put one panel beyond another; True where that moved it."""
    least = levels.setdefault(over.fixed, 0) * way + 1
    if levels.setdefault(over.moving, 0) * way < least:
        levels[over.moving] = least * way
        return True
    return False


def _connected_groups(overs: Sequence[_PanelAbove]) -> list[list[_PanelAbove]]:
    """Those that share a panel, together."""
    groups: list[tuple[set[int], list[_PanelAbove]]] = []
    for over in overs:
        ends = {over.fixed, over.moving}
        touched = [g for g in groups if g[0] & ends]
        groups = [g for g in groups if not g[0] & ends]
        groups.append((ends.union(*(g[0] for g in touched)), [o for g in touched for o in g[1]] + [over]))
    return [group for _, group in groups]

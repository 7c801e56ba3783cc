"""Paper of other pieces that is glued on the walls of a piece: mats, bands, liners. In mm."""
from __future__ import annotations

from collections.abc import Collection, Iterator

from generator.folding.closings import glued_pairs
from generator.folding.piece_context import DEFAULT_THICKNESS, PieceContext
from generator.paper.records import Glue, PieceInfo


def foreign_layers(case: PieceContext, panels: Collection[int]) -> tuple[float, float]:
    """How thick the layers on these panels are together, (inside, outside).

    What is glued over a face lies outside.
    """
    within = without = 0.0
    for thick, over in _foreign_layers(case, panels):
        within, without = (within, without + thick) if over else (within + thick, without)
    return within, without


def _foreign_layers(case: PieceContext, panels: Collection[int]) -> Iterator[tuple[float, bool]]:
    own = case.info.id
    for act in case.plan.acts:
        if isinstance(act.detail, Glue):
            for face, target, _ in glued_pairs(act.detail):
                if target.piece == own and face.piece != own and case.locator.panel(target) in panels:
                    yield _thickness(case.plan.pieces[face.piece]), act.detail.over


def _thickness(info: PieceInfo) -> float:
    return (float(info.paper.thickness.value) if info.paper is not None
            and info.paper.thickness is not None else DEFAULT_THICKNESS)

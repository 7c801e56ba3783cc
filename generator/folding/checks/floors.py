"""Base flaps cover the floor; how thick their pile is in the middle."""
from __future__ import annotations

from collections.abc import Iterator

from generator.findings import Finding, finding
from generator.folding.features.floors import floors
from generator.folding.piece_context import PieceContext
from generator.geometry.ties import snapped
from generator.geometry.tolerances import MIN_HOLE_DIAMETER


def floor_findings(context: PieceContext) -> Iterator[Finding]:
    """Where a floor stays open: how much of it, and the largest hole."""
    for floor in floors(context):
        if floor.widest > MIN_HOLE_DIAMETER:
            open_area = float(snapped(floor.open.area))
            yield finding("floor-open", floor.act.span,
                          f"the flaps leave {open_area / 100:.1f} cm² of the floor open; "
                          f"a disc {context.length_text(floor.widest)} across falls through the largest hole",
                          "make the flaps longer, or glue a card over them")


def floor_covered(context: PieceContext) -> bool:
    """Whether flaps make a floor and leave no hole in it."""
    made = floors(context)
    return bool(made) and all(floor.widest <= MIN_HOLE_DIAMETER for floor in made)


def floor_facts(context: PieceContext) -> Iterator[str]:
    """How thick a floor is that its flaps cover."""
    for floor in floors(context):
        if floor.widest <= MIN_HOLE_DIAMETER:
            yield (f"in the middle of its floor {floor.pile} layers lie on each other, "
                   f"{floor.pile * context.thickness:.2f} mm thick")

"""Floors are covered by their flaps, lids go over their bases and drawers into their sleeves."""
from __future__ import annotations

from collections.abc import Iterator, Sequence

from generator.findings import Finding, finding
from generator.folding.features.floors import floors
from generator.folding.features.lids import lid_clearances, lid_pairs, sleeve_clearances, sleeve_pairs
from generator.folding.features.tabs_and_rings import overhang
from generator.folding.piece_context import PieceContext
from generator.folding.rigid_folding import in_frame_of
from generator.geometry.ties import snapped
from generator.geometry.tolerances import CLEARANCE_TOLERANCE, MAX_OVERHANG, MAX_PLAY, MIN_HOLE_DIAMETER


def floor_findings(context: PieceContext) -> Iterator[Finding]:
    """Where a floor stays open: how much of it, and the largest hole; and flaps that reach beyond it."""
    for floor in floors(context):
        flat, frames = context.folded.flat, context.folded.frames
        far, panel = max((overhang(in_frame_of(flat, frames, k, floor.base), floor.outline), k)
                         for k in floor.flaps)
        if far > MAX_OVERHANG:
            yield finding("tab-sticks-out", floor.act.span,
                          f"{context.panel_name(panel)} reaches {context.length_text(far)} beyond the floor",
                          "make it shorter, or narrower at its end")
        if floor.widest > MIN_HOLE_DIAMETER:
            open_area = float(snapped(floor.open.area))
            yield finding("floor-open", floor.act.span,
                          f"the flaps leave {open_area / 100:.1f} cm² of the floor open; "
                          f"a disc {context.length_text(floor.widest)} across falls through the largest hole",
                          "make the flaps longer, or glue a card over them")


def floor_covered(context: PieceContext) -> bool:
    """Whether flaps make a floor and leave no hole in it."""
    result = floors(context)
    return bool(result) and all(floor.widest <= MIN_HOLE_DIAMETER for floor in result)


def floor_facts(context: PieceContext) -> Iterator[str]:
    """How thick a floor is that its flaps cover."""
    for floor in floors(context):
        if floor.widest <= MIN_HOLE_DIAMETER:
            yield (f"in the middle of its floor {floor.pile} layers lie on each other, "
                   f"{floor.pile * context.thickness:.2f} mm thick")


def lid_findings(contexts: Sequence[PieceContext]) -> Iterator[Finding]:
    """For each piece called a lid and the one base beside it: whether it is too tight across or deep."""
    for lid, base in lid_pairs(contexts):
        for way, spare, needed in lid_clearances(lid, base):
            wider, walls = lid.length_texts(max(spare, 0), needed)
            if spare < needed - CLEARANCE_TOLERANCE:
                yield finding("lid-tight", lid.info.span,
                              f"{way} the lid '{lid.info.name}' is {wider} wider than "
                              f"'{base.info.name}', and the paper of both walls takes {walls}",
                              "make the lid wider or the base narrower")
            elif spare > needed + MAX_PLAY:
                yield finding("lid-loose", lid.info.span,
                              f"{way} the lid '{lid.info.name}' is {wider} wider than "
                              f"'{base.info.name}', and the paper of both walls takes {walls} of it",
                              "make the lid narrower: with more room it falls off")


def lid_facts(contexts: Sequence[PieceContext]) -> Iterator[str]:
    """How much air a lid has round its base."""
    for lid, base in lid_pairs(contexts):
        air = min(spare - needed for _, spare, needed in lid_clearances(lid, base))
        if air >= -CLEARANCE_TOLERANCE:
            yield f"'{lid.info.name}' goes over '{base.info.name}' with {air:.2f} mm to spare"


def sleeve_findings(contexts: Sequence[PieceContext]) -> Iterator[Finding]:
    """For each sleeve and the one drawer beside it: whether it is too tight across or upwards."""
    for sleeve, drawer in sleeve_pairs(contexts):
        for way, spare, needed in sleeve_clearances(sleeve, drawer):
            wider, between = sleeve.length_texts(max(spare, 0), needed)
            text = (f"{way} the sleeve '{sleeve.info.name}' is {wider} wider than '{drawer.info.name}', and "
                    f"the paper between their folds takes {between}")
            if spare < needed - CLEARANCE_TOLERANCE:
                yield finding("sleeve-tight", sleeve.info.span, text,
                              "make the sleeve wider or the drawer narrower")
            elif spare > needed + MAX_PLAY:
                yield finding("lid-loose", sleeve.info.span, f"{text} of it",
                              "make the sleeve narrower: with more room the drawer falls out")

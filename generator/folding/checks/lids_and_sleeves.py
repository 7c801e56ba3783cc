"""A lid goes over its base, a drawer into its sleeve, with the layers of paper of both."""
from __future__ import annotations

from collections.abc import Iterator, Sequence

from generator.findings import Finding, finding
from generator.folding.features.lids import lid_clearances, lid_pairs, sleeve_clearances, sleeve_pairs
from generator.folding.piece_context import PieceContext
from generator.geometry.tolerances import CLEARANCE_TOLERANCE


def lid_findings(contexts: Sequence[PieceContext]) -> Iterator[Finding]:
    """For each piece called a lid and the one base beside it: whether it is too tight across or deep."""
    for lid, base in lid_pairs(contexts):
        for way, spare, needed in lid_clearances(lid, base):
            if spare < needed - CLEARANCE_TOLERANCE:
                yield finding("lid-tight", lid.info.span,
                              f"{way} the lid '{lid.info.name}' is {lid.length_text(max(spare, 0))} wider "
                              "than "
                              f"'{base.info.name}', and the paper of both walls takes "
                              f"{lid.length_text(needed)}",
                              "make the lid wider or the base narrower")


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
            if spare < needed - CLEARANCE_TOLERANCE:
                yield finding("sleeve-tight", sleeve.info.span, f"{way} the sleeve '{sleeve.info.name}' is "
                              f"{sleeve.length_text(max(spare, 0))} wider than '{drawer.info.name}', "
                              "and the paper between their folds takes "
                              f"{sleeve.length_text(needed)}", "make the sleeve wider or the drawer narrower")

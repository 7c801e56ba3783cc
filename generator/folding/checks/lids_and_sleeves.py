"""A lid goes over its base, with the layers of paper of both.

A drawer slides into its sleeve, with the layers of paper of both.
"""
from __future__ import annotations

from collections.abc import Iterator, Sequence

from generator.findings import Finding, finding
from generator.folding.features.lids import lid_clearances, lid_pairs, sleeve_clearances, sleeve_pairs
from generator.folding.piece_context import PieceContext
from generator.geometry.tolerances import CLEARANCE_TOLERANCE, MAX_PLAY


def lid_findings(cases: Sequence[PieceContext]) -> Iterator[Finding]:
    """For each piece called a lid and the one base beside it: whether it is too tight across or deep."""
    for lid, base in lid_pairs(cases):
        for way, spare, needed in lid_clearances(lid, base):
            if spare < needed - CLEARANCE_TOLERANCE:
                yield finding("lid-tight", lid.info.span,
                              f"{way} the lid '{lid.info.name}' is {lid.say(max(spare, 0))} wider than "
                              f"'{base.info.name}', and the paper of both walls takes {lid.say(needed)}",
                              "make the lid wider or the base narrower")
            elif spare > needed + MAX_PLAY:
                yield finding("lid-loose", lid.info.span,
                              f"{way} the lid '{lid.info.name}' is {lid.say(spare)} wider than "
                              f"'{base.info.name}', and the paper of both walls takes {lid.say(needed)} of "
                              "it",
                              "make the lid narrower: with more room it falls off")


def lid_facts(cases: Sequence[PieceContext]) -> Iterator[str]:
    """How much air a lid has round its base."""
    for lid, base in lid_pairs(cases):
        air = min(spare - needed for _, spare, needed in lid_clearances(lid, base))
        if air >= -CLEARANCE_TOLERANCE:
            yield f"'{lid.info.name}' goes over '{base.info.name}' with {air:.2f} mm to spare"


def sleeve_findings(cases: Sequence[PieceContext]) -> Iterator[Finding]:
    """For each piece called a sleeve and the one drawer beside it.

    Whether it is too tight across or upwards.
    """
    for sleeve, drawer in sleeve_pairs(cases):
        for way, spare, needed in sleeve_clearances(sleeve, drawer):
            if spare < needed - CLEARANCE_TOLERANCE:
                yield finding("sleeve-tight", sleeve.info.span, f"{way} the sleeve '{sleeve.info.name}' is "
                              f"{sleeve.say(max(spare, 0))} wider than '{drawer.info.name}', "
                               "and the paper between their folds takes "
                              f"{sleeve.say(needed)}", "make the sleeve wider or the drawer narrower")
            elif spare > needed + MAX_PLAY:
                yield finding("lid-loose", sleeve.info.span, f"{way} the sleeve '{sleeve.info.name}' is "
                              f"{sleeve.say(spare)} wider than '{drawer.info.name}', and the paper between "
                              "their "
                              f"folds takes {sleeve.say(needed)} of it",
                              "make the sleeve narrower: with more room the drawer falls out")

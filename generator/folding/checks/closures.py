"""A lid that hangs on its own box closes it: it comes to lie over the base, rims down, with room and not too much."""
from __future__ import annotations

from collections.abc import Iterator

from generator.findings import Finding, finding
from generator.folding.features.own_lids import OwnLid, own_lids
from generator.folding.piece_context import PieceContext
from generator.geometry.tolerances import CLEARANCE_TOLERANCE, MAX_PLAY


def own_lid_findings(context: PieceContext) -> Iterator[Finding]:
    """For each lid of the piece itself: that it closes, goes over the walls of its base, and is not loose."""
    for lid in own_lids(context):
        name = context.called(lid.panel)
        if not lid.closed:
            yield finding("lid-open", lid.hinge.bend.span,
                          f"folded so, the lid {name} does not come to lie over its box with its rims down",
                          "look at the directions of the folds between the box and its lid")
            continue
        yield from _fit_findings(context, lid, name)


def _fit_findings(context: PieceContext, lid: OwnLid, name: str) -> Iterator[Finding]:
    if lid.spare < lid.needed - CLEARANCE_TOLERANCE:
        yield finding("lid-tight", context.info.span,
                      f"the lid {name} is {context.say(max(lid.spare, 0))} wider than its box, and the paper of both "
                      f"walls takes {context.say(lid.needed)}", "make the lid wider or the box narrower")
    elif lid.spare > lid.needed + MAX_PLAY:
        yield finding("lid-loose", context.info.span,
                      f"the lid {name} is {context.say(lid.spare)} wider than its box, and the paper of both walls "
                      f"takes {context.say(lid.needed)} of it", "make the lid narrower: with more room it falls off")

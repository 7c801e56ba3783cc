"""What prose may ask of a piece that is known only once the plan is folded or cut out.

The names, and who answers.
"""
from __future__ import annotations

from collections.abc import Mapping

from generator.findings import FindingError, Span, finding_error
from generator.paper.plan_builder import PlanBuilder
from generator.paper.values import JointHandle, Piece

BY_FOLDING = "by folding"       # what such a value depends on; no name of a source has a space in it
BY_CUTTING = "by cutting"
DERIVATION_WORDS = {BY_FOLDING: "worked out by folding", BY_CUTTING: "worked out by cutting up the sheet"}


RIBBON_PROPERTIES = {
    "way": "How long the ribbon's way through its holes is, round to where it began: in the folded box, or "
           "while a top to be gathered is open.",
    "needed": "How long a ribbon must be: its way, and what the bow takes (bow: of the front matter).",
}
PIECE_PROPERTIES = {
    "across": "How wide the folded piece is: along the longest edge of its floor.",
    "deep": "How deep the folded piece is: across that edge.",
    "high": "How high the folded piece stands on its floor.",
    "finished": "All three sides of the folded piece, in one phrase.",
    "inside": "The size inside, within the paper and above all layers of the floor; .across, .deep and .high "
              "of it too.",
    "volume": "How much room the folded piece encloses; cm³ or cubic inches.",
    "holds": "The largest tin, box and ball that go in, rounded inward; .tin, .box and .ball of it too.",
    **RIBBON_PROPERTIES,
}
JOINT_PROPERTIES = {
    "closed_height": "How high the peaks of a gathered top meet above its shoulder.",
    "lowest": "The least height of crown with which a gathered top closes.",
    "highest": "The greatest height of crown with which it closes, its gussets tucked in.",
    **RIBBON_PROPERTIES,
}
DEFERRED_PROPERTIES: Mapping[type, Mapping[str, str]] = {Piece: PIECE_PROPERTIES,
                                                         JointHandle: JOINT_PROPERTIES}
DEFERRED_FAMILIES = (("folded pieces and ribbons", PIECE_PROPERTIES),
                     ("gathered tops and threaded ribbons", JOINT_PROPERTIES))


def deferred_property(builder: PlanBuilder, use: str, name: str, of: Piece | JointHandle,
                      span: Span) -> object:
    """The value of a property of :data:`DEFERRED_PROPERTIES`.

    Raises Trouble in a fence, and where it is not known.
    """
    if use == "paper":
        raise finding_error("call-place", span,
                      f"'{name}' is found by folding, and geometry is worked out before anything is folded",
                      "quote it between {{ and }}; in a fence work it out from the named lengths")
    return ask_deferred(builder, name, of)


def ask_deferred(builder: PlanBuilder, name: str, of: Piece | JointHandle, **more: object) -> object:
    """What the edition's deferred_source says. Raises Trouble without findings where there is none."""
    if builder.deferred_source is None:
        raise FindingError()
    return builder.deferred_source.tell(builder, name, of, **more)

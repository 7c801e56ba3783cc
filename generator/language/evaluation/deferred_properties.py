"""What prose reads of a finished plan: also what is known only once it is folded or cut out."""
from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Protocol

from generator.dataclass import dataclass, replace
from generator.findings import FindingError
from generator.paper.plan_builder import CallContext
from generator.paper.records import PieceState
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


class FoldedProperties(Protocol):
    """Answers what became of one edition once it is folded and cut out.

    The language asks it and never folds; nothing is worked out before it is quoted.
    """

    def value(self, context: CallContext, name: str, of: Piece | JointHandle, **arguments: Any) -> object:
        """One of :data:`DEFERRED_PROPERTIES`, or of a prose function with its ``arguments``.

        Raises FindingError where it is not known.
        """


@dataclass(slots=True)
class PlanReader(CallContext):
    """A finished plan, as an expression of the prose reads it.

    ``after_step`` is the step that the prose stands in: 0 for the introduction, None for the end.
    ``folded`` is None where nothing was folded, since something is wrong that is reported already.
    """

    folded: FoldedProperties | None = None
    after_step: int | None = None

    def state(self, piece: Piece | int) -> PieceState:
        """How a piece is after the step; in the introduction what it becomes, lying as it is first laid."""
        history = self.states[piece if isinstance(piece, int) else piece.id]
        if self.after_step is None:
            return history[-1][1]
        if self.after_step == 0:
            return replace(history[-1][1], orientation=history[0][1].orientation)
        return next((state for act, state in reversed(history) if self.acts[act].step <= self.after_step),
                    history[0][1])


def deferred_value(context: CallContext, name: str, of: Piece | JointHandle, **arguments: object) -> object:
    """What folding or cutting gives.

    Raises FindingError in a fence, and where it is not known; without findings where nothing was folded.
    """
    if not isinstance(context, PlanReader):
        context.refuse("call-place",
                       f"'{name}' is found by folding, and geometry is worked out before anything is folded",
                       "quote it between {{ and }}; in a fence work it out from the named lengths")
    if context.folded is None:
        raise FindingError()
    return context.folded.value(context, name, of, **arguments)

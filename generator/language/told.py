"""What prose may ask of a piece that is known only once the plan is folded or cut out: the names, and who answers."""
from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from generator.findings import Span, Trouble, trouble
from generator.paper.job import Job
from generator.paper.values import Joint, Piece

FOLDED = "by folding"       # what such a value depends on; no name of a source has a space in it
CUT = "by cutting"
HOW = {FOLDED: "worked out by folding", CUT: "worked out by cutting up the sheet"}


class Teller(Protocol):
    """Knows what became of one edition. The language asks it and never folds; nobody is asked before a value is quoted."""

    def tell(self, job: Job, name: str, of: Piece | Joint, **more: object) -> object:
        """One value; refuses with the job, in plain words, what is not known. Raises Trouble without findings where
        nothing was folded, since something else is wrong that is reported already."""


OF_RIBBONS = {
    "way": "How long the ribbon's way through its holes is, round to where it began: in the folded box, or while a top to be gathered is open.",
    "needed": "How long a ribbon must be: its way, and what the bow takes (bow: of the front matter).",
}
OF_PIECES = {
    "across": "How wide the folded piece is: along the longest edge of its floor.",
    "deep": "How deep the folded piece is: across that edge.",
    "high": "How high the folded piece stands on its floor.",
    "finished": "All three sides of the folded piece, in one phrase.",
    "inside": "The size inside, within the paper and above all layers of the floor; .across, .deep and .high of it too.",
    "volume": "How much room the folded piece encloses; cm³ or cubic inches.",
    "holds": "The largest tin, box and ball that go in, rounded inward; .tin, .box and .ball of it too.",
    **OF_RIBBONS,
}
OF_JOINTS = {
    "closed_height": "How high the peaks of a gathered top meet above its shoulder.",
    "lowest": "The least height of crown with which a gathered top closes.",
    "highest": "The greatest height of crown with which it closes, its gussets tucked in.",
    **OF_RIBBONS,
}
TOLD: Mapping[type, Mapping[str, str]] = {Piece: OF_PIECES, Joint: OF_JOINTS}
FAMILIES = (("folded pieces and ribbons", OF_PIECES), ("gathered tops and threaded ribbons", OF_JOINTS))


def told(job: Job, use: str, name: str, of: Piece | Joint, span: Span) -> object:
    """The value of a property of :data:`TOLD`. Raises Trouble in a fence, and where it is not known."""
    if use == "paper":
        raise trouble("call-place", span, f"'{name}' is found by folding, and geometry is worked out before anything is folded",
                      "quote it between {{ and }}; in a fence work it out from the named lengths")
    return asked(job, name, of)


def asked(job: Job, name: str, of: Piece | Joint, **more: object) -> object:
    """What the edition's teller says. Raises Trouble without findings where there is none."""
    if job.teller is None:
        raise Trouble()
    return job.teller.tell(job, name, of, **more)

"""What is found where pieces are glued or seamed to each other: joints, edges that meet, placements."""
from __future__ import annotations

from dataclasses import dataclass

from generator.folding.records import Hinge
from generator.geometry.arrays import FloatArray, ReadOnlyArrays
from generator.paper.records import Act, Face


@dataclass(frozen=True, slots=True, eq=False)
class GluedJoint:
    """A face of one piece glued to a face of another.

    ``one`` and ``other`` are places in the row of cases.
    """

    act: Act
    index: int
    one: int
    face: Face
    panel: int
    other: int
    target: Face
    target_panel: int

    def seen_from(self, piece: int) -> GluedJoint:
        """The same joint with ``piece`` as its first."""
        if self.one == piece:
            return self
        return GluedJoint(self.act, self.index, self.other, self.target, self.target_panel, self.one,
                          self.face, self.panel)


@dataclass(frozen=True, slots=True, eq=False)
class EdgeMeeting(ReadOnlyArrays):
    """Edge ``mine`` (2 × 3, in the space of the piece that is placed) comes to lie on ``theirs``.

    ``theirs`` is 2 × 3 too, in the space of the first piece.
    """

    act: Act
    index: int
    mine: FloatArray
    theirs: FloatArray
    joint: GluedJoint | None = None
    hinge: Hinge | None = None
    ordered: bool = False       # the ends meet in this order, as those of a seam do


@dataclass(frozen=True, slots=True, eq=False)
class PiecePlacement(ReadOnlyArrays):
    """How a piece lies.

    ``placement`` (4 × 4) relative to the first piece, what it is held by, and the angles its tabs take.
    """

    piece: int
    placement: FloatArray
    meetings: tuple[EdgeMeeting, ...] = ()
    plates: tuple[GluedJoint, ...] = ()
    angles: FloatArray | None = None

"""The gathered polygonal top with straight folds, in closed form.

A prism of n panels, each w wide, with a crown h high: on each panel a petal,
an isosceles triangle from the shoulder to a peak in the middle of the upper
edge, and between two petals a gusset with a fold in its middle. Gathered, the
peaks meet on the axis. Elementary trigonometry: the peak of a petal lies h
from the middle of its base, which lies the apothem a from the axis, hence
√(h² − a²) above the shoulder. Lengths in mm, angles in radians.
"""
from __future__ import annotations

import math

from generator.dataclass import dataclass
from generator.geometry.tolerances import WINDOW_TOLERANCE


@dataclass(frozen=True, slots=True)
class Crown:
    """``sides`` (at least 3) panels ``width`` wide with a crown ``height`` high."""

    sides: int
    width: float
    height: float

    @property
    def apothem(self) -> float:
        """From the axis to a wall: the least height that closes."""
        return self.width / 2 / math.tan(math.pi / self.sides)

    @property
    def circumradius(self) -> float:
        """From the axis to a corner: the greatest height that closes with the gussets tucked in."""
        return self.width / 2 / math.sin(math.pi / self.sides)

    def closes(self, tucked: bool = True) -> bool:
        """Whether the peaks meet: a ≤ h ≤ R with the gussets tucked in, a ≤ h with them standing outside."""
        slack = WINDOW_TOLERANCE * self.width
        return self.height >= self.apothem - slack and (not tucked
                                                        or self.height <= self.circumradius + slack)

    @property
    def rise(self) -> float | None:
        """How far above the shoulder the peaks meet; None where the crown is too low to close."""
        square = self.height ** 2 - self.apothem ** 2
        return (None if square < -2 * WINDOW_TOLERANCE * self.width * self.apothem
                else math.sqrt(max(square, 0.0)))

    @property
    def snap_angle(self) -> float:
        """How far the petals lean outward from upright where the gussets snap inward, in radians.

        There each gusset lies flat, its two halves in one plane; so the peak is w/2 away from the plane
        through corner and axis, hence sin = w/2h · tan(π/2n).
        """
        return math.asin(min(1.0, self.width / 2 / self.height * math.tan(math.pi / 2 / self.sides)))

    def gusset_angle(self, tucked: bool = True) -> float | None:
        """How steeply a gusset's middle fold rises towards the axis (radians); None where nothing closes.

        It lies in the upright plane through corner and axis, atan(w/2h) below (tucked in) or above (outside)
        the line from the corner to the peaks.
        """
        if self.rise is None:
            return None
        lean = math.atan(self.width / 2 / self.height)
        return math.atan(self.rise / self.circumradius) + (-lean if tucked else lean)

"""The three faces of a template.

The paper a template is printed on: its size, and what of it a plan may use.
"""
from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from generator.drawing.steps.boxes import Box
from generator.paper.sheet_layouts import STOCK_SHEETS


class TemplateFace(StrEnum):
    """What of a piece a template shows."""

    INSIDE = "inside"       # as seen from the plain side, which becomes the inside
    MIRRORED = "mirrored"   # as seen from the other side: to be printed on it
    TICKS = "ticks"         # as seen from the inside, prick points alone


EDGE = 10.0         # mm along each side where nothing prints: home printers cannot
OVERLAP = 10.0      # mm that two neighbouring tiles have in common
BAND = 6.0          # mm for the ticks along the left and the lower side, and for the title line at the top
PAPERS = ("a4", "letter")


@dataclass(frozen=True, slots=True)
class PrintPaper:
    """A sheet of ``paper`` as it is held: upright, or ``landscape``. All sizes in mm."""

    paper: str
    landscape: bool = False

    @property
    def width(self) -> float:
        return self._sides[self.landscape]

    @property
    def height(self) -> float:
        return self._sides[not self.landscape]

    @property
    def _sides(self) -> tuple[float, float]:
        sheet = STOCK_SHEETS[self.paper]
        return float(sheet.width), float(sheet.height)

    @property
    def title(self) -> str:
        """ "A4" or "Letter"."""
        return STOCK_SHEETS[self.paper].title

    @property
    def printed(self) -> Box:
        """Where anything may be printed."""
        return Box(0, 0, self.width, self.height).grown(-EDGE)

    @property
    def window(self) -> Box:
        """Where the plan may lie: clear of the ticks and of the title line."""
        inside = self.printed
        return Box(inside.x0 + BAND, inside.y0 + BAND, inside.x1, inside.y1 - BAND)

"""Pages as the PDF back end takes them: what is drawn on each, and the part of a plan that lies there."""
from __future__ import annotations

from dataclasses import dataclass

from generator.drawing.boxes import Box
from generator.drawing.pen import Label
from generator.drawing.recording import Recording

FURNITURE = "page"      # the group of what belongs to no layer


@dataclass(frozen=True, slots=True)
class Heavy(Label):
    """Words of a heading, set bold."""


@dataclass(frozen=True, slots=True)
class Placed:
    """``recording`` shifted by ``dx``, ``dy`` on the page, of which only ``clip`` (mm of the page) is shown."""

    recording: Recording
    dx: float
    dy: float
    clip: Box


@dataclass(frozen=True, slots=True)
class Page:
    """``width`` × ``height`` mm: the page's own ``drawing``, under it a plan."""

    width: float
    height: float
    drawing: Recording
    placed: Placed | None = None

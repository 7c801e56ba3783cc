"""What every page of a template says of itself.

Pages as the PDF back end takes them: what is drawn on each, and the part of a plan that lies there.
"""
from __future__ import annotations

from dataclasses import dataclass

from generator.drawing.pen import Label
from generator.drawing.recording import Recording
from generator.drawing.steps.boxes import Box
from generator.drawing.templates.page_format import TemplateFace
from generator.locale import ENGLISH, Locale


@dataclass(frozen=True, slots=True)
class Heading:
    """The tutorial's ``title``, the edition's ``system``, the ``face``, the ``revision`` mark, the ``paper``'s name.

    Everything on the pages is said in ``locale``.
    """

    title: str
    system: str
    revision: str
    paper: str
    face: TemplateFace | None = None
    locale: Locale = ENGLISH

    @property
    def edition(self) -> str:
        """"metric edition"."""
        return self.locale.say(f"templates.edition.{self.system}")

    @property
    def seen(self) -> str:
        """How the paper lies, in words."""
        return self.locale.say(f"templates.face.{self.face}") if self.face else ""


FURNITURE = "page"      # the group of what belongs to no layer


@dataclass(frozen=True, slots=True)
class HeavyDrawing(Label):
    """Words of a heading, set bold."""


@dataclass(frozen=True, slots=True)
class PlacedDrawing:
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
    placed: PlacedDrawing | None = None

"""What every page of a template says of itself."""
from __future__ import annotations

from dataclasses import dataclass

from generator.drawing.templates.faces import SAYS, Face

EDITIONS = {"mm": "metric edition", "in": "inch edition"}


@dataclass(frozen=True, slots=True)
class Heading:
    """The tutorial's ``title``, the edition's ``system``, the ``face``, the ``revision`` mark, the ``paper``'s name."""

    title: str
    system: str
    revision: str
    paper: str
    face: Face | None = None

    @property
    def edition(self) -> str:
        return EDITIONS[self.system]

    @property
    def seen(self) -> str:
        """How the paper lies, in words."""
        return SAYS[self.face] if self.face else ""

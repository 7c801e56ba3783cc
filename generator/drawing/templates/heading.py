"""What every page of a template says of itself."""
from __future__ import annotations

from dataclasses import dataclass

from generator.drawing.templates.faces import Face
from generator.tongue import ENGLISH, Tongue


@dataclass(frozen=True, slots=True)
class Heading:
    """The tutorial's ``title``, the edition's ``system``, the ``face``, the ``revision`` mark, the ``paper``'s name.

    Everything on the pages is said in ``tongue``.
    """

    title: str
    system: str
    revision: str
    paper: str
    face: Face | None = None
    tongue: Tongue = ENGLISH

    @property
    def edition(self) -> str:
        """"metric edition"."""
        return self.tongue.say(f"templates.edition.{self.system}")

    @property
    def seen(self) -> str:
        """How the paper lies, in words."""
        return self.tongue.say(f"templates.face.{self.face}") if self.face else ""

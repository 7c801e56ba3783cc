"""The three faces of a template."""
from __future__ import annotations

from enum import StrEnum


class Face(StrEnum):
    """What of a piece a template shows."""

    INSIDE = "inside"       # as seen from the plain side, which becomes the inside
    MIRRORED = "mirrored"   # as seen from the other side: to be printed on it
    TICKS = "ticks"         # as seen from the inside, prick points alone


"""What the theme is handed of a picture."""
from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup


@dataclass(frozen=True, slots=True)
class PictureRow:
    """What a number in the picture says in the list below it."""

    number: int
    html: Markup


@dataclass(frozen=True, slots=True)
class PictureView:
    """A drawing as SVG, its numbered rows, and what its lines mean."""

    svg: Markup
    rows: tuple[PictureRow, ...]
    legend: Markup


def picture_view(picture) -> PictureView:
    """INTERIM"""
    return picture

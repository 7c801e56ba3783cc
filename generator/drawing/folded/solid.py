"""Paper in space, ready to be drawn: flat facets, bent sheets, the lines on them, ribbons.

All in mm, z upward, x to the right and y away from the reader, who stands in
front of it all. Where facets lie on each other ``lift`` says which is above:
it is told along the normal of the facet's +z side, and moves nothing.
"""
from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

import numpy as np


class SolidLine(StrEnum):
    """What a line on the paper is."""

    FOLD = "fold"
    EDGE = "edge"               # of the paper: of the outline, of a cut or a hole
    MARK = "mark"               # a score that is not folded
    HOLE = "hole"               # the rim of a punched hole


@dataclass(frozen=True, slots=True, eq=False)
class Facet:
    """A flat part: ``corners`` (n × 3) turn counter-clockwise for who looks at its +z side, which is ``up``: "plain" or "printed"."""

    corners: np.ndarray
    up: str
    holes: tuple[np.ndarray, ...] = ()
    lift: float = 0.0

    @property
    def normal(self) -> np.ndarray:
        """The unit vector of the +z side (Newell's formula)."""
        return newell(self.corners)

    @property
    def points(self) -> np.ndarray:
        return self.corners


@dataclass(frozen=True, slots=True, eq=False)
class BentSheet:
    """A smooth part: ``points`` (n × 3) and ``triangles`` (m × 3), counter-clockwise for who looks at the +z side."""

    points: np.ndarray
    triangles: np.ndarray
    up: str
    lift: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class SheetMotion:
    """A line in space through ``points`` (n × 3); ``parts`` are the numbers of the facets and bent parts that it bounds."""

    kind: SolidLine
    points: np.ndarray
    parts: tuple[int, ...]
    curved: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class RibbonWay:
    """Where a ribbon runs, ``wide`` mm wide."""

    points: np.ndarray
    wide: float = 4.0


@dataclass(frozen=True, slots=True)
class Body:
    """One piece of paper and where it stands: ``place`` is "" for the first, then "beside" it or "above" it."""

    name: str
    place: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Solid:
    """Everything in one picture. ``notes`` say what else there is to tell: "upright" where a top is not gathered yet."""

    parts: tuple[Facet | BentSheet, ...]
    courses: tuple[SheetMotion, ...] = ()
    ribbons: tuple[RibbonWay, ...] = ()
    bodies: tuple[Body, ...] = ()
    notes: tuple[str, ...] = ()

    def points(self) -> np.ndarray:
        """Every corner, n × 3. Raises ValueError where there is none, or one is not a number."""
        found = [part.points for part in self.parts] + [ribbon.points for ribbon in self.ribbons]
        if not found:
            raise ValueError("there is no paper to draw")
        made = np.concatenate(found)
        if not np.isfinite(made).all():
            raise ValueError("paper cannot be drawn at a place that is not a number")
        return made

    def flats(self) -> Iterator[Facet]:
        """The flat parts."""
        return (part for part in self.parts if isinstance(part, Facet))


def newell(corners: np.ndarray) -> np.ndarray:
    """The unit normal of a flat polygon by the sum of its corners' cross products (M. Newell; from memory)."""
    turned = np.cross(corners, np.roll(corners, -1, axis=0)).sum(axis=0)
    size = np.linalg.norm(turned)
    return turned / size if size > 0 else np.array((0.0, 0.0, 1.0))

"""The strokes that outlines and marks are made of."""
from __future__ import annotations

from collections.abc import Iterable

from generator.geometry.arc import Arc
from generator.geometry.ellipse import Circle, EllipseArc
from generator.geometry.line import Box, Line
from generator.geometry.transform import Transform

Stroke = Line | Arc | EllipseArc | Circle


def bounds_of(strokes: Iterable[Stroke]) -> Box:
    """Left, bottom, right, top of several strokes (at least one)."""
    left, bottom, right, top = zip(*(s.bounds() for s in strokes))
    return min(left), min(bottom), max(right), max(top)


def moved(strokes: Iterable[Stroke], transform: Transform) -> tuple[Stroke, ...]:
    """Each stroke after a rigid map, in the same order."""
    return tuple(s.moved(transform) for s in strokes)


def reversed_path(strokes: Iterable[Stroke]) -> tuple[Stroke, ...]:
    """A path or loop travelled the other way."""
    return tuple(s.reversed() for s in reversed(tuple(strokes)))

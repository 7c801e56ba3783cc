"""What a picture shows of a named face: only as much as there is paper.

A face is named between marks and edges, and may reach over what was cut away:
the slanted ends of a tab, a thumb notch.
"""
from __future__ import annotations

from shapely import Polygon

from generator.geometry import Line, Point, Region, Stroke
from generator.paper.area import valid_polygon
from generator.paper.records import Face, PieceState

DUST = 0.01     # mm²; what arithmetic leaves over


def face_on_paper(face: Face, state: PieceState) -> tuple[Stroke, ...]:
    """The outline of a face in its piece's own frame, without what lies beside the paper."""
    named = valid_polygon(Region(face.outline))
    paper = valid_polygon(Region(tuple(rim.stroke for rim in state.outline)))
    if named.difference(paper).area <= DUST:
        return face.outline
    parts = [part for part in _parts(named.intersection(paper)) if part.area > DUST]
    return _loop(max(parts, key=lambda part: part.area)) if parts else face.outline


def _parts(shape: object) -> list[Polygon]:
    return [part for part in getattr(shape, "geoms", [shape]) if isinstance(part, Polygon)]


def _loop(shape: Polygon) -> tuple[Line, ...]:
    corners = [Point(x, y) for x, y in shape.normalize().exterior.coords[:-1]][::-1]
    return tuple(Line(a, b) for a, b in zip(corners, [*corners[1:], corners[0]], strict=True))

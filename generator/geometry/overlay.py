"""Overlay of areas by the geometry library: what they share, what is left of one, what they cover together.

In plain floats GEOS takes areas that touch along a slanted edge for areas that
lie one within the other. Every overlay is therefore snapped to a grid
(``OVERLAY_GRID``), and only what has an area is kept: no points and lines where
areas touch, and no slivers thinner than ``SLIVER_WIDTH``.
"""
from __future__ import annotations

from collections.abc import Iterable

import shapely
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from generator.geometry.tolerances import OVERLAY_GRID, SLIVER_WIDTH


def shared_area(a: BaseGeometry, b: BaseGeometry) -> MultiPolygon:
    """The area that lies in both, in mm; no parts where they only touch."""
    return _areas(shapely.intersection(a, b, grid_size=OVERLAY_GRID))


def area_without(a: BaseGeometry, removed: BaseGeometry) -> MultiPolygon:
    """What is left of an area once another is taken off."""
    return _areas(shapely.difference(a, removed, grid_size=OVERLAY_GRID))


def united_area(areas: Iterable[BaseGeometry]) -> MultiPolygon:
    """What several areas cover together; no parts where there are none."""
    return _areas(shapely.union_all(list(areas), grid_size=OVERLAY_GRID))


def _areas(found: BaseGeometry) -> MultiPolygon:
    """The polygons of an answer that may hold points and lines too, without slivers (mean width 2·A/P)."""
    parts = [part for part in shapely.get_parts(found) if isinstance(part, Polygon)]
    return MultiPolygon([part for part in parts if 2 * part.area > SLIVER_WIDTH * part.length])

"""Overlay of areas by the geometry library: what they share, what is left of one, what they cover together.

In plain floats GEOS takes areas that touch along a slanted edge for areas that
lie one within the other. Every overlay is therefore snapped to a grid
(``OVERLAY_GRID``), and only what has an area is kept: no points and lines where
areas touch, and no slivers thinner than ``SLIVER_WIDTH``.
"""
from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import numpy.typing as npt
import shapely
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from generator.geometry.tolerances import OVERLAY_GRID, SLIVER_WIDTH

ObjectArray = npt.NDArray[np.object_]
AREAS = (3, 6)      # shapely's numbers of polygons and of several of them


def shared_area(a: BaseGeometry, b: BaseGeometry) -> MultiPolygon:
    """The area that lies in both, in mm; no parts where they only touch."""
    return _areas(shapely.intersection(a, b, grid_size=OVERLAY_GRID))


def area_without(a: BaseGeometry, removed: BaseGeometry) -> MultiPolygon:
    """What is left of an area once another is taken off."""
    return _areas(shapely.difference(a, removed, grid_size=OVERLAY_GRID))


def united_area(areas: Iterable[BaseGeometry]) -> MultiPolygon:
    """What several areas cover together; no parts where there are none."""
    return _areas(shapely.union_all(list(areas), grid_size=OVERLAY_GRID))


def common_area(a: BaseGeometry, b: BaseGeometry) -> BaseGeometry:
    """The area that lies in both, of exact corners where the library finds any, else on the grid."""
    try:
        return polygonal(a.intersection(b))
    except shapely.errors.GEOSException:
        return shared_area(polygonal(a), polygonal(b))


def common_areas(some: ObjectArray, others: ObjectArray | BaseGeometry) -> ObjectArray:
    """As :func:`common_area` for pairs."""
    try:
        found = shapely.intersection(some, others)
    except shapely.errors.GEOSException:
        pairs = np.broadcast(some, np.asarray(others, dtype=object))
        found = np.array([common_area(a, b) for a, b in pairs], dtype=object)
    for at in np.flatnonzero(~np.isin(shapely.get_type_id(found), AREAS)):
        found[at] = polygonal(found[at])
    return found


def polygonal(shape: BaseGeometry) -> BaseGeometry:
    """The part of an answer that has an area, valid: overlays refuse points and lines beside areas."""
    if not shape.is_valid:
        shape = shapely.make_valid(shape)
    return shape if isinstance(shape, Polygon | MultiPolygon) else MultiPolygon(_polygons(shape))


def _polygons(shape: BaseGeometry) -> list[Polygon]:
    # a collection may hold several areas in one of its parts
    return [part for part in shapely.get_parts(shapely.get_parts(shape)) if isinstance(part, Polygon)]


def _areas(found: BaseGeometry) -> MultiPolygon:
    """The polygons of an answer that may hold points and lines too, without slivers (mean width 2·A/P)."""
    return MultiPolygon([part for part in _polygons(found) if 2 * part.area > SLIVER_WIDTH * part.length])

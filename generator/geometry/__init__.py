"""Pure shapes of the plane: points, strokes, regions, transforms."""
from generator.geometry.arc import Arc, arc_by_radius
from generator.geometry.circle import Circle
from generator.geometry.clip import inside, outside
from generator.geometry.crossings import crossings
from generator.geometry.cut_away import Loop, cut_away
from generator.geometry.ellipse import EllipseArc
from generator.geometry.errors import ShapeError
from generator.geometry.line import Box, Line
from generator.geometry.nearness import share_at
from generator.geometry.overlaps import overlaps
from generator.geometry.point import Point, Real, distance, gap, midpoint
from generator.geometry.region import Region, closed, counter_clockwise, signed_area, turns_left
from generator.geometry.roomiest import roomiest, rooms
from generator.geometry.selfcrossing import crosses_itself
from generator.geometry.shapes import (
           apothem,
           circumradius,
           inset,
           polygon,
           rectangle,
           regular_polygon,
           square,
           trapezoid,
)
from generator.geometry.strokes import Stroke, bounds_of, moved, reversed_path
from generator.geometry.transform import Transform

__all__ = ["Arc", "Box", "Circle", "EllipseArc", "Line", "Loop", "Point", "Real", "Region", "ShapeError", "Stroke",
           "Transform", "apothem", "arc_by_radius", "bounds_of", "circumradius", "closed", "counter_clockwise",
           "crosses_itself", "crossings", "cut_away", "distance", "gap", "inset", "inside", "midpoint", "moved",
           "outside", "overlaps", "polygon", "rectangle", "regular_polygon", "reversed_path", "roomiest",
           "rooms", "share_at", "signed_area", "square", "trapezoid", "turns_left"]

"""Pure shapes of the plane: points, strokes, regions, transforms."""
from generator.geometry.arc import Arc, arc_by_radius
from generator.geometry.circle import Circle
from generator.geometry.ellipse import EllipseArc
from generator.geometry.errors import ShapeError
from generator.geometry.line import Box, Line
from generator.geometry.point import Point, Real, distance, gap, midpoint
from generator.geometry.shapes import (apothem, circumradius, inset, polygon, rectangle, regular_polygon, square,
                                       trapezoid)
from generator.geometry.strokes import Stroke, bounds_of, moved, reversed_path
from generator.geometry.transform import Transform

__all__ = ["Arc", "Box", "Circle", "EllipseArc", "Line", "Point", "Real", "ShapeError", "Stroke", "Transform",
           "apothem", "arc_by_radius", "bounds_of", "circumradius", "distance", "gap", "inset", "midpoint", "moved",
           "polygon", "rectangle", "regular_polygon", "reversed_path", "square", "trapezoid"]

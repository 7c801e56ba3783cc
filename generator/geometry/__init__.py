"""Pure shapes of the plane: points, strokes, regions, transforms."""
from generator.geometry.arc import Arc, arc_by_radius
from generator.geometry.clipping import clipped_inside, clipped_outside
from generator.geometry.crossings import crosses_itself, crossings
from generator.geometry.cut_away import Loop, cut_away
from generator.geometry.ellipse import Circle, EllipseArc
from generator.geometry.plane import Box, Line, Point, Real, ShapeError, Transform, distance, gap, midpoint
from generator.geometry.region import (
           Region,
           closed,
           counter_clockwise,
           largest_rectangle,
           signed_area,
           tallest_rectangles,
           turns_left,
)
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
from generator.geometry.strokes import Stroke, bounds_of, moved, overlaps, parameter_at, reversed_path

__all__ = ["Arc", "Box", "Circle", "EllipseArc", "Line", "Loop", "Point", "Real", "Region", "ShapeError",
           "Stroke",
           "Transform", "apothem", "arc_by_radius", "bounds_of", "circumradius", "closed",
           "counter_clockwise",
           "crosses_itself", "crossings", "cut_away", "distance", "gap", "inset", "clipped_inside",
           "midpoint", "moved",
           "clipped_outside", "overlaps", "polygon", "rectangle", "regular_polygon", "reversed_path",
           "largest_rectangle",
           "tallest_rectangles", "parameter_at", "signed_area", "square", "trapezoid", "turns_left"]

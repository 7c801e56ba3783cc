"""Pure shapes of the plane: points, strokes, regions, transforms."""
from generator.geometry.arc import Arc, arc_by_radius
from generator.geometry.crossings import crosses_itself, crossings
from generator.geometry.cut_away import Loop, cut_away
from generator.geometry.ellipse import Circle, EllipseArc
from generator.geometry.line import Box, Line
from generator.geometry.overlaps import overlaps, share_at
from generator.geometry.point import Point, Real, ShapeError, distance, gap, midpoint
from generator.geometry.region import (
           Region,
           closed,
           counter_clockwise,
           roomiest,
           rooms,
           signed_area,
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
from generator.geometry.splitting import inside, outside
from generator.geometry.strokes import Stroke, bounds_of, moved, reversed_path
from generator.geometry.transform import Transform

__all__ = ["Arc", "Box", "Circle", "EllipseArc", "Line", "Loop", "Point", "Real", "Region", "ShapeError", "Stroke",
           "Transform", "apothem", "arc_by_radius", "bounds_of", "circumradius", "closed", "counter_clockwise",
           "crosses_itself", "crossings", "cut_away", "distance", "gap", "inset", "inside", "midpoint", "moved",
           "outside", "overlaps", "polygon", "rectangle", "regular_polygon", "reversed_path", "roomiest",
           "rooms", "share_at", "signed_area", "square", "trapezoid", "turns_left"]

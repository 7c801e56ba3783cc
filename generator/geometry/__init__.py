"""Pure shapes of the plane: points, strokes, regions, transforms."""
from generator.geometry.point import Point, Real

__all__ = ["Point", "Real"]

"""What is said of a shape that cannot be."""
from __future__ import annotations


class ShapeError(ValueError):
    """A shape that cannot be drawn; the text is for the demonstrator, in the trade's words."""

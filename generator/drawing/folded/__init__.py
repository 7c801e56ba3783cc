"""Folded paper in space, its pictures in perspective, and the data of the slider."""

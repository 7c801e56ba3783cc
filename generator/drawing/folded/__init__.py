"""Folded paper in space, and its pictures: solids, their layers, the camera, hidden lines, the data of the slider."""

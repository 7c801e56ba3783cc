"""Bent sheets beside curved scores: triangle meshes that keep their lengths and resist being bent."""

"""Polygons with levels become one closed solid."""

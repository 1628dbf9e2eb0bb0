"""Drawings of a kit: elevations, plans, exploded views and pictures of parts, as data that SVG and DXF are made from.

The drawings are written with the standard library alone, since the core is put into Blender as it is, without any
other wheel beside it.
"""

"""Kits with covers on their walls, at 1:100, where 1 m is 10 mm."""

from dataclasses import replace

from halfbat.building.erect import structure_from_mesh
from halfbat.kit import make_kit, smallest_face_m
from kit_help import building_of, settings_with

BOX = [[0, 0], [8, 0], [8, 5], [0, 5]]


LISTS = ("downpipes", "cable_runs", "seams", "features", "finishes", "openings")


def kit_of_box(height=3.0, checked=False, **values):
    """A box; lists of requests by their names, other settings as ``group__key``."""
    lists = {name: values.pop(name) for name in LISTS if name in values}
    settings = replace(settings_with(kit__scale="1:100", **{"mark__make": False} | values), **lists)
    return make_kit(building_of(BOX, height), settings, checked=checked)


def house(mesh, downpipes=(), cable_runs=(), **values):
    """A kit of a mesh."""
    settings = replace(
        settings_with(**{"kit__scale": "1:100", "mark__make": False} | values),
        downpipes=downpipes,
        cable_runs=cable_runs,
    )
    return make_kit(structure_from_mesh(mesh, smallest_face_m=smallest_face_m(settings)), settings, checked=False)

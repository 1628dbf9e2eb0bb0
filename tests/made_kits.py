"""Whole kits, made once for the tests of drawings and booklets."""

from dataclasses import replace
from functools import cache

import numpy as np

from halfbat.building import building_from_mesh, building_from_plan, mesh_from_box
from halfbat.kit import Kit, make_kit, smallest_face_m
from halfbat.settings import Settings, with_value

L_PLAN = [[0, 0], [9, 0], [9, 4], [5, 4], [5, 7], [0, 7]]


def with_values(*changes) -> Settings:
    """Settings with values changed, each given as group, key, value."""
    settings = Settings()
    for group, key, value in changes:
        settings = with_value(settings, group, key, value)
    return settings


@cache
def long_box() -> Kit:
    """A box with seams under cable runs on its long walls."""
    settings = with_values(
        ("kit", "name", "Long & plain"),
        ("kit", "scale", "1:148"),
        ("brick", "bond", "english_garden_wall"),
        ("seam", "panel_limit_mm", 60.0),
    )
    mesh = mesh_from_box(13.3, 5.6, 3.4)
    return make_kit(building_from_mesh(mesh, smallest_face_m=smallest_face_m(settings)), settings, checked=False)


@cache
def wired_box() -> Kit:
    """The same with wire to buy in place of printed cable runs."""
    settings = with_values(
        ("kit", "scale", "1:148"), ("seam", "panel_limit_mm", 60.0), ("seam", "cover_made_as", "wire")
    )
    return make_kit(building_from_plan([[0, 0], [13.3, 0], [13.3, 5.6], [0, 5.6]], 0.0, 3.4), settings, checked=False)


@cache
def l_shape() -> Kit:
    """An L with an inner corner, turned by 20 degrees, with toothed seams, at a larger scale."""
    settings = with_values(
        ("kit", "scale", "1:76.2"), ("seam", "hide", "toothed"), ("resin", "usable_x_mm", 100.0), ("lid", "make", False)
    )
    turn = np.radians(20)
    plan = np.array(L_PLAN) @ [[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]]
    return make_kit(building_from_plan(plan, 1.0, 2.9), settings, checked=False)


def doubled(kit: Kit, number: str) -> Kit:
    """The kit with a part wanted twice."""
    parts = tuple(replace(part, quantity=2) if part.number == number else part for part in kit.parts)
    return replace(kit, parts=parts)

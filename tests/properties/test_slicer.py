"""Parts as a slicer and a resin printer see them: sliced by trimesh at the layer height, closed, put on pixels.

The files are read as they are written, corrected for the material. Nothing of our own sections is used here.
"""

import io
from dataclasses import replace

import numpy as np
import pytest
import shapely
import trimesh
from scipy import ndimage

from halfbat.building import building_from_mesh, mesh_from_box
from halfbat.kit import make_kit
from halfbat.output.stl import stl_bytes
from halfbat.printing.compensation import written_solid
from halfbat.printing.processes import preset_process
from halfbat.settings import Settings, with_value
from halfbat.surfaces.joints import snapped_joints
from halfbat.units import parse_scale

GAP_CLOSING_MM = 0.049
"""Radius by which common slicers close gaps: making notes, section 2, source 15."""
SCALES = ("1:220", "1:160", "1:148", "1:120", "1:101.6", "1:87.1", "1:76.2", "1:64", "1:48", "1:43.5", "1:32")
MODEL_MM = (30.0, 18.0, 12.0)


def skins(scale, resin, bond="stretcher"):
    """The long and the short skin of a small box, model size alike at every scale, with what was told of them."""
    chosen = with_value(with_value(Settings(), "kit", "scale", scale), "brick", "bond", bond)
    chosen = replace(chosen, resin=resin)
    full = [size / parse_scale(scale).mm_per_m for size in MODEL_MM]
    kit = make_kit(building_from_mesh(mesh_from_box(*full), smallest_face_m=min(full) / 8), chosen, checked=False)
    return kit, [part for part in kit.parts if part.kind == "skin"][:2]


def as_read(part, kit):
    mesh = trimesh.load(io.BytesIO(stl_bytes(written_solid(part, kit.settings))), file_type="stl")
    assert mesh.is_volume
    return mesh


def slices(mesh, layer):
    """One section through the middle of each layer, as a slicer takes it."""
    heights = np.arange(layer / 2, mesh.extents[2], layer)
    sections = mesh.section_multiplane([0, 0, 0], [0, 0, 1], heights)
    areas = [0.0 if one is None else shapely.union_all(one.polygons_full) for one in sections]
    return heights, areas


def pixels(shape, resin, bounds):
    """Pixels whose middle lies in a shape; the part's origin lies on a corner of four pixels."""
    pitch = np.array([resin.pixel_x_mm, resin.pixel_y_mm])
    low, high = np.floor(bounds[0] / pitch).astype(int) - 1, np.ceil(bounds[1] / pitch).astype(int) + 1
    x = (np.arange(low[0], high[0]) + 0.5) * pitch[0]
    y = (np.arange(low[1], high[1]) + 0.5) * pitch[1]
    shapely.prepare(shape)
    return shapely.contains_xy(shape, *np.meshgrid(x, y))


def gaps(mask):
    """Lengths of background between material in each row."""
    padded = np.diff(np.pad(mask.astype(np.int8), ((0, 0), (1, 1))), axis=1)
    rows, starts = np.nonzero(padded == 1)
    _, ends = np.nonzero(padded == -1)
    beside = rows[1:] == rows[:-1]
    return (starts[1:] - ends[:-1])[beside]


def joints_seen(mask, most):
    """Widths of what is no wider than twice a joint: joints, not the rows that run along a bed joint."""
    found = gaps(mask)
    return found[found <= most]


@pytest.mark.parametrize("scale", SCALES)
def test_every_joint_is_there_and_all_are_equal_after_a_slicer_closed_its_gaps(scale):
    resin = preset_process("resin 0.05 mm")
    kit, parts = skins(scale, resin)
    joints = kit.plan.joints
    for part in parts:
        mesh = as_read(part, kit)
        section = mesh.section([0, 0, 1], [0, 0, mesh.bounds[1, 2] - resin.layer_mm / 2]).to_2D(np.eye(4))[0]
        shape = shapely.union_all(section.polygons_full)
        closed = shape.buffer(GAP_CLOSING_MM, join_style="mitre").buffer(-GAP_CLOSING_MM, join_style="mitre")
        # Closing fills no joint: it takes none of the bricks together, and no area of note.
        assert len(shapely.get_parts(closed)) == len(shapely.get_parts(shape)) > 10
        assert closed.area == pytest.approx(shape.area, rel=2e-3)
        mask = pixels(closed, resin, mesh.bounds[:, :2])
        for seen, wanted in ((mask, joints.perpend_px), (mask.T, joints.bed_px)):
            widths = joints_seen(seen, 2 * wanted)
            assert widths.size
            assert (widths == wanted).mean() > 0.99
        # As many bricks on the screen as in the file, and no stray pixel.
        labels, count = ndimage.label(mask)
        assert count == len(shapely.get_parts(shape))
        assert np.bincount(labels.ravel())[1:].min() >= 4


@pytest.mark.parametrize("preset", ["resin 0.019 x 0.024 mm", "resin 0.022 mm", "resin 0.0285 mm", "resin 0.035 mm"])
@pytest.mark.parametrize("corrected", [False, True])
def test_joints_are_equal_on_other_screens_and_after_correction(preset, corrected):
    resin = preset_process(preset)
    if corrected:
        resin = replace(resin, scale_x=1.0057, scale_y=1.0031, scale_z=0.998)
    kit, parts = skins("1:148", resin, "flemish")
    joints = kit.plan.joints
    mesh = as_read(parts[0], kit)
    section = mesh.section([0, 0, 1], [0, 0, mesh.bounds[1, 2] - resin.layer_mm / 2]).to_2D(np.eye(4))[0]
    mask = pixels(shapely.union_all(section.polygons_full), resin, mesh.bounds[:, :2])
    for seen, wanted in ((mask, joints.perpend_px), (mask.T, joints.bed_px)):
        widths = joints_seen(seen, 2 * wanted)
        assert (widths == wanted).mean() > 0.99


@pytest.mark.parametrize("scale", ["1:148", "1:76.2"])
def test_layers_add_up_to_the_solid(scale):
    resin = preset_process("resin 0.05 mm")
    kit, _ = skins(scale, resin)
    for part in kit.parts:
        layer = resin.layer_mm if part.process == "resin" else kit.settings.filament.layer_mm
        mesh = as_read(part, kit)
        _, shapes = slices(mesh, layer)
        sliced = sum(getattr(shape, "area", 0.0) for shape in shapes) * layer
        assert sliced == pytest.approx(mesh.volume, rel=5e-3)
        if part.process == "resin":
            drawn = sum(
                pixels(shape, resin, mesh.bounds[:, :2]).sum() * resin.pixel_x_mm * resin.pixel_y_mm * layer
                for shape in shapes
                if not isinstance(shape, float)
            )
            assert drawn == pytest.approx(mesh.volume, rel=5e-3)


def test_relief_is_whole_layers_deep():
    resin = preset_process("resin 0.05 mm")
    kit, parts = skins("1:148", resin)
    mesh = as_read(parts[0], kit)
    _, shapes = slices(mesh, resin.layer_mm)
    counts = [len(shapely.get_parts(shape)) for shape in shapes]
    assert sum(count > 20 for count in counts) == kit.plan.joints.layers
    assert counts[-1] == counts[-2]


def test_where_a_scale_cannot_it_is_said_before_making():
    # True joints of 10 mm are closed by a slicer at these scales, and the wider ones that print look coarse there.
    coarse = preset_process("resin 0.05 mm")
    told = {finding.code for finding in snapped_joints(parse_scale("1:220"), coarse, course_mm=75 / 220).findings}
    assert {"joint-width", "joint-coarse", "joint-grid"} <= told
    assert "joint-coarse" not in {finding.code for finding in snapped_joints(parse_scale("1:76.2"), coarse).findings}
    kit, _ = skins("1:220", coarse)
    assert {"joint-coarse", "joint-grid"} <= {finding.code for finding in kit.findings}

import io
import zipfile
from xml.etree import ElementTree

import lib3mf
import numpy as np
import pytest
import trimesh

from halfbat.building import building_from_mesh, mesh_from_box
from halfbat.kit import make_kit
from halfbat.output.plate_files import kit_3mf, plate_3mf, plate_files
from halfbat.output.plate_pictures import plate_svg
from halfbat.output.threemf import BuildItem, threemf_bytes
from halfbat.printing.plates import plates_for
from halfbat.settings import Settings
from printed_parts import settings
from sample_kits import box_solid, sample_kit


@pytest.fixture(scope="module")
def kit():
    chosen = settings(resin={"scale_x": 1.006}, filament={"scale_y": 1.003})
    return make_kit(building_from_mesh(mesh_from_box(8.0, 4.0, 2.4), smallest_face_m=0.1), chosen, checked=False)


@pytest.fixture(scope="module")
def files(kit):
    return dict(plate_files(kit, plates_for(kit)))


def read(data):
    """Read with the standard's own library, strictly; nothing may be warned of."""
    model = lib3mf.get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromBuffer(data)
    assert [reader.GetWarning(i) for i in range(reader.GetWarningCount())] == []
    assert model.GetUnit() == lib3mf.ModelUnit.MilliMeter
    items = model.GetBuildItems()
    while items.MoveNext():
        item = items.GetCurrent()
        yield item, model.GetMeshObjectByID(item.GetObjectResource().GetResourceID())


def test_the_standards_library_takes_every_file_without_a_warning(kit, files):
    meshes = [name for name in files if name.endswith(".3mf")]
    assert "plates/kit.model.3mf" in meshes and "plates/resin-1.build.3mf" in meshes
    numbers = []
    for name in meshes:
        for item, mesh in read(files[name]):
            assert mesh.IsManifoldAndOriented()
            assert mesh.GetName().startswith(item.GetPartNumber())
            assert mesh.GetPartNumber() == item.GetPartNumber()
            if ".build." in name:
                numbers.append(item.GetPartNumber())
    assert sorted(numbers) == sorted(part.number for part in kit.parts)


def test_everything_lies_in_the_positive_octant_and_on_its_plate(kit, files):
    for name, data in files.items():
        if not name.endswith(".3mf"):
            continue
        scene = trimesh.load(io.BytesIO(data), file_type="3mf")
        assert scene.bounds[0].min() > -1e-4
        assert all(mesh.is_volume for mesh in scene.geometry.values())
        if ".build." in name:
            process = kit.settings.resin if "resin" in name else kit.settings.filament
            assert scene.bounds[1, 0] < process.usable_x_mm + 0.1
            assert scene.bounds[0, 2] == pytest.approx(0, abs=1e-4)


def test_plates_are_corrected_and_the_whole_kit_is_not(kit, files):
    whole = trimesh.load(io.BytesIO(files["plates/kit.model.3mf"]), file_type="3mf")
    true = np.array([8.0, 4.0, 2.4]) * 1000 / 148
    assert whole.extents[:2] == pytest.approx(true[:2], abs=0.01)
    skin = next(part for part in kit.parts if part.number == "WA1")
    plate = trimesh.load(io.BytesIO(files["plates/resin-1.build.3mf"]), file_type="3mf")
    sizes = [mesh.extents for mesh in plate.geometry.values()]
    wanted = skin.solid.size_mm * (1.006, 1.0, 1.0)
    assert any(size == pytest.approx(wanted, abs=1e-4) for size in sizes)


def test_what_is_in_the_container(files):
    with zipfile.ZipFile(io.BytesIO(files["plates/resin-1.build.3mf"])) as archive:
        assert archive.namelist() == ["[Content_Types].xml", "_rels/.rels", "3D/3dModel.model"]
        assert archive.testzip() is None
        assert {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert {entry.compress_type for entry in archive.infolist()} == {zipfile.ZIP_DEFLATED}
        root = ElementTree.fromstring(archive.read("3D/3dModel.model"))
    core = "{http://schemas.microsoft.com/3dmanufacturing/core/2015/02}"
    assert root.attrib["unit"] == "millimeter"
    assert [child.tag for child in root] == [f"{core}metadata", f"{core}metadata", f"{core}resources", f"{core}build"]
    defined = [item.attrib["id"] for item in root.iter(f"{core}object")]
    assert len(set(defined)) == len(defined)
    assert {item.attrib["objectid"] for item in root.iter(f"{core}item")} == set(defined)


def test_pieces_alike_share_one_object():
    kit = sample_kit()
    data = plate_3mf(plates_for(kit).plates[0], kit.settings, kit.name)
    found = list(read(data))
    assert [item.GetPartNumber() for item, _ in found].count("K1") == 3
    assert len({mesh.GetResourceID() for item, mesh in found if item.GetPartNumber() == "K1"}) == 1


def test_the_same_kit_gives_the_same_bytes(kit, files):
    assert dict(plate_files(kit, plates_for(kit))) == files


def test_names_are_escaped():
    item = BuildItem("A1", 'Skin <"&">', box_solid(1, 1, 1), np.eye(4))
    ((read_item, mesh),) = read(threemf_bytes('Lodge & <Son> "1"', [item]))
    assert mesh.GetName() == 'A1 Skin <"&">'
    assert read_item.GetPartNumber() == "A1"


def test_a_turned_item_lies_as_its_matrix_says():
    matrix = np.eye(4)
    matrix[:3, :3] = [[0, -1, 0], [1, 0, 0], [0, 0, 1]]
    matrix[:3, 3] = 5, 6, 7
    scene = trimesh.load(
        io.BytesIO(threemf_bytes("x", [BuildItem("A1", "x", box_solid(4, 2, 1), matrix)])), file_type="3mf"
    )
    assert scene.bounds.tolist() == [[4, 4, 7], [6, 8, 8]]


def test_bought_parts_are_not_in_it():
    kit = sample_kit()
    parts = tuple(part for part in kit.parts if part.number == "S1")
    assert len(list(read(kit_3mf(kit.but(parts=parts))))) == 1
    assert list(plate_files(kit.but(parts=()), plates_for(kit.but(parts=())))) == []


def test_a_picture_of_each_plate_shows_every_number(kit, files):
    for plate in plates_for(kit).plates:
        root = ElementTree.fromstring(files[f"plates/{plate.name}.svg"])
        texts = [item.text for item in root.iter("{http://www.w3.org/2000/svg}text")]
        assert sorted(texts[2:]) == sorted(one.part.number for one in plate.placements)
        assert plate.name in texts[0] and "mm" in texts[1]


def test_margins_are_drawn_and_titles_escaped():
    kit = sample_kit().but(settings=settings(resin={"margin_mm": 4.0}))
    picture = plate_svg(plates_for(kit).plates[0], "Lodge & <Son>")
    assert b'class="free"' in picture and b"Lodge &amp; &lt;Son&gt;" in picture
    assert b'class="free"' not in plate_svg(plates_for(sample_kit()).plates[0], "x")
    assert Settings().resin.margin_mm == 0

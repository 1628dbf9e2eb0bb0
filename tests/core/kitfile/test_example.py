from collections import Counter

from halfbat.building.erect import structure_from_mesh
from halfbat.findings import Severity
from halfbat.kit import make_kit, smallest_face_m
from halfbat.kitfile.example import EAVES_M, LENGTH_M, RIDGE_M, WIDTH_M, example_mesh, example_settings
from halfbat.settings import check_settings


def test_the_example_is_closed_and_faces_outward():
    edges = Counter()
    mesh = example_mesh()
    for face in mesh.faces:
        assert len(set(face)) == len(face)  # Blender knows no polygon that visits a point twice
        edges.update(zip(face, (*face[1:], face[0]), strict=True))
    assert set(edges.values()) == {1}
    assert all((end, start) in edges for start, end in edges)


def test_the_example_makes_a_kit_without_a_failed_check():
    settings = example_settings()
    check_settings(settings)
    structure = structure_from_mesh(example_mesh(), smallest_face_m=smallest_face_m(settings))
    sizes = [(round(wall.length_m, 9), round(wall.height_m, 9)) for wall in structure.walls]
    assert sizes == [(LENGTH_M, EAVES_M), (WIDTH_M, RIDGE_M)] * 2
    assert [len(wall.openings) for wall in structure.walls] == [2, 0, 0, 0]
    kit = make_kit(structure, settings)
    assert [finding.text for finding in kit.findings if finding.severity == Severity.FAILURE] == []
    assert {part.kind for part in kit.parts} >= {"shell", "skin", "insert", "former", "roof skin", "ridge"}

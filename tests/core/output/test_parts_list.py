import csv
import io

from halfbat.output.parts_list import parts_list_csv
from sample_kits import sample_kit


def rows():
    return list(csv.DictReader(io.StringIO(parts_list_csv(sample_kit()).decode())))


def test_one_row_for_each_part_and_material():
    assert [(row["number"], row["quantity"], row["unit"], row["process"]) for row in rows()] == [
        ("S1", "1", "pieces", "filament"),
        ("A1", "1", "pieces", "resin"),
        ("B1", "1", "pieces", "resin"),
        ("K1", "3", "pieces", "resin"),
        ("", "57", "mm", "bought"),
    ]


def test_sizes_volume_and_notes():
    skin, cover = rows()[1], rows()[3]
    assert [skin[f"size_{axis}_mm"] for axis in "xyz"] == ["59.50", "1.00", "19.00"]
    assert skin["volume_mm3"] == "1130.5"
    assert skin["file"] == "parts/A1.stl"
    assert (cover["notes"], cover["wall"]) == ("Glue over the seam.", "A")


def test_a_column_for_each_kind_of_brick():
    table = rows()
    assert [key for key in table[0] if key.startswith("bricks")] == [
        "bricks: half bat",
        "bricks: header",
        "bricks: stretcher",
    ]
    assert [row["bricks: stretcher"] for row in table] == ["", "410", "", "", ""]
    assert table[2]["bricks: header"] == "7"

import json

import numpy as np
import pytest

from halfbat.findings import Finding, Place, Severity
from halfbat.output.manifest import kit_manifest, manifest_bytes, part_file
from halfbat.parts.part import Part
from halfbat.settings import Settings, iter_settings
from sample_kits import box_solid, sample_kit


def test_a_manifest_is_plain_json_that_reads_back():
    manifest = kit_manifest(sample_kit(), {"parts/A1.stl": "ff"})
    assert json.loads(manifest_bytes(manifest)) == manifest
    assert (manifest["format"], manifest["format_version"]) == ("halfbat-kit", 2)
    assert manifest["name"] == "Lodge, größer"
    assert manifest["scale"] == {"name": "4 mm/ft", "ratio": "381/5", "mm_per_m": 13.123360}
    assert [wall["letter"] for wall in manifest["building"]["walls"]] == ["A", "B", "C", "D"]
    assert manifest["files"] == {"parts/A1.stl": "ff"}


def test_parts_say_what_and_where_they_are():
    skin = kit_manifest(sample_kit())["parts"][1]
    assert skin["number"] == "A1"
    assert skin["file"] == "parts/A1.stl"
    assert skin["size_mm"] == [59.5, 1.0, 19.0]
    assert skin["volume_mm3"] == pytest.approx(59.5 * 19.0)
    assert skin["place"][2] == [0.0, 0.0, 1.0, 1.25]
    assert skin["counts"] == {"stretcher": 410}
    assert kit_manifest(sample_kit())["parts"][3]["quantity"] == 3


def test_every_setting_is_there():
    settings = kit_manifest(sample_kit())["settings"]
    for group, record in iter_settings(Settings):
        assert settings[group][record.key] == record.default


def test_findings_say_where_they_are():
    place = Place("A1", (1.0, 2.00000004, -0.0), (3.0, 4.0, 5.0))
    findings = (
        Finding(Severity.WARNING, "neck-thin", "A1", "thin", "widen it", place),
        Finding(Severity.NOTE, "snapped", "", "snapped"),
    )
    told = kit_manifest(sample_kit().but(findings=findings))["findings"]
    assert told[0]["place"] == {"of": "A1", "low_mm": [1.0, 2.0, 0.0], "high_mm": [3.0, 4.0, 5.0]}
    assert told[1]["place"] is None


def test_a_bought_part_has_no_file():
    part = Part("W1", "Wire", "cover", "bought", box_solid(1, 1, 9), np.eye(4))
    assert part_file(part) is None


def test_noise_in_the_last_digits_does_not_change_the_bytes():
    kit = sample_kit()
    noisy = kit.parts[1].place + np.full((4, 4), 1e-13)
    noisy[0, 1] = -1e-12  # would be written as minus zero
    shaken = Part("A1", "Skin, wall A", "skin", "resin", kit.parts[1].solid, noisy, 1, "A", {"stretcher": 410})
    parts = (kit.parts[0], shaken, *kit.parts[2:])
    assert manifest_bytes(kit_manifest(kit.but(parts=parts))) == manifest_bytes(kit_manifest(kit))


def test_what_is_not_a_number_is_not_written():
    place = np.full((4, 4), np.nan)
    part = Part("A1", "Skin", "skin", "resin", box_solid(1, 1, 1), place)
    with pytest.raises(ValueError, match="not JSON compliant"):
        manifest_bytes(kit_manifest(sample_kit().but(parts=(part,))))

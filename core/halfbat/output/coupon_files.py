"""The files of a coupon: its parts, its plates with pictures, and how to read it."""

from __future__ import annotations

from halfbat.output.manifest import part_file
from halfbat.output.plate_files import picture_file, plate_3mf, plate_file
from halfbat.output.plate_pictures import plate_svg
from halfbat.output.stl import stl_bytes
from halfbat.printing.compensation import written_solid
from halfbat.printing.coupon import Coupon
from halfbat.printing.plates import plates_for

GUIDE = "how-to-read-it.txt"
_TITLE = "Coupon"


def coupon_files(coupon: Coupon) -> dict[str, bytes]:
    """Return every file of a coupon by its path; the same coupon gives the same bytes."""
    files = {
        name: stl_bytes(written_solid(part, coupon.settings))
        for part in coupon.parts
        if (name := part_file(part)) is not None
    }
    for plate in plates_for(coupon).plates:
        files[plate_file(plate)] = plate_3mf(plate, coupon.settings, _TITLE)
        files[picture_file(plate)] = plate_svg(plate, _TITLE)
    files[GUIDE] = coupon.guide.encode()
    return files

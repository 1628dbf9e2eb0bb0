"""3MF, the core specification 1.4: a zip file with one model in XML, in millimetres.

The same objects give the same bytes: entries carry no date and stand in a fixed order.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape, quoteattr

import numpy as np
from numpy.typing import NDArray

from halfbat import __version__
from halfbat.solids.solid import Solid

CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
MODEL_TYPE = "application/vnd.ms-package.3dmanufacturing-3dmodel+xml"
START_PART = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"
MODEL_PATH = "3D/3dModel.model"
DECIMALS = 5
"""Digits after the point: ten times finer than the grid that solids stand on."""
_FIRST_DATE = (1980, 1, 1, 0, 0, 0)
_LEVEL = 4
_CONTENT_TYPES = f"""<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">\
<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>\
<Default Extension="model" ContentType="{MODEL_TYPE}"/></Types>
"""
_RELATIONS = f"""<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">\
<Relationship Target="/{MODEL_PATH}" Id="rel0" Type="{START_PART}"/></Relationships>
"""


@dataclass(frozen=True, slots=True, eq=False)
class BuildItem:
    """One body in its place.

    Parameters
    ----------
    number : str
        Number of the part.
    name : str
        What it is.
    solid : Solid
        Millimetres; items that share one solid share one object in the file.
    matrix : ndarray (4, 4)
        Rigid, from the solid's frame to the file's, where everything lies at zero or above.
    """

    number: str
    name: str
    solid: Solid
    matrix: NDArray[np.float64]


def threemf_bytes(title: str, items: Sequence[BuildItem]) -> bytes:
    """Return a 3MF file.

    Parameters
    ----------
    title : str
        Of the model.
    items : sequence of BuildItem
        What is built, and where.
    """
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        for path, text in (
            ("[Content_Types].xml", _CONTENT_TYPES),
            ("_rels/.rels", _RELATIONS),
            (MODEL_PATH, model_xml(title, items)),
        ):
            entry = zipfile.ZipInfo(path, _FIRST_DATE)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system = 0
            archive.writestr(entry, text.encode(), compresslevel=_LEVEL)
    return packed.getvalue()


def model_xml(title: str, items: Sequence[BuildItem]) -> str:
    """Return the model part of a 3MF file; see `threemf_bytes`."""
    numbers: dict[int, int] = {}
    objects, build = [], []
    for item in items:
        if id(item.solid) not in numbers:
            numbers[id(item.solid)] = len(numbers) + 1
            objects.append(_object(numbers[id(item.solid)], item))
        build.append(_item(numbers[id(item.solid)], item))
    return "".join(
        (
            '<?xml version="1.0" encoding="UTF-8"?>\n',
            f'<model unit="millimeter" xml:lang="en" xmlns="{CORE}">\n',
            f'<metadata name="Title">{escape(title)}</metadata>\n',
            f'<metadata name="Application">Halfbat {__version__}</metadata>\n<resources>\n',
            *objects,
            "</resources>\n<build>\n",
            *build,
            "</build>\n</model>\n",
        )
    )


def _object(number: int, item: BuildItem) -> str:
    name = quoteattr(f"{item.number} {item.name}")
    head = f'<object id="{number}" type="model" name={name} partnumber={quoteattr(item.number)}><mesh>\n<vertices>\n'
    return "".join((head, mesh_xml(item.solid), "</mesh></object>\n"))


def mesh_xml(solid: Solid) -> str:
    """Return vertices and triangles as XML, the opening tag of the vertices left out."""
    points = np.round(solid.vertices, DECIMALS) + 0.0
    vertex, triangle = '<vertex x="%.5f" y="%.5f" z="%.5f"/>\n', '<triangle v1="%d" v2="%d" v3="%d"/>\n'
    return "".join(
        (
            (vertex * len(points)) % tuple(points.ravel().tolist()),
            "</vertices>\n<triangles>\n",
            (triangle * len(solid.triangles)) % tuple(solid.triangles.ravel().tolist()),
            "</triangles>\n",
        )
    )


def _item(number: int, item: BuildItem) -> str:
    # Points are rows in 3MF, so a matrix is written column by column.
    values = np.round(item.matrix[:3].T.ravel(), 9) + 0.0
    transform = " ".join(f"{value:.9g}" for value in values.tolist())
    return f'<item objectid="{number}" transform="{transform}" partnumber={quoteattr(item.number)}/>\n'

import numpy as np

from halfbat.parts.placing import as_printed, frame
from sample_kits import box_solid


def test_frame_and_print_frame():
    solid = box_solid(4.0, 2.0, 3.0)
    moved = type(solid)(np.add(solid.vertices, (10.0, 20.0, 30.0)), solid.triangles)
    place = frame((0, 1, 0), (-1, 0, 0), (0, 0, 1), (1.0, 2.0, 3.0))
    np.testing.assert_allclose(place @ [1, 0, 0, 1], [1, 3, 3, 1])
    printed, back = as_printed(moved, place)
    np.testing.assert_allclose(printed.bounds_mm, [[-2, -1, 0], [2, 1, 3]])
    here = printed.vertices @ back[:3, :3].T + back[:3, 3]
    np.testing.assert_allclose(here, moved.vertices @ place[:3, :3].T + place[:3, 3])
    assert np.linalg.det(back[:3, :3]) == 1

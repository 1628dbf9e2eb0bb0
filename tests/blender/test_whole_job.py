from pathlib import Path

import whole_job


def test_from_the_default_cube_to_a_folder_and_back(addon, tmp_path: Path) -> None:
    whole_job.whole_job(tmp_path)

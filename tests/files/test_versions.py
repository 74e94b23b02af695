"""What --version says of the data is what the page on data says."""

from __future__ import annotations

import re
from pathlib import Path

from tenhour.files.find import crop_files, shipped_folder
from tenhour.files.versions import NORMALS, PLACES, data_lines

PAGE = (Path(__file__).parents[2] / "docs" / "data.md").read_text("utf-8")


def test_the_lines_name_sources_the_page_on_data_names() -> None:
    for word in ("MERRA-2", "ERA5", "2011-2015", "2000-2025"):
        assert word in NORMALS
        assert word in PAGE
    for word in PLACES.replace(" of", "").split():
        assert word in PAGE


def test_one_line_for_each_set_with_a_mark() -> None:
    lines = data_lines()
    assert [line.split(":")[0] for line in lines] == ["normals", "places", "crops"]
    assert all(re.search(r"\([0-9a-f]{8}\)$", line) for line in lines)
    assert f"{len(crop_files(shipped_folder()))} files" in lines[2]

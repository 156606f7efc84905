"""A newcomer's walk with a folder of pictures: in, shown on the map, set right, taken back."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.work.photos.outing import photo, walk

if TYPE_CHECKING:
    from tests.conftest import Sitebook


@pytest.fixture
def folder(tmp_path: Path, sitebook: Sitebook) -> Path:
    """Give a folder with a new book and pictures of one walk."""
    sitebook("new", "--title", "Walks", "--owner", "Orla Vennar", "--zone", "Etc/GMT+1", folder=tmp_path)
    photo(tmp_path / "pictures", "a.jpg", 3, 60.0)
    photo(tmp_path / "pictures", "b.jpg", 4, 66.0)
    photo(tmp_path / "pictures", "c.jpg", 70, None, camera="Box 3")
    (tmp_path / "pictures" / "clip.mp4").write_bytes(b"\0\0\0\x18ftypmp42....")
    walk(tmp_path)
    return tmp_path


def test_from_a_folder_of_pictures_to_a_mapped_book_and_back(folder: Path, sitebook: Sitebook) -> None:
    told = json.loads(sitebook("import", "pictures", "walk.gpx", "--json", folder=folder).stdout)
    assert told["made"] == {"find": 1, "photo_link": 2}
    assert "clip.mp4: this is a video" in told["files"][0]["sorted_lines"][0]["reason"]
    assert "a.jpg" in sitebook("show", "find", "1", folder=folder).stdout
    done = json.loads(sitebook("camera", "vennar box 3", "--offset", "-3600", "--json", folder=folder).stdout)
    assert (done["set_anew"], done["finds_made"]) == (1, 1)
    sitebook("map", folder=folder)
    (page,) = folder.glob("*.html")
    assert page.read_text("utf-8").count("data:image/jpeg;base64,") == 3
    assert "Box 3" in sitebook("camera", folder=folder).stdout
    sitebook("undo", folder=folder)
    sitebook("undo", folder=folder)
    assert json.loads(sitebook("list", "--json", folder=folder).stdout)["photo"] == 0
    looked_over = json.loads(sitebook("check", "--json", folder=folder).stdout)
    assert looked_over["faults"] == 0


@pytest.mark.parametrize(
    ("name", "content", "says"),
    [
        ("clip.mov", b"\0\0\0\x14ftypqt  ....", "this is a video"),
        ("cut.jpg", b"\xff\xd8\xff\xe1xx", "begins as a picture does, but is none"),
        ("none.jpg", b"", "the file is empty"),
    ],
)
def test_what_is_no_picture_is_one_line_and_changes_nothing(
    folder: Path, sitebook: Sitebook, name: str, content: bytes, says: str
) -> None:
    (folder / name).write_bytes(content)
    done = sitebook("import", "pictures", name, folder=folder, expect=2)
    assert says in done.stderr
    assert len(done.stderr.splitlines()) == 1
    assert json.loads(sitebook("list", "--json", folder=folder).stdout)["photo"] == 0
    assert not (folder / "sitebook.gpkg.photos").exists()


def test_odd_names_of_pictures_are_told_in_one_line(folder: Path, sitebook: Sitebook) -> None:
    odd = Path(os.fsdecode(os.fsencode(folder) + b"/pictures/\xff\n=<b>.jpg"))
    odd.write_bytes(photo(folder, "odd.jpg", 40).read_bytes())
    sitebook("import", "pictures", folder=folder)
    names = [
        row["file_name"] for row in json.loads(sitebook("list", "photo", "--json", folder=folder).stdout)
    ]
    assert "\ufffd\ufffd=<b>.jpg" in names
    sitebook("map", folder=folder)


def test_the_samples_of_other_projects_make_a_mapped_book(
    tmp_path: Path, sitebook: Sitebook, shared_file: Callable[[str], Path]
) -> None:
    sitebook("new", "--title", "S", "--owner", "Orla Vennar", "--zone", "Europe/London", folder=tmp_path)
    told = json.loads(sitebook("import", shared_file("photos"), "--json", folder=tmp_path).stdout)
    assert told["files"][0]["added"] == {"photo": 28}
    assert told["made"] == {"find": 3, "photo_link": 3}
    sitebook("map", folder=tmp_path)

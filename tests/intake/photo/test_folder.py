"""Tests of a folder of pictures: what is taken, what is named as left out, what is passed over."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitebook.errors import FileNotRecognised
from sitebook.intake.photo import pictures_in
from tests.pictures import picture


def test_pictures_are_taken_and_the_rest_is_named(tmp_path: Path) -> None:
    picture(tmp_path / "b.jpg")
    picture(tmp_path / "100VENN" / "a.JPG")
    for passed_over in (".hidden.jpg", ".thumbnails/b.jpg", "Thumbnails/b.jpg", "@eaDir/b.jpg"):
        picture(tmp_path / passed_over)
    (tmp_path / "Thumbs.db").write_bytes(b"db")
    (tmp_path / "clip.mp4").write_bytes(b"\0\0\0\x18ftypmp42....")
    (tmp_path / "empty.jpg").write_bytes(b"")
    (tmp_path / "tags.csv").write_text("file_name,tag_number\n")
    (tmp_path / "link.jpg").symlink_to(tmp_path / "b.jpg")
    inside = pictures_in(tmp_path)
    assert [str(path.relative_to(tmp_path)) for path in inside.pictures] == ["100VENN/a.JPG", "b.jpg"]
    said = [line.reason for line in inside.left_out]
    assert said[0].startswith("clip.mp4: this is a video")
    assert said[1] == "empty.jpg: the file is empty"
    assert said[2].startswith("tags.csv: this is no picture")
    assert len(said) == 3
    assert {line.sorting for line in inside.left_out} == {"left out"}


def test_a_folder_without_a_picture_is_refused(tmp_path: Path) -> None:
    (tmp_path / "walk.gpx").write_text("<gpx/>")
    with pytest.raises(FileNotRecognised, match="holds no picture"):
        pictures_in(tmp_path)

"""Tests that a page is written whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sitebook import errors
from sitebook.work.keep_file import keep_bytes, keep_file, require_free


def test_a_file_is_written_and_its_place_told(tmp_path: Path) -> None:
    path = keep_file(tmp_path / "deep" / "er" / "page.html", "Pilz: ü – µ\n")
    assert path.read_bytes() == "Pilz: ü – µ\n".encode()
    assert [p.name for p in path.parent.iterdir()] == ["page.html"]


def test_an_earlier_page_is_replaced(tmp_path: Path) -> None:
    keep_file(tmp_path / "page.html", "first")
    keep_file(tmp_path / "page.html", "second")
    assert (tmp_path / "page.html").read_text() == "second"


def test_what_lay_there_stays_when_the_writing_fails(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    keep_file(tmp_path / "page.html", "first")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(errors.FileNotWritable, match="No space left"):
        keep_file(tmp_path / "page.html", "second")
    assert (tmp_path / "page.html").read_text() == "first"
    assert [p.name for p in tmp_path.iterdir()] == ["page.html"]


def test_a_folder_in_the_place_of_a_page_is_told(tmp_path: Path) -> None:
    (tmp_path / "page.html").mkdir()
    with pytest.raises(errors.FileNotWritable):
        keep_file(tmp_path / "page.html", "text")
    assert [p.name for p in tmp_path.iterdir()] == ["page.html"]


def test_a_file_in_the_place_of_a_folder_is_told(tmp_path: Path) -> None:
    (tmp_path / "pages").write_text("no folder")
    with pytest.raises(errors.FileNotWritable):
        keep_file(tmp_path / "pages" / "page.html", "text")


@given(st.text(st.characters(exclude_categories=["Cs"])))
@settings(max_examples=25, deadline=None)
def test_every_text_comes_back(tmp_path_factory: pytest.TempPathFactory, text: str) -> None:
    path = keep_file(tmp_path_factory.getbasetemp() / "any.txt", text)
    assert path.read_bytes().decode("utf-8") == text


def test_bytes_are_kept_as_they_are(tmp_path: Path) -> None:
    content = bytes(range(256))
    assert keep_bytes(tmp_path / "any.bin", content).read_bytes() == content


def test_a_place_that_is_taken_is_refused(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("hers")
    (tmp_path / "dangling").symlink_to(tmp_path / "nowhere")
    require_free([tmp_path / "free"])
    for name in ("taken", "dangling"):
        with pytest.raises(errors.FileExists):
            require_free([tmp_path / "free", tmp_path / name])

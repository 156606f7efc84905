"""Tests where the original of a photo lies."""

from __future__ import annotations

from pathlib import Path

import pytest

from sitebook.store.photos import photo_folder, photo_path, sha256_of

ABC = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


def test_an_original_lies_under_its_hash_in_a_folder_beside_the_book(tmp_path: Path) -> None:
    book = tmp_path / "my.book.gpkg"
    assert photo_folder(book) == tmp_path / "my.book.gpkg.photos"
    assert photo_path(book, ABC, "image/jpeg") == photo_folder(book) / "ba" / f"{ABC}.jpg"
    assert photo_path(book, ABC.upper(), "image/jpeg") == photo_path(book, ABC, "image/jpeg")


def test_a_media_type_without_an_extension_of_its_own_is_kept(tmp_path: Path) -> None:
    assert photo_path(tmp_path / "b", ABC, "image/x-camera").suffix == ".bin"


@pytest.mark.source(
    item="",
    what="SHA-256 of the three bytes abc",
    value=ABC,
    source="FIPS 180-4, NIST's example values for SHA-256",
    mark="memory",
)
def test_hash_of_a_file(tmp_path: Path) -> None:
    path = tmp_path / "abc"
    path.write_bytes(b"abc")
    assert sha256_of(path) == ABC

"""Makes a book with photos whose originals lie beside it, without looking into any picture."""

from __future__ import annotations

import hashlib
from pathlib import Path

from sitebook.records.photo import Photo
from sitebook.store import rows
from sitebook.store.book import opened, writing
from sitebook.store.photos import photo_path
from tests.store.finds import write
from tests.work import books

PICTURES = {
    "IMG_1.JPG": ("image/jpeg", b"\xff\xd8\xff first" * 1000),
    "IMG_2.HEIC": ("image/heic", b"\x00\x00\x00\x18ftypheic second"),
    "scan.xyz": ("image/x-scan", bytes(range(256)) * 9000),
}


def book_with_photos(folder: Path, name: str = "sitebook.gpkg") -> Path:
    """Make a book with three photos and two finds."""
    path = books.fresh(folder, name)
    write(path, 2, 10.0)
    with opened(path) as book, writing(book):
        rows.insert(book, [_photo(file_name, *made) for file_name, made in PICTURES.items()])
    for media_type, content in PICTURES.values():
        place = photo_path(path, hashlib.sha256(content).hexdigest(), media_type)
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_bytes(content)
    return path


def _photo(file_name: str, media_type: str, content: bytes) -> Photo:
    return Photo(
        uuid=hashlib.md5(content, usedforsecurity=False).hexdigest(),
        created_at=books.NOW,
        changed_at=books.NOW,
        sha256=hashlib.sha256(content).hexdigest(),
        file_name=file_name,
        media_type=media_type,
    )


def originals(path: Path) -> dict[str, bytes]:
    """Give every file in a book's folder of photos, by its place in it."""
    folder = path.with_name(path.name + ".photos")
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}

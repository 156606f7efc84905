"""Where the original of a photo lies: in a folder beside the book, under the SHA-256 of its bytes."""

from __future__ import annotations

import hashlib
from pathlib import Path

EXTENSIONS = {
    "image/jpeg": ".jpg",
    "image/png": ".png",
    "image/tiff": ".tif",
    "image/webp": ".webp",
    "image/heic": ".heic",
    "image/heif": ".heif",
    "image/avif": ".avif",
}
"""Extension of an original by its media type; any other media type is kept as .bin."""

_OTHER = ".bin"


def photo_folder(book_path: Path) -> Path:
    """Give the folder of a book's originals: `sitebook.gpkg.photos` beside `sitebook.gpkg`."""
    return book_path.with_name(f"{book_path.name}.photos")


def photo_path(book_path: Path, sha256: str, media_type: str) -> Path:
    """Give the place of one original: `ab/abcd….jpg` in the book's folder of photos."""
    name = sha256.lower() + EXTENSIONS.get(media_type, _OTHER)
    return photo_folder(book_path) / name[:2] / name


def sha256_of(path: Path) -> str:
    """Give the SHA-256 of a file's bytes, in hex."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()

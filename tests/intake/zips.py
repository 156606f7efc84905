"""Makes backups, whole and spoilt, by hand: not with the code that writes them."""

from __future__ import annotations

import hashlib
import json
import zipfile
from collections.abc import Iterable
from pathlib import Path

PHOTO = b"\xff\xd8\xff one picture"
PHOTO_SHA256 = hashlib.sha256(PHOTO).hexdigest()
PHOTO_NAME = f"my book.gpkg.photos/{PHOTO_SHA256[:2]}/{PHOTO_SHA256}.jpg"
MEMBERS = {"my book.gpkg": b"SQLite format 3\x00 and more", PHOTO_NAME: PHOTO}


def manifest(members: dict[str, bytes] | None = None, **others: object) -> dict[str, object]:
    """Give a manifest of members, some of its values others than they should be."""
    named = MEMBERS if members is None else members
    said: dict[str, object] = {
        "format": "sitebook backup",
        "format_version": 1,
        "book_name": "my book.gpkg",
        "book_uuid": "4f0c2a3e-58a1-4b55-9d0e-6a7f3c2b1d00",
        "title": "Mine",
        "revision": 7,
        "schema": "0007",
        "made_with": "0.1",
        "made_at": "2025-10-01T12:00:00.000Z",
        "members": [
            {"name": name, "sha256": hashlib.sha256(content).hexdigest(), "size_bytes": len(content)}
            for name, content in named.items()
        ],
        "missing": [],
        "altered": [],
    }
    return said | others


def made(
    path: Path,
    said: object = None,
    members: Iterable[tuple[str | zipfile.ZipInfo, bytes]] | None = None,
    method: int = zipfile.ZIP_DEFLATED,
) -> Path:
    """Write a zip of a manifest and members; gives its path."""
    with zipfile.ZipFile(path, "w", method) as packed:
        for name, content in MEMBERS.items() if members is None else members:
            packed.writestr(name, content)
        text = said if isinstance(said, bytes) else json.dumps(manifest() if said is None else said)
        packed.writestr("manifest.json", text)
    return path

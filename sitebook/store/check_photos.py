"""Looks whether the original of every photo lies beside the book and is what it was."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from sitebook.store.asking import asked, told
from sitebook.store.book import Book
from sitebook.store.photos import photo_folder, photo_path, sha256_of

Progress = Callable[[str, int, int], None]


def silent(_what: str, _done: int, _all: int) -> None:
    """Tell nobody how far it is."""


def originals(book: Book, progress: Progress = silent) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Give what is wrong with the originals, and remarks on files that belong to no photo.

    Every original is read whole, so this takes as long as reading the folder.
    """
    rows = asked(book, "SELECT sha256, media_type, file_name FROM photo ORDER BY id")
    faults, expected = [], set()
    for done, (sha256, media_type, file_name) in enumerate(rows, start=1):
        path = photo_path(book.path, str(sha256), str(media_type))
        expected.add(path)
        fault = _fault(path, str(sha256))
        if fault:
            faults.append(f"{path.parent.name}/{path.name} ({file_name}) {fault}")
        progress("photos", done, len(rows))
    return told(faults), _strangers(photo_folder(book.path), expected)


def _fault(path: Path, sha256: str) -> str | None:
    try:
        found = sha256_of(path)
    except FileNotFoundError:
        return "is missing"
    except OSError as error:
        return f"cannot be read ({error.strerror or error})"
    return None if found == sha256.lower() else "is not what it was: its SHA-256 differs"


def _strangers(folder: Path, expected: set[Path]) -> tuple[str, ...]:
    strange = sorted(p for p in folder.rglob("*") if not p.is_dir() and p not in expected)
    if not strange:
        return ()
    first = strange[0].relative_to(folder.parent).as_posix()
    return (f"files that belong to no photo of the book: {len(strange)}, as {first}",)

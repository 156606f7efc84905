"""Restores a book from a backup: all of it, looked over, where no book lies; or nothing."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sitebook import errors
from sitebook.intake.safekeeping import Backup, opened_backup
from sitebook.outgo.safekeeping import see_onto_disk
from sitebook.records.photo import Photo
from sitebook.records.results.safekeeping import Manifest, Restored
from sitebook.store import check, copying, rows
from sitebook.store.photos import photo_folder, photo_path, sha256_of
from sitebook.store.tables import SCHEMA_HEAD
from sitebook.work.answer import Answer, Progress, silent
from sitebook.work.opening import opened
from sitebook.work.safekeeping import (
    give_name,
    require_room,
    see_folder_onto_disk,
    told_of_place,
    workplace_beside,
)

_LEFTOVERS = ("-journal", "-wal", "-shm")


def restore(zip_path: Path, to: Path, *, progress: Progress = silent) -> Answer[Restored]:
    """Take book and photos out of a backup, each byte held to the manifest, and look the book over.

    Parameters
    ----------
    zip_path
        The backup.
    to
        Where the book goes; its photos go into the folder beside it.
    progress
        Told after each file.

    Raises
    ------
    BookExists
        When a book, a journal or another photo lies where one of its files goes.
    FileMissing, FileNotRecognised, FileTooLarge, BackupDamaged, BookTooNew
        When the backup cannot be used.
    FileNotWritable
        When there is no room or no right to write; then nothing is left.
    """
    _require_place(to)
    with opened_backup(zip_path) as backup, told_of_place(to), workplace_beside(to) as workplace:
        manifest = backup.manifest
        _require_known(zip_path, manifest.origin.schema)
        require_room(to, sum(member.size_bytes for member in manifest.members))
        book = workplace / "book.gpkg"
        _take_out(backup, book, progress)
        upgrade_needed = _look_into(zip_path, book, manifest)
        _lay_photos(book, to, manifest)
        give_name(book, to)
    faults = () if upgrade_needed else _faults(to, progress)
    return Answer(Restored(to, manifest, upgrade_needed, faults))


def _require_place(to: Path) -> None:
    if to.exists():
        raise errors.BookExists(
            "a file already lies here",
            where=str(to),
            remedy="Name another place with --book, or move that file away first.",
        )
    for leftover in _LEFTOVERS:
        beside = to.with_name(to.name + leftover)
        if beside.exists():
            raise errors.BookExists(
                "this belongs to a book that lay here before and would spoil the restored one",
                where=str(beside),
                remedy="Move it to where that book went, or name another place with --book.",
            )


def _require_known(zip_path: Path, schema: str) -> None:
    if schema > SCHEMA_HEAD:
        raise errors.BookTooNew(
            "the book in this backup was written by a newer sitebook",
            where=str(zip_path),
            remedy="Install the newer sitebook, then restore again; nothing was restored.",
        )


def _take_out(backup: Backup, book: Path, progress: Progress) -> None:
    """Write the members into the workplace under names of our own; those in the zip are never used."""
    for done, member in enumerate(backup.manifest.members, start=1):
        is_book = member.name == backup.manifest.origin.book_name
        place = book if is_book else photo_folder(book) / Path(member.name).name
        place.parent.mkdir(exist_ok=True)
        with place.open("xb") as file:
            for chunk in backup.chunks(member):
                file.write(chunk)
            see_onto_disk(file)
        progress("files restored", done, len(backup.manifest.members))


def _look_into(zip_path: Path, book: Path, manifest: Manifest) -> bool:
    """Look whether the book is whole and has its photos; gives whether its tables are older ones."""
    with _told_of(zip_path):
        copying.require_whole(book)
        try:
            with opened(book) as restored:
                photos = rows.records(restored, Photo, withdrawn=True)
        except errors.BookTooOld:
            return True
    held = {Path(member.name).name for member in manifest.members[1:]}
    known_missing = {Path(name).name for name in manifest.missing}
    for photo in photos:
        name = photo_path(book, photo.sha256, photo.media_type).name
        if name not in held | known_missing:
            raise errors.BackupDamaged(
                f"this backup lacks the photo {photo.file_name}",
                where=str(zip_path),
                remedy="Take another copy; nothing was restored from this one.",
            )
    return False


@contextmanager
def _told_of(zip_path: Path) -> Iterator[None]:
    """Tell an accident with the unpacked book as one of the backup it came out of."""
    try:
        yield
    except (errors.BookDamaged, errors.NotABook, errors.BookNotWritable) as error:
        raise errors.BackupDamaged(
            f"the book in this backup cannot be used: {error.what}",
            where=str(zip_path),
            remedy="Take another copy; nothing was restored from this one.",
        ) from error
    except errors.BookTooNew as error:
        error.where = str(zip_path)
        raise


def _lay_photos(book: Path, to: Path, manifest: Manifest) -> None:
    """Move the photos to their places; those that lie there already, byte for byte, are left alone."""
    unpacked, moves = photo_folder(book), []
    for member in manifest.members[1:]:
        name = Path(member.name).name
        place = photo_folder(to) / name[:2] / name
        if not place.exists():
            moves.append((unpacked / name, place))
        elif sha256_of(place) != member.sha256:
            raise errors.BookExists(
                "another file lies where a photo of the backup goes",
                where=str(place),
                remedy="Move the folder of photos away first, or name another place with --book.",
            )
    laid: list[Path] = []
    try:
        for unpacked_photo, place in moves:
            place.parent.mkdir(parents=True, exist_ok=True)
            unpacked_photo.rename(place)
            laid.append(place)
    except OSError:
        for place in laid:
            place.unlink(missing_ok=True)
        raise
    for folder in {place.parent for place in laid}:
        see_folder_onto_disk(folder)


def _faults(path: Path, progress: Progress) -> tuple[str, ...]:
    with opened(path) as book:
        lines = check.look_over(book, progress)
    return tuple(f"{line.looked_at}: {fault}" for line in lines for fault in line.faults)

"""Backs a book up: one zip of the book and its photos, read back before it gets its name."""

from __future__ import annotations

import datetime
import math
import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import sitebook
from sitebook import errors
from sitebook.intake.safekeeping import opened_backup
from sitebook.outgo.safekeeping import pack
from sitebook.records.photo import Photo
from sitebook.records.results.safekeeping import BackedUp, BackupOrigin, Manifest
from sitebook.store import copying, rows
from sitebook.store.book import opened as opened_in_store
from sitebook.store.photos import photo_folder, photo_path
from sitebook.store.tables import SCHEMA_HEAD
from sitebook.work.answer import Answer, Progress, silent
from sitebook.work.opening import Book, book_row

SUFFIX = ".zip"


def back_up(
    book: Book,
    *,
    to: Path | None,
    now: datetime.datetime,
    today: datetime.date,
    replace: bool = False,
    progress: Progress = silent,
) -> Answer[BackedUp]:
    """Write one zip of the book and the originals of its photos, while others may use the book.

    Parameters
    ----------
    book
        The open book.
    to
        The zip's name; a folder for a dated name in it; None for a dated name beside the book.
    now
        Instant of the backup, UTC.
    today
        Her local date, for the dated name.
    replace
        Whether a file of that name may be replaced, once the new one is whole.
    progress
        Told after each file.

    Raises
    ------
    BadArgument
        When the name is neither a zip's nor that of a folder.
    BookExists
        When a file has that name already.
    BookBusy, BookDamaged
        When the book cannot be copied whole.
    FileNotWritable
        When the zip cannot be written; then nothing of it is left.
    """
    target = _target(book.path, to, today, replace=replace)
    with told_of_place(target), workplace_beside(target) as workplace:
        partial, copy = workplace / "partial.zip", workplace / "book.gpkg"
        require_room(target, book.path.stat().st_size)
        copying.copy_aside(book.path, copy)
        copying.require_whole(copy)
        origin, originals = _contents(book.path, copy, now)
        places = [place for _, _, place in originals]
        require_room(target, sum(place.stat().st_size for place in places if place.is_file()))
        manifest = pack(partial, origin, copy, originals, progress)
        _read_back(partial, target, manifest, progress)
        give_name(partial, target, replace=replace)
        return Answer(BackedUp(target, target.stat().st_size, manifest))


def _target(book_path: Path, to: Path | None, today: datetime.date, *, replace: bool) -> Path:
    if to is None or to.is_dir():
        return _dated(book_path, book_path.parent if to is None else to, today)
    if to.suffix.lower() != SUFFIX:
        raise errors.BadArgument(
            f"'{to}' is neither the name of a zip nor a folder that is there",
            remedy="Name a file that ends in .zip, or an existing folder; is the stick in?",
        )
    if to.exists() and not replace:
        raise _taken(to)
    return to


def _dated(book_path: Path, folder: Path, today: datetime.date) -> Path:
    stem, number = f"{book_path.stem}-{today.isoformat()}", 1
    target = folder / f"{stem}{SUFFIX}"
    while target.exists():
        number += 1
        target = folder / f"{stem}-{number}{SUFFIX}"
    return target


def _taken(target: Path) -> errors.BookExists:
    return errors.BookExists(
        "a file already has this name",
        where=str(target),
        remedy="Choose another name, or replace that file with --replace.",
    )


@contextmanager
def told_of_place(target: Path) -> Iterator[None]:
    """Turn an accident of the disk inside the block into one of our errors."""
    try:
        yield
    except OSError as error:
        raise errors.FileNotWritable(
            f"it cannot be written ({error.strerror or error})",
            where=str(target),
            remedy="Make room, lift the write protection, or name another place; the book is as it was.",
        ) from error


@contextmanager
def workplace_beside(target: Path) -> Iterator[Path]:
    """Give a folder on the target's own disk, gone when the block ends."""
    if not target.parent.is_dir():
        raise errors.FileNotWritable(
            "there is no such folder", where=str(target.parent), remedy="Make it first; is the stick in?"
        )
    workplace = Path(tempfile.mkdtemp(dir=target.parent, prefix=f".{target.name}."))
    try:
        yield workplace
    finally:
        shutil.rmtree(workplace, ignore_errors=True)


def _contents(
    book_path: Path, copy: Path, now: datetime.datetime
) -> tuple[BackupOrigin, list[tuple[str, str, Path]]]:
    with opened_in_store(copy) as copied:
        row = book_row(copied)
        photos = rows.records(copied, Photo, withdrawn=True)
    origin = BackupOrigin(
        book_name=book_path.name,
        book_uuid=row.uuid,
        title=row.title,
        revision=row.revision,
        schema=SCHEMA_HEAD,
        made_with=sitebook.__version__,
        made_at=now.replace(microsecond=now.microsecond // 1000 * 1000),
    )
    folder = photo_folder(book_path)
    places = [(photo.sha256, photo_path(book_path, photo.sha256, photo.media_type)) for photo in photos]
    return origin, [(place.relative_to(folder.parent).as_posix(), sha256, place) for sha256, place in places]


def require_room(target: Path, needed_bytes: int) -> None:
    """Refuse to begin what the disk has no room for, at once and not after half an hour's writing.

    Raises
    ------
    FileNotWritable
        With what is needed and what is free.
    """
    free_bytes = shutil.disk_usage(target.parent).free
    if needed_bytes > free_bytes:
        needed, free = (math.ceil(needed_bytes / 1e6), math.floor(free_bytes / 1e6))
        raise errors.FileNotWritable(
            f"the disk is too full: {needed} MB are needed, {free} MB are free",
            where=str(target),
            remedy="Make room, or name another place; the book is as it was.",
        )


def _read_back(partial: Path, target: Path, manifest: Manifest, progress: Progress) -> None:
    """Read every byte back as a restore would; the book's copy itself was looked at page by page."""
    try:
        with opened_backup(partial) as backup:
            same = backup.manifest == manifest
            for done, member in enumerate(backup.manifest.members, start=1):
                for _ in backup.chunks(member):
                    pass
                progress("files read back", done, len(manifest.members))
    except errors.SitebookError:
        same = False
    if not same:
        raise errors.FileNotWritable(
            "what was written there cannot be read back the same",
            where=str(target),
            remedy="The disk or stick is failing: use another; nothing was left there.",
        )


def give_name(partial: Path, target: Path, *, replace: bool = False) -> None:
    """Move a whole file to its name in one step, over another file only when that is wanted.

    Raises
    ------
    BookExists
        When a file took the name in the meantime.
    """
    if replace:
        partial.replace(target)
    else:
        try:
            target.hardlink_to(partial)
        except FileExistsError as error:
            raise _taken(target) from error
        except OSError as error:
            if target.exists():
                raise _taken(target) from error
            partial.rename(target)
    see_folder_onto_disk(target.parent)


def see_folder_onto_disk(folder: Path) -> None:
    """Have the system write down a folder's list of names, where it can do so for a folder."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    except OSError:
        return
    finally:
        os.close(handle)

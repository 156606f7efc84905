"""Reads a folder of pictures as one file."""

from __future__ import annotations

import dataclasses
import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from sitebook import errors
from sitebook.intake.photo import name_within, pictures_in, read_photo
from sitebook.records.incoming import Draft, Reading, SortedLine
from sitebook.store import photos
from sitebook.work.answer import Progress


@dataclass(frozen=True)
class FolderRead:
    """A folder of pictures as read.

    Parameters
    ----------
    reading
        What its pictures gave, with a line for each thing in it that is none.
    originals
        Where each original lies, by its SHA-256.
    """

    reading: Reading
    originals: Mapping[str, Path]


def folder_sha256(folder: Path) -> str:
    """Give one SHA-256 for all pictures of a folder, whatever they are called, in hex.

    Raises
    ------
    FileNotRecognised
        When the folder holds no picture.
    FileMissing
        When one of them cannot be read.
    """
    try:
        each = sorted(photos.sha256_of(path) for path in pictures_in(folder).pictures)
    except OSError as error:
        raise errors.FileMissing(
            f"a file of the folder cannot be read ({error.strerror})",
            where=str(folder),
            remedy="See that its disk is still there.",
        ) from error
    return hashlib.sha256("\n".join(dict.fromkeys(each)).encode()).hexdigest()


def read_folder(folder: Path, *, zone: str, progress: Progress) -> FolderRead:
    """Read all pictures of a folder; what is no picture, or is broken as a whole, is left out by name."""
    inside = pictures_in(folder)
    drafts: list[Draft] = []
    lines = list(inside.left_out)
    originals: dict[str, Path] = {}
    for done, path in enumerate(inside.pictures):
        progress(f"reading {name_within(path, folder)}", done, len(inside.pictures))
        name = name_within(path, folder)
        try:
            reading = read_photo(path, zone=zone)
        except errors.SitebookError as error:
            lines.append(SortedLine("left out", f"{name}: {error.what}"))
            continue
        sha256 = reading.drafts[0].identity
        if sha256 in originals:
            same = name_within(originals[sha256], folder)
            lines.append(SortedLine("left out", f"{name}: the same picture as {same}"))
            continue
        originals[sha256] = path
        drafts += reading.drafts
        lines += [dataclasses.replace(line, reason=f"{name}: {line.reason}") for line in reading.sorted_lines]
    how_many = f"{len(originals)} photo" + ("" if len(originals) == 1 else "s")
    return FolderRead(Reading(f"folder of {how_many}", tuple(drafts), tuple(lines)), originals)

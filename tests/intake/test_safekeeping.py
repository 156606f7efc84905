"""Tests that nothing is taken out of a backup that is not exactly what its manifest says."""

from __future__ import annotations

import random
import stat
import zipfile
from pathlib import Path

import pytest

from sitebook import errors
from sitebook.intake.safekeeping import opened_backup
from tests.intake.zips import MEMBERS, PHOTO, PHOTO_NAME, PHOTO_SHA256, made, manifest

SEEDS = 400


def _taken_out(path: Path) -> dict[str, bytes]:
    with opened_backup(path) as backup:
        return {member.name: b"".join(backup.chunks(member)) for member in backup.manifest.members}


def test_a_whole_backup_gives_every_byte(tmp_path: Path) -> None:
    path = made(tmp_path / "a.zip")
    assert _taken_out(path) == MEMBERS
    with opened_backup(path) as backup:
        origin = backup.manifest.origin
    assert (origin.book_name, origin.title, origin.revision) == ("my book.gpkg", "Mine", 7)
    assert origin.made_at.isoformat() == "2025-10-01T12:00:00+00:00"


def test_a_backup_packed_anew_by_hand_is_still_one(tmp_path: Path) -> None:
    folders = [("my book.gpkg.photos/", b""), ("my book.gpkg.photos/" + PHOTO_SHA256[:2] + "/", b"")]
    path = made(tmp_path / "a.zip", members=[*folders, *MEMBERS.items()], method=zipfile.ZIP_STORED)
    assert _taken_out(path) == MEMBERS


ALTERED = [(name, content.replace(b"one", b"two")) for name, content in MEMBERS.items()]
LONGER = [(name, content + b"!") for name, content in MEMBERS.items()]
SPOILT = {
    "a member altered": (None, ALTERED, "is not what it was"),
    "a member longer": (None, LONGER, "another size"),
    "a member missing": (None, list(MEMBERS.items())[:1], f"'{PHOTO_NAME}' is missing"),
    "a member too many": (None, [*MEMBERS.items(), ("more.txt", b"x")], "'more.txt'"),
    "a member that climbs out": (None, [*MEMBERS.items(), ("../../escaped", b"x")], "which no backup holds"),
    "no book": (manifest({PHOTO_NAME: PHOTO}), None, "name one book"),
    "no members": (manifest({}), None, "name one book"),
    "no list of members": (manifest() | {"members": 3}, None, "lacks something"),
    "a member without a size": (manifest() | {"members": [{"name": "my book"}]}, None, "lacks something"),
    "no instant": (manifest(made_at="yesterday"), None, "lacks something"),
    "no JSON": (b"{", None, "manifest cannot be read"),
    "no text": (b"\xff\xfe", None, "manifest cannot be read"),
    "a bottomless manifest": (b"[" * 100_000, None, "manifest cannot be read"),
}  # fmt: skip


@pytest.mark.parametrize("spoilt", list(SPOILT))
def test_a_backup_that_is_not_what_it_says_is_refused(spoilt: str, tmp_path: Path) -> None:
    said, members, told = SPOILT[spoilt]
    path = made(tmp_path / "a.zip", said, members)
    with pytest.raises(errors.BackupDamaged, match="not whole") as refused:
        _taken_out(path)
    assert told in str(refused.value)
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize(
    "name",
    [
        "../escaped.gpkg",
        "/etc/passwd",
        "..",
        ".hidden.gpkg",
        "C:\\book.gpkg",
        "a/b.gpkg",
        "my book.gpkg.photos/zz/" + "z" * 64 + ".jpg",
        f"other.gpkg.photos/{PHOTO_SHA256[:2]}/{PHOTO_SHA256}.jpg",
        f"my book.gpkg.photos/../{PHOTO_SHA256}.jpg",
        f"my book.gpkg.photos/{PHOTO_SHA256[:2]}/{PHOTO_SHA256}.jpg/../x",
    ],
)
def test_a_name_that_leads_elsewhere_is_refused(name: str, tmp_path: Path) -> None:
    members = {"my book.gpkg": b"x", name: b"x"}
    path = made(tmp_path / "a.zip", manifest(members), members.items())
    with pytest.raises(errors.BackupDamaged):
        _taken_out(path)
    as_book = {name: b"x"}
    path = made(tmp_path / "b.zip", manifest(as_book, book_name=name), as_book.items())
    if "/" in name or "\\" in name or name.startswith("."):
        with pytest.raises(errors.BackupDamaged):
            _taken_out(path)


def test_two_parts_of_one_name_are_refused(tmp_path: Path) -> None:
    with pytest.warns(UserWarning, match="Duplicate name"):
        path = made(tmp_path / "a.zip", members=[*MEMBERS.items(), ("my book.gpkg", b"other")])
    with pytest.raises(errors.BackupDamaged, match="two of its parts have one name"):
        _taken_out(path)


def test_a_link_in_the_place_of_a_file_is_refused(tmp_path: Path) -> None:
    link = zipfile.ZipInfo(PHOTO_NAME)
    link.external_attr = (stat.S_IFLNK | 0o777) << 16
    path = made(tmp_path / "a.zip", members=[("my book.gpkg", MEMBERS["my book.gpkg"]), (link, PHOTO)])
    with pytest.raises(errors.BackupDamaged, match="no plain file"):
        _taken_out(path)


def test_a_locked_part_is_refused(tmp_path: Path) -> None:
    path = made(tmp_path / "a.zip")
    content = bytearray(path.read_bytes())
    at = content.rindex(b"PK\x01\x02", 0, content.index(PHOTO_NAME.encode(), content.index(b"PK\x01\x02")))
    content[at + 8] |= 1
    path.write_bytes(bytes(content))
    with pytest.raises(errors.BackupDamaged, match="locked"):
        _taken_out(path)


def test_a_bomb_is_refused_before_it_goes_off(tmp_path: Path) -> None:
    members = {"my book.gpkg": bytes(60_000_000)}
    path = made(tmp_path / "a.zip", manifest(members), members.items())
    assert path.stat().st_size < 100_000
    with pytest.raises(errors.FileTooLarge, match="would unpack to 60 MB"):
        _taken_out(path)


def test_a_manifest_that_is_a_bomb_is_refused(tmp_path: Path) -> None:
    path = made(tmp_path / "a.zip", b" " * 70_000_000)
    with pytest.raises(errors.FileTooLarge, match=r"'manifest\.json' would unpack to 70 MB"):
        _taken_out(path)


def test_a_newer_form_of_backup_is_told(tmp_path: Path) -> None:
    path = made(tmp_path / "a.zip", manifest(format_version=2))
    with pytest.raises(errors.BookTooNew, match="newer sitebook"):
        _taken_out(path)


@pytest.mark.parametrize("said", [{"format": "another's"}, [], 3, None])
def test_another_zip_is_no_backup(said: object, tmp_path: Path) -> None:
    path = made(tmp_path / "a.zip", said if said is not None else manifest(format="x"))
    with pytest.raises(errors.FileNotRecognised, match="sitebook import"):
        _taken_out(path)


def test_a_zip_without_a_manifest_is_no_backup(tmp_path: Path) -> None:
    with zipfile.ZipFile(tmp_path / "a.zip", "w") as packed:
        packed.writestr("letter.txt", "Dear")
    with pytest.raises(errors.FileNotRecognised):
        _taken_out(tmp_path / "a.zip")


@pytest.mark.parametrize("content", [b"", b"PK", b"\xff\xd8\xff picture", b"SQLite format 3\x00"])
def test_another_file_is_no_backup(content: bytes, tmp_path: Path) -> None:
    path = tmp_path / "a.zip"
    path.write_bytes(content)
    with pytest.raises(errors.FileNotRecognised):
        _taken_out(path)


def test_no_file_and_a_folder_are_told(tmp_path: Path) -> None:
    for path in (tmp_path / "none.zip", tmp_path):
        with pytest.raises(errors.FileMissing):
            _taken_out(path)


@pytest.mark.parametrize("part", [0.05, 0.5, 0.95, 0.999])
def test_a_backup_cut_off_is_told(part: float, tmp_path: Path) -> None:
    path = made(tmp_path / "a.zip")
    content = path.read_bytes()
    path.write_bytes(content[: int(len(content) * part)])
    with pytest.raises(errors.BackupDamaged, match="its end is missing"):
        _taken_out(path)


def test_no_spoilt_byte_brings_out_another_byte(tmp_path: Path) -> None:
    path = made(tmp_path / "a.zip")
    whole, noise = path.read_bytes(), random.Random(5)  # noqa: S311
    refused = 0
    for _ in range(SEEDS):
        content = bytearray(whole)
        for _ in range(noise.randrange(1, 4)):
            content[noise.randrange(len(content))] = noise.randrange(256)
        path.write_bytes(bytes(content))
        try:
            found = _taken_out(path)
        except errors.SitebookError:
            refused += 1
        else:
            assert found == MEMBERS
    assert refused > SEEDS // 2

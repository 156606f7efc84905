"""Spoils small files of every format ten thousand times: each is read, or refused in words."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from pathlib import Path
from typing import get_args

import pytest

from sitebook.errors import SitebookError
from sitebook.intake.field_return import read_field_return
from sitebook.intake.gpx import read_gpx
from sitebook.intake.osm import read_osm
from sitebook.intake.photo import read_photo
from sitebook.intake.recognise import Format, recognise
from sitebook.intake.table import read_table
from sitebook.intake.weather import read_weather
from sitebook.records.columns import column_types, meanings
from sitebook.records.incoming import Draft, Reading
from sitebook.records.kinds import KINDS
from tests.intake.mutations import samples, spoilt

READERS: dict[str, Callable[..., Reading]] = {
    "gpx": read_gpx,
    "osm": read_osm,
    "table": read_table,
    "weather": read_weather,
    "entries": read_field_return,
    "photo": read_photo,
}
ROUNDS, EACH = 20, 500
ZONE = "Pacific/Kiritimati"
"""The zone farthest from universal time, where dates overflow first."""


def _read(path: Path, reader: str | None = None) -> Reading | None:
    """Read a file as it is recognised, or with a reader it was not made for; None where it is refused."""
    try:
        return READERS[reader or recognise(path)](path, zone=ZONE)
    except SitebookError as refused:
        told = str(refused)
        assert told.isprintable()
        assert len(told) < 3000
        return None


def _is_sound(reading: Reading) -> None:
    for draft in reading.drafts:
        columns = meanings(KINDS[draft.kind])
        assert draft.values.keys() | draft.refers.keys() <= columns.keys(), draft
        assert draft.identity
        _has_right_types(draft)
    assert all(line.reason for line in reading.sorted_lines)


def _has_right_types(draft: Draft) -> None:
    types = column_types(KINDS[draft.kind])
    for name, value in draft.values.items():
        python = types[name].python
        fits = isinstance(value, (int, float)) if python is float else isinstance(value, python)
        assert value is None or fits, (draft.kind, name, value)


def test_every_format_has_a_sample_that_is_read(tmp_path: Path) -> None:
    for name, content in samples().items():
        path = tmp_path / "file"
        path.write_bytes(content)
        reading = _read(path)
        assert reading is not None, name
        assert reading.drafts, name
        assert reading.refused == (), (name, reading.refused)
        _is_sound(reading)
    assert set(READERS) == set(get_args(Format))


@pytest.mark.parametrize("round_number", range(ROUNDS))
def test_ten_thousand_spoilt_files_are_read_or_refused_in_words(tmp_path: Path, round_number: int) -> None:
    path = tmp_path / "file"
    others = list(READERS)
    for seed in range(round_number * EACH, (round_number + 1) * EACH):
        name, content = spoilt(seed)
        path.write_bytes(content)
        try:
            for reader in (None, others[seed % len(others)]) if seed % 4 == 0 else (None,):
                reading = _read(path, reader)
                if reading is not None:
                    _is_sound(reading)
        except Exception as fault:  # noqa: BLE001 - whatever it is, the seed must be told
            pytest.fail(f"seed {seed}, a spoilt {name}: {type(fault).__name__}: {fault}")
    assert path.exists()


def test_the_same_seed_spoils_alike() -> None:
    once, again = (hashlib.sha256(b"".join(spoilt(seed)[1] for seed in range(200))) for _ in range(2))
    assert once.hexdigest() == again.hexdigest()

"""Tests that a find which was told as kept is there, whenever the program or the machine stops."""

from __future__ import annotations

import os
import random
import shutil
import signal
import sqlite3
import time
from contextlib import closing
from pathlib import Path

import pytest

from sitebook.store.book import opened
from sitebook.store.geopackage import register_functions
from tests.store.breaking import faults
from tests.store.finds import find, held, kept_one_by_one
from tests.store.forking import forked
from tests.work import books

CHILDREN = 200
LONGEST_S = 0.03
UUID_BYTES = 36
INSERT = """INSERT INTO find (uuid, created_at, changed_at, collector_id, position_source, count_of, note)
    VALUES (?, '2025-10-01T12:00:00.000Z', '2025-10-01T12:00:00.000Z', 1, 'not known', 'bodies', ?)"""


def _keep_and_tell(path: Path, telling: int) -> None:
    with opened(path) as book:
        for kept in kept_one_by_one(book):
            os.write(telling, kept.encode())


def _killed(path: Path, after_s: float) -> list[str]:
    """Kill a child some time after the first find it told; gives all that it told as kept."""
    child, reading = forked(lambda telling: _keep_and_tell(path, telling))
    with os.fdopen(reading, "rb", buffering=0) as pipe:
        told = pipe.read(UUID_BYTES) or b""
        time.sleep(after_s)
        os.kill(child, signal.SIGKILL)
        while more := pipe.read(1 << 16):
            told += more
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status), "the child ended by itself"
    return [told[at : at + UUID_BYTES].decode() for at in range(0, len(told), UUID_BYTES)]


def _journal(path: Path) -> Path:
    return path.with_name(path.name + "-journal")


def test_every_find_told_as_kept_is_there_after_each_of_200_kills(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    moments = random.Random(11)  # noqa: S311
    told: set[str] = set()
    cut_off = 0
    for _ in range(CHILDREN):
        kept = _killed(path, moments.uniform(0, LONGEST_S))
        assert kept
        told.update(kept)
        cut_off += _journal(path).exists()
        assert told <= held(path)
        assert books.only(path, "PRAGMA quick_check(1)") == ("ok",)
    assert len(told) > CHILDREN
    assert cut_off > 0, "no child was killed in the middle of a change"
    assert len(held(path) - told) <= CHILDREN
    assert faults(path) == {}


def test_a_find_is_there_whole_or_not_at_all(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    moments = random.Random(12)  # noqa: S311
    for _ in range(10):
        _killed(path, moments.uniform(0, LONGEST_S))
    finds = books.only(path, "SELECT count(*) FROM find")
    assert finds == books.only(path, "SELECT count(*) FROM rtree_find_geom")
    assert finds == books.only(path, "SELECT revision - 1 FROM book")


@pytest.mark.parametrize("spilled", [False, True])
def test_a_copy_taken_in_the_middle_of_writing_opens_as_it_was_before(spilled: bool, tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    before = books.contents(path)
    copy = tmp_path / "copied" / path.name
    copy.parent.mkdir()
    with closing(sqlite3.connect(path, isolation_level=None)) as writer:
        register_functions(writer)
        writer.execute(f"PRAGMA cache_size={1 if spilled else 2000}")
        writer.execute("BEGIN IMMEDIATE")
        for number in range(200):
            one = find(number)
            writer.execute(INSERT, (one.uuid, "x" * 2000))
        for place in (path, _journal(path)):
            shutil.copyfile(place, copy.with_name(place.name))
        writer.execute("COMMIT")
    assert copy.read_bytes() != path.read_bytes()
    assert _journal(copy).exists()
    with opened(copy):
        pass
    assert books.contents(copy) == before
    assert faults(copy) == {}
    assert len(held(path)) == 200

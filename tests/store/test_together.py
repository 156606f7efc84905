"""Tests that programs which write in one book at once wait for each other and lose nothing."""

from __future__ import annotations

import json
import os
from pathlib import Path

from sitebook.store.copying import copy_aside
from tests.store.breaking import faults
from tests.store.finds import held, write
from tests.store.forking import all_told, forked
from tests.work import books

WRITERS, FINDS = 3, 25
PATIENCE_S = 60.0


def _started(path: Path) -> tuple[int, int]:
    """Start a child that writes finds and tells those it was told are kept."""

    def work(telling: int) -> None:
        os.write(telling, json.dumps(write(path, FINDS, PATIENCE_S)).encode())

    return forked(work)


def _told(child: int, reading: int) -> list[str]:
    return [str(uuid) for uuid in json.loads(all_told(child, reading))]


def test_writers_at_once_wait_and_every_find_is_there(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    before = books.revision(path)
    told = [uuid for child in [_started(path) for _ in range(WRITERS)] for uuid in _told(*child)]
    assert len(set(told)) == WRITERS * FINDS
    assert held(path) == set(told)
    assert books.revision(path) == before + WRITERS * FINDS
    assert faults(path) == {}


def test_copies_taken_while_others_write_are_whole_and_grow(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    children = [_started(path) for _ in range(2)]
    copies = [tmp_path / f"copy-{number}.gpkg" for number in range(4)]
    for copy in copies:
        copy_aside(path, copy, PATIENCE_S)
    told = {uuid for child in children for uuid in _told(*child)}
    assert held(path) == told
    earlier: set[object] = set()
    for copy in copies:
        assert earlier <= held(copy) <= told
        earlier = held(copy)
        assert faults(copy) == {}

"""Fits that are kept come back bit by bit, and bytes of anything else are refused."""

from __future__ import annotations

import dataclasses
import io
import pickle
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sitebook.analysis.season import kept_fit, model
from sitebook.analysis.season.design import chosen_looks
from sitebook.analysis.season.held_out import Way
from sitebook.analysis.season.kept_fit import KeptFit, hash_of, packed, unpacked
from sitebook.analysis.season.prior import MonthSpan, season_prior
from tests.analysis.season.worlds import World, matched


def _fit(finds: float = 20.0) -> KeptFit:
    world = matched(5)
    past = world.past(finds, np.random.default_rng(5))
    return KeptFit(model.fit(past, world.prior), Way("season model", "It is used — because.", 3.5, 4))


@cache
def _world() -> World:
    return matched(5)


@cache
def _good() -> bytes:
    return packed(_fit())


def _arrays() -> dict[str, Any]:
    with np.load(io.BytesIO(_good())) as arrays:
        return dict(arrays)


def _archive(arrays: dict[str, Any], *, deflated: bool = True) -> bytes:
    written = io.BytesIO()
    (np.savez_compressed if deflated else np.savez)(written, **arrays)
    return written.getvalue()


class _Trap:
    def __init__(self, path: str) -> None:
        self._path = path

    def __reduce__(self) -> tuple[Any, tuple[str, str]]:
        return open, (self._path, "w")


def _same(one: Any, other: Any) -> bool:  # noqa: ANN401 - parts of any record
    if dataclasses.is_dataclass(one):
        return all(_same(getattr(one, f.name), getattr(other, f.name)) for f in dataclasses.fields(one))
    if isinstance(one, tuple):
        return len(one) == len(other) and all(map(_same, one, other))
    if isinstance(one, np.ndarray):
        return one.dtype == other.dtype and np.array_equal(one, other, equal_nan=one.dtype.kind == "f")
    return type(one) is type(other) and bool(one == other)


@pytest.mark.parametrize("finds", [0.0, 20.0])
def test_a_fit_comes_back_bit_by_bit(finds: float) -> None:
    kept = _fit(finds)
    assert _same(unpacked(packed(kept)), kept)


@settings(max_examples=10, deadline=None)
@given(st.integers(1, 50), st.floats(0.0, 12.0), st.sampled_from(["season model", "pooled ratio"]), st.text())
def test_any_fit_comes_back_bit_by_bit(seed: int, finds: float, way: str, said: str) -> None:
    world = _world()
    past = world.past(finds, np.random.default_rng(seed))
    past = chosen_looks(past, np.arange(0, len(past), 1 + seed % 3))
    said = said.rstrip("\0")
    kept = KeptFit(model.fit(past, world.prior), Way(way, said, finds, seed))
    assert _same(unpacked(packed(kept)), kept)


@settings(max_examples=150, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0.0, 1.0, exclude_max=True), st.integers(0, 255)), min_size=1, max_size=4)
)
def test_damaged_bytes_are_refused_or_harmless(damage: list[tuple[float, int]]) -> None:
    bad = bytearray(_good())
    for place, byte in damage:
        bad[int(place * len(bad))] = byte
    try:
        found = unpacked(bytes(bad))
    except ValueError:
        return
    assert _same(found, unpacked(_good()))


def test_arrays_that_do_not_go_together_are_refused() -> None:
    arrays = _arrays()
    held = {"layout", "kept.fit.prior.said", "kept.way.said"}
    for name in sorted(arrays.keys() - held):
        for other in (np.zeros((2, 1)), np.array("x"), np.array(np.nan), np.array([object()])):
            with pytest.raises(ValueError, match="kept season"):
                unpacked(_archive({**arrays, name: other}))
    for name, other in {
        "kept.fit.levels.tree_site": np.full(12, 9),
        "kept.fit.levels.sites": np.array([3, 2, 1, 0]),
        "kept.fit.spreads.tree": np.array(-1.0),
        "kept.way.name": np.array("coin"),
        "kept.way.came_finds": np.array(-1),
    }.items():
        with pytest.raises(ValueError, match="kept season"):
            unpacked(_archive({**arrays, name: other}))


def test_nothing_in_the_bytes_is_run(tmp_path: Path) -> None:
    trap = tmp_path / "sprung"
    arrays = {**_arrays(), "kept.fit.mean": np.array([_Trap(str(trap))], dtype=object)}
    with pytest.raises(ValueError, match="kept season"):
        unpacked(_archive(arrays))
    assert not trap.exists()


def test_an_archive_that_inflates_too_far_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    arrays = _arrays()
    with pytest.raises(ValueError, match="kept season"):
        unpacked(_archive(arrays, deflated=False))
    monkeypatch.setattr(kept_fit, "MOST_BYTES", 1_000)
    with pytest.raises(ValueError, match="kept season"):
        unpacked(_archive(arrays))


def test_bytes_of_anything_else_are_refused() -> None:
    good = packed(_fit())
    for bad in (b"", good[:200], good[:-40], b"PK\x03\x04", pickle.dumps({"layout": 1}), b"x" * 500):
        with pytest.raises(ValueError, match="kept season"):
            unpacked(bad)


def test_another_layout_is_fitted_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    good = packed(_fit())
    monkeypatch.setattr(kept_fit, "LAYOUT", 99)
    with pytest.raises(ValueError, match="another layout"):
        unpacked(good)


def test_the_hash_changes_with_every_look_and_with_the_books() -> None:
    world = matched(5)
    past = world.past(20.0, np.random.default_rng(5))
    fewer = chosen_looks(past, np.arange(len(past) - 1))
    turned = dataclasses.replace(past, found=~past.found)
    other = season_prior([MonthSpan(3, 4)])
    hashes = [hash_of(past, world.prior), hash_of(fewer, world.prior), hash_of(turned, world.prior)]
    assert len({*hashes, hash_of(past, other)}) == 4
    assert hash_of(past, world.prior) == hashes[0]

"""Fits that are kept come back bit by bit, and bytes of anything else are refused."""

from __future__ import annotations

import dataclasses
import pickle
from typing import Any

import numpy as np
import pytest

from sitebook.analysis.season import kept_fit, model
from sitebook.analysis.season.design import chosen_looks
from sitebook.analysis.season.held_out import Way
from sitebook.analysis.season.kept_fit import KeptFit, hash_of, packed, unpacked
from sitebook.analysis.season.prior import MonthSpan, season_prior
from tests.analysis.season.worlds import matched


def _fit(finds: float = 20.0) -> KeptFit:
    world = matched(5)
    past = world.past(finds, np.random.default_rng(5))
    return KeptFit(model.fit(past, world.prior), Way("season model", "It is used — because.", 3.5, 4))


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

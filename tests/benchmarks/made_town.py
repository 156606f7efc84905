"""Makes streets and grounds of a town, by chance but the same in every run, for benchmarks."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

Floats = NDArray[np.float64]

STREET_APART_M = 110.0
BEND_M = 6.0
CLASSES = ((8905.0, 4.5), (1000.0, 3.5), (500.0, 2.5), (250.0, 2.0))
"""Vehicles a day with half the width [m]: of a main road, a collecting one, a street, a dead end."""


@dataclass(frozen=True)
class Streets:
    """Straight pieces of streets.

    Parameters
    ----------
    ends_m
        Both ends of each (n, 2, 2) [m].
    vehicles
        Traffic (n,) [vehicles a day].
    half_width_m
        Half the width (n,) [m].
    """

    ends_m: Floats
    vehicles: Floats
    half_width_m: Floats


def streets(side_m: float, piece_m: float = 30.0, seed: int = 1) -> Streets:
    """Make a bent and turned grid of streets with about 18 km of them a square kilometre."""
    chance = np.random.default_rng(seed)
    pieces: list[Floats] = []
    classes: list[int] = []
    reach = 0.75 * side_m
    for turned in (False, True):
        for number, middle in enumerate(np.arange(-reach, reach, STREET_APART_M)):
            along = -reach + np.cumsum(piece_m * chance.uniform(0.5, 1.5, int(2 * reach / piece_m)))
            bend = BEND_M * np.sin(along / 170.0 + chance.uniform(0, 6))
            across = middle + chance.normal(0, 8) + bend + chance.normal(0, 1.2, along.size)
            corners = np.column_stack([across, along] if turned else [along, across])
            pieces += list(np.stack([corners[:-1], corners[1:]], axis=1))
            kind = 0 if number % 9 == 0 else 1 if number % 3 == 0 else 2 + number % 2
            classes += [kind] * (along.size - 1)
    turn = np.array([[np.cos(0.3), -np.sin(0.3)], [np.sin(0.3), np.cos(0.3)]])
    ends = np.asarray(pieces) @ turn.T + 0.5 * side_m
    kept = np.all((ends.mean(axis=1) > 0) & (ends.mean(axis=1) < side_m), axis=1)
    table = np.asarray(CLASSES)[np.asarray(classes)[kept]]
    order = chance.permutation(len(table))
    return Streets(ends[kept][order], table[order, 0], table[order, 1])


def grounds(how_many: int, side_m: float, corners: int = 12, seed: int = 2) -> NDArray[np.object_]:
    """Make grounds of 11 to 84 m radius with bays, scattered; some overlap."""
    chance = np.random.default_rng(seed)
    middle = chance.uniform(0, side_m, (how_many, 1, 2))
    angle = (np.arange(corners) + chance.uniform(-0.35, 0.35, (how_many, corners))) * (2 * np.pi / corners)
    radius = chance.uniform(20, 70, (how_many, 1)) * chance.uniform(0.55, 1.2, (how_many, corners))
    outline = middle + np.stack([radius * np.cos(angle), radius * np.sin(angle)], axis=-1)
    return np.asarray([shapely.Polygon(each) for each in outline], dtype=object)


def places(how_many: int, side_m: float, seed: int = 3) -> Floats:
    """Make places all over the town [m]."""
    return np.random.default_rng(seed).uniform(0, side_m, (how_many, 2))

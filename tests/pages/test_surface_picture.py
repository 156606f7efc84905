"""Tests that the picture of a surface is a real PNG that lies where the surface does, within its size."""

from __future__ import annotations

import dataclasses
import io

import numpy as np
import pytest
from PIL import Image

from sitebook.ground.projection import LocalMetres
from sitebook.pages import surface_picture
from sitebook.pages.surface_picture import GREY_STEP, StepPicture, grey_png, step_picture
from tests.pages.sample_surface import LEVELS, sample_part


def _steps(png: bytes) -> np.ndarray:
    with Image.open(io.BytesIO(png)) as picture:
        picture.load()
        assert picture.format == "PNG"
        return np.asarray(picture.convert("L")) / GREY_STEP


def _seen(picture: StepPicture, lon: float, lat: float) -> float:
    steps = _steps(picture.png)
    down = np.arctanh(np.sin(np.radians([picture.north, lat, picture.south])))
    row = int((down[0] - down[1]) / (down[0] - down[2]) * steps.shape[0])
    column = int((lon - picture.west) / (picture.east - picture.west) * steps.shape[1])
    return float(steps[row, column])


@pytest.mark.source(
    item="",
    what="PNG of 4 grey bits, odd and even width",
    value="the same numbers back",
    source="reader of Pillow",
    mark="computed",
)
@pytest.mark.parametrize("shape", [(1, 1), (3, 4), (7, 5), (40, 301)])
def test_another_reader_sees_the_same_steps(shape: tuple[int, int]) -> None:
    steps = np.random.default_rng(1).integers(0, 16, shape).astype(np.uint8)
    assert _steps(grey_png(steps)).tolist() == steps.tolist()


@pytest.mark.parametrize("most_bytes", [surface_picture.MOST_BYTES, 400])
def test_a_place_has_the_step_of_its_cell(most_bytes: int) -> None:
    part = sample_part()
    picture = step_picture(part, most_bytes)
    assert len(picture.png) <= most_bytes
    frame = LocalMetres(part.centre_lon, part.centre_lat)
    for east, step in ((0, 4), (50, 3), (150, 2), (290, 1), (500, 0), (-1190, 0)):
        for north in (-900, 0, 900):
            lon, lat = frame.to_degrees([(east, north)])[0]
            assert _seen(picture, lon, lat) == step


def test_a_square_shows_its_highest_cell() -> None:
    part = sample_part()
    index = np.zeros_like(part.index)
    index[200, 251] = 2.0
    seen = step_picture(dataclasses.replace(part, index=index), 60)
    assert seen.square_m > part.cell_m
    assert _steps(seen.png).max() == len(LEVELS)


def test_a_large_ground_is_drawn_in_larger_squares(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(surface_picture, "MOST_PIXELS", 30_000)
    picture = step_picture(sample_part())
    assert picture.square_m == 15.0
    assert _steps(picture.png).size <= 30_000

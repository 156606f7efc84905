"""Tests of the road index on the map in a browser: switched on, drawn by step, switched off."""

from __future__ import annotations

import dataclasses
from typing import TYPE_CHECKING

import pytest

from sitebook.pages.map import draw_map
from tests.pages.sample_map import sample_map
from tests.pages.sample_surface import sample_surface

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Page

DESK, PHONE = (1280, 800), (390, 844)

INK = """(east) => {
  const canvas = document.querySelector('.leaflet-ground-pane canvas');
  const map = sitebook.map;
  const at = map.latLngToLayerPoint(L.latLng(map.getCenter().lat, map.getCenter().lng + east));
  const corner = L.DomUtil.getPosition(canvas);
  const dots = canvas.width / parseFloat(canvas.style.width);
  const pen = canvas.getContext('2d');
  const [x, y] = [at.x - corner.x - 12, at.y - corner.y - 12].map((v) => v * dots);
  const { data } = pen.getImageData(x, y, 24 * dots, 24 * dots);
  let sum = 0;
  for (let i = 0; i < data.length; i += 4) sum += data[i + 3];
  return sum / (data.length / 4);
}"""

DEGREES_A_METRE = 1.0 / 73_700.0
"""At 48.6 degrees of latitude, eastward."""


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Write a page of the ground's index alone and give its address."""
    view = sample_map()
    bare = dataclasses.replace(
        view, sites=(), trees=(), finds=(), surface=sample_surface(), ground=type(view.ground)()
    )
    path: Path = tmp_path_factory.mktemp("surface") / "map.html"
    path.write_text(draw_map(bare), encoding="utf-8", newline="")
    return path.as_uri()


def _opened(page: Page, address: str, size: tuple[int, int]) -> Page:
    page.set_viewport_size({"width": size[0], "height": size[1]})
    page.goto(address)
    page.wait_for_selector("html[data-ready]")
    page.click("[data-show=key]")
    return page


def _switch(page: Page, state: str) -> None:
    page.click("#surface-switch")
    page.wait_for_selector(f"html[data-surface={state}]")


@pytest.mark.parametrize("size", [DESK, PHONE])
def test_the_key_switches_the_index_on_and_off(
    browser_page: Page, address: str, size: tuple[int, int]
) -> None:
    page = _opened(browser_page, address, size)
    lon, lat = sample_surface().parts[0].centre_lon, sample_surface().parts[0].centre_lat
    page.evaluate(f"sitebook.map.setView([{lat}, {lon}], 16, {{animate: false}})")
    away = [metres * DEGREES_A_METRE for metres in (0, 60, 140, 270)]
    assert not any(page.evaluate(INK, east) for east in away)
    _switch(page, "on")
    inked = [page.evaluate(INK, east) for east in away]
    assert inked == sorted(inked, reverse=True)
    assert inked[-1] > 20
    assert inked[0] > 2 * inked[-1]
    assert page.get_attribute("#surface-switch", "aria-pressed") == "true"
    assert page.inner_text("#surface-switch") == "Hide the road index"
    _switch(page, "off")
    assert not any(page.evaluate(INK, east) for east in away)


@pytest.mark.parametrize("size", [DESK, PHONE])
def test_the_switch_can_be_hit_and_the_key_fits(
    browser_page: Page, address: str, size: tuple[int, int]
) -> None:
    page = _opened(browser_page, address, size)
    box = page.locator("#surface-switch").bounding_box()
    assert box is not None
    assert min(box["width"], box["height"]) >= 44
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert "traffic alone" in page.inner_text("[data-pane=key]")

"""Opens our map page with 50,000 finds beside a folium page with the same fields, in one browser."""

from __future__ import annotations

import re
import statistics
import tempfile
from pathlib import Path

import folium
import numpy as np
from playwright.sync_api import Browser, sync_playwright

from sitebook.pages.map import draw_map
from sitebook.pages.third_party import leaflet_script, leaflet_style
from sitebook.records.results.map_view import FindMark, GroundMap, MapView
from tests.pages.sample_map import sample_map

HOW_MANY = 50_000
RUNS = 5
CHROMIUM = "/usr/bin/chromium"
FLAGS = ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking"]
FROM_OUTSIDE = re.compile(r'<script src="http[^>]*></script>|<link rel="stylesheet" href="http[^>]*/>')
READY = "() => new Promise(done => requestAnimationFrame(() => setTimeout(() => done(performance.now()), 0)))"


def finds() -> tuple[FindMark, ...]:
    """Scatter finds over a town."""
    places = np.random.default_rng(1).normal((-19.4, 48.6), 0.01, (HOW_MANY, 2)).round(6)
    return tuple(
        FindMark(
            find_id=number + 1,
            label=f"AC {number + 1}",
            taxon_name="Leccinum scabrum",
            name_words="Leccinum scabrum, named by AC",
            date_words="2025-09-14",
            found_on=None,
            site_id=None,
            lon=float(lon),
            lat=float(lat),
            count_words="3 bodies",
        )
        for number, (lon, lat) in enumerate(places)
    )


def ours(marks: tuple[FindMark, ...]) -> str:
    """Draw our page of the finds alone."""
    sample = sample_map()
    view = MapView(
        title="Finds",
        sites=(),
        trees=(),
        finds=marks,
        ground=GroundMap(),
        class_meanings=sample.class_meanings,
        flag_words=sample.flag_words,
        today=sample.today,
        zone=sample.zone,
    )
    return draw_map(view)


def theirs(marks: tuple[FindMark, ...]) -> str:
    """Draw a folium page of the same fields on canvas, Leaflet put inside and nothing else loaded."""
    page = folium.Map(location=(48.6, -19.4), zoom_start=14, tiles=None, prefer_canvas=True)
    fields = ["label", "name", "date", "count"]
    features = [
        {
            "type": "Feature",
            "geometry": {"type": "Point", "coordinates": [mark.lon, mark.lat]},
            "properties": dict(
                zip(fields, (mark.label, mark.name_words, mark.date_words, mark.count_words), strict=True)
            ),
        }
        for mark in marks
    ]
    folium.GeoJson(
        {"type": "FeatureCollection", "features": features},
        marker=folium.CircleMarker(radius=4),
        tooltip=folium.GeoJsonTooltip(fields),
    ).add_to(page)
    html = re.sub(
        r'<script src="http[^>]*></script>|<link rel="stylesheet" href="http[^>]*/>',
        "",
        page.get_root().render(),
    )
    inside = f"<style>{leaflet_style().text}</style><script>{leaflet_script().text}</script>"
    return html.replace("<head>", f"<head>{inside}", 1)


def ready_ms(browser: Browser, path: Path) -> float:
    """Open a page anew, the network off: milliseconds until it has drawn and takes a click."""
    context = browser.new_context(viewport={"width": 1280, "height": 900}, offline=True)
    page = context.new_page()
    page.goto(path.as_uri(), wait_until="load")
    ready = float(page.evaluate(READY))
    context.close()
    return ready


def main() -> None:
    """Print sizes, times and ratios."""
    marks = finds()
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as player:
        pages = {"sitebook": Path(folder) / "ours.html", "folium": Path(folder) / "theirs.html"}
        pages["sitebook"].write_text(ours(marks), encoding="utf-8")
        pages["folium"].write_text(theirs(marks), encoding="utf-8")
        browser = player.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        times = {
            name: statistics.median(ready_ms(browser, path) for _ in range(RUNS))
            for name, path in pages.items()
        }
        sizes = {name: path.stat().st_size / 1e6 for name, path in pages.items()}
        browser.close()
    for name in pages:
        print(f"{name}: {sizes[name]:.1f} MB, ready in {times[name]:.0f} ms")
    sooner, smaller = times["folium"] / times["sitebook"], sizes["folium"] / sizes["sitebook"]
    print(f"{sooner:.1f}x sooner, {smaller:.1f}x smaller")


if __name__ == "__main__":
    main()

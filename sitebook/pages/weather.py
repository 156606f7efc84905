"""Draws the page of the last days' weather."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence

from markupsafe import Markup

from sitebook.pages import frame
from sitebook.pages.calendar_words import MONTHS
from sitebook.pages.own_parts import rendered, text_of
from sitebook.pages.palette import COLOURS
from sitebook.pages.poison_words import in_short
from sitebook.records.results.weather_view import WeatherDaySeen, WeatherSum, WeatherView

WIDE, NARROW = 720.0, 350.0
"""Widths of a drawing on a desk and on a phone, where its writing stays as large."""
LEFT, RIGHT = 40.0, 6.0
PLOT, TOP, BELOW = 110.0, 22.0, 22.0
DAY_OF_WEEK_MARKS = 7
ROOM_OF_A_DATE = 72.0
Pick = Callable[[WeatherDaySeen], float | None]


def draw_weather(view: WeatherView, *, title: str, poison_centre: str) -> str:
    """Draw the last days of a station as one self-contained page that works without scripts.

    Parameters
    ----------
    view
        Days, sums, and what they mean.
    title
        Heading of the page.
    poison_centre
        Telephone of the poison centre; empty where none is set.
    """
    body = rendered(
        "weather.html.j2",
        station=view.station.said,
        sites=", ".join(view.sites),
        drawings=list(zip(_drawings(view.days, WIDE), _drawings(view.days, NARROW), strict=True)),
        sums=[_sum(one) for one in view.sums],
        remarks=any(one.said for one in view.sums),
        effects=view.effects,
        in_short=in_short,
        climate=view.climate_said,
        days=[_cells(day) for day in reversed(view.days)],
    )
    first, last = view.days[0].on, view.days[-1].on
    return frame.page(
        title=title,
        body=body,
        style=text_of("weather.css"),
        subtitle=f"{view.station.name}, {first.isoformat()} to {last.isoformat()}",
        poison_centre=poison_centre,
    )


def _sum(one: WeatherSum) -> dict[str, str]:
    return {
        "words": one.words,
        "value": "not known" if one.value is None else f"{one.value:.0f} {one.unit}",
        "usual": "not known" if one.usual is None else f"{one.usual:.0f} {one.unit}",
        "said": one.said,
    }


def _cells(day: WeatherDaySeen) -> dict[str, str]:
    rain = "trace" if day.trace and not day.rain_mm else _number(day.rain_mm, "mm", 1)
    both = day.temp_min_degc is not None and day.temp_max_degc is not None
    return {
        "on": day.on.isoformat(),
        "rain": rain,
        "air": f"{day.temp_min_degc:.0f} to {day.temp_max_degc:.0f} °C" if both else "not measured",
        "water": "not known" if day.soil_water is None else f"{100 * day.soil_water:.0f} %",
        "warmth": "not known" if day.soil_temperature_degc is None else f"{day.soil_temperature_degc:.0f} °C",
    }


def _number(value: float | None, unit: str, digits: int) -> str:
    return "not measured" if value is None else f"{value:.{digits}f} {unit}"


def _drawings(days: Sequence[WeatherDaySeen], width: float) -> list[Markup]:
    """Draw rain as bars, and water and warmth of the soil as lines, each with what is usual."""
    highest = max((day.rain_mm or 0.0 for day in days), default=0.0)
    most_rain = max(10.0, 5.0 * -(-highest // 5.0))
    warmth = [value for day in days for value in (day.soil_temperature_degc, day.usual_soil_temperature_degc)]
    known = [value for value in warmth if value is not None] or [0.0, 20.0]
    low, high = 5.0 * (min(known) // 5.0), 5.0 * -(-max(known) // 5.0)
    return [
        _drawing(
            days,
            width,
            "Rain, mm a day",
            (0.0, most_rain),
            _bars(days, width, most_rain),
            usual=lambda d: d.usual_rain_mm,
        ),
        _drawing(
            days,
            width,
            "Water in the top soil, % of what it holds",
            (0.0, 100.0),
            _line(days, width, lambda d: _times(d.soil_water), (0.0, 100.0), "sea"),
            usual=lambda d: _times(d.usual_soil_water),
        ),
        _drawing(
            days,
            width,
            "Temperature of the soil, °C",
            (low, max(high, low + 5.0)),
            _line(days, width, lambda d: d.soil_temperature_degc, (low, max(high, low + 5.0)), "plum"),
            usual=lambda d: d.usual_soil_temperature_degc,
        ),
    ]


def _times(share: float | None) -> float | None:
    return None if share is None else 100.0 * share


def _drawing(
    days: Sequence[WeatherDaySeen],
    width: float,
    words: str,
    ends: tuple[float, float],
    drawn: str,
    *,
    usual: Pick,
) -> Markup:
    """Draw one figure: ground, scale, days, what is usual, and what was."""
    bottom, right = TOP + PLOT, width - RIGHT
    edge = f"M{LEFT:g} {TOP:g}H{right:g}V{bottom:g}H{LEFT:g}z"
    middle = (ends[0] + ends[1]) / 2.0
    scale = "".join(
        f'<text x="{LEFT - 5:g}" y="{_y(level, ends) + 4:.1f}" text-anchor="end">{level:g}</text>'
        for level in (ends[0], middle, ends[1])
    )
    parts = [
        f'<svg viewBox="0 0 {width:g} {TOP + PLOT + BELOW:g}" role="img" font-size="13"',
        f' aria-label="{words}">',
        f'<path fill="{COLOURS["card"]}" stroke="{COLOURS["line"]}" d="{edge}"/>',
        _gaps(days, width),
        drawn,
        _line(days, width, usual, ends, "faded", dashed=True),
        f'<g fill="{COLOURS["ink"]}"><text x="{LEFT:g}" y="14" font-weight="600">{words}</text>{scale}',
        _dates(days, width),
        "</g></svg>",
    ]
    return Markup("".join(parts))  # noqa: S704 (numbers and our own words)


def _x(at: float, days: Sequence[WeatherDaySeen], width: float) -> float:
    return LEFT + (width - RIGHT - LEFT) * (at + 0.5) / len(days)


def _y(value: float, ends: tuple[float, float]) -> float:
    return TOP + PLOT * (1.0 - (value - ends[0]) / (ends[1] - ends[0]))


def _bars(days: Sequence[WeatherDaySeen], width: float, most: float) -> str:
    bar = 0.7 * (width - RIGHT - LEFT) / len(days)
    corners = [
        (_x(at, days, width) - bar / 2, _y(day.rain_mm, (0.0, most)))
        for at, day in enumerate(days)
        if day.rain_mm
    ]
    bars = "".join(f"M{x:.1f} {TOP + PLOT:g}h{bar:.1f}V{y:.1f}h-{bar:.1f}z" for x, y in corners)
    return f'<path fill="{COLOURS["sea"]}" d="{bars}"/>'


def _line(
    days: Sequence[WeatherDaySeen],
    width: float,
    pick: Pick,
    ends: tuple[float, float],
    colour: str,
    *,
    dashed: bool = False,
) -> str:
    """Draw a line through the days that are known, broken where one is not."""
    path, pen_down = [], False
    for at, day in enumerate(days):
        value = pick(day)
        if value is not None:
            path.append(f"{'L' if pen_down else 'M'}{_x(at, days, width):.1f} {_y(value, ends):.1f}")
        pen_down = value is not None
    dash, pen = (' stroke-dasharray="6 4"', 1.4) if dashed else ("", 2.4)
    return f'<path fill="none" stroke="{COLOURS[colour]}" stroke-width="{pen:g}"{dash} d="{"".join(path)}"/>'


def _gaps(days: Sequence[WeatherDaySeen], width: float) -> str:
    """Shade the days on which nothing was measured."""
    missing = [at for at, day in enumerate(days) if day.rain_mm is None and day.temp_max_degc is None]
    step = (width - RIGHT - LEFT) / len(days)
    shapes = []
    for _, run in itertools.groupby(enumerate(missing), key=lambda pair: pair[1] - pair[0]):
        own = [day for _, day in run]
        long = len(own) * step
        shapes.append(f"M{LEFT + own[0] * step:.1f} {TOP:g}h{long:.1f}v{PLOT:g}h-{long:.1f}z")
    return f'<path fill="{COLOURS["shade"]}" d="{"".join(shapes)}"/>'


def _dates(days: Sequence[WeatherDaySeen], width: float) -> str:
    every = max(
        DAY_OF_WEEK_MARKS, DAY_OF_WEEK_MARKS * round(len(days) * ROOM_OF_A_DATE / width / DAY_OF_WEEK_MARKS)
    )
    marks = range(len(days) - 1, -1, -every)
    return "".join(_date(at, days, width) for at in marks if at > 1)


def _date(at: int, days: Sequence[WeatherDaySeen], width: float) -> str:
    on = days[at].on
    anchor = "end" if at > len(days) - 3 else "middle"
    place = f'x="{_x(at, days, width):.1f}" y="{TOP + PLOT + 16:g}" text-anchor="{anchor}"'
    return f"<text {place}>{on.day} {MONTHS[on.month - 1]}</text>"

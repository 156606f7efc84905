"""The command that plans a day out."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from sitebook.commands.options import (
    book_option,
    date_option,
    json_option,
    now,
    page_name,
    page_option,
    read_position,
)
from sitebook.commands.writing import require_own, write


def read_time(_: click.Context, __: click.Parameter, text: str | None) -> float | None:
    """Read a local time as HH:MM, or say how one is written; gives the minute of the day."""
    if text is None:
        return None
    try:
        return _minute(text)
    except ValueError as error:
        raise click.BadParameter(f"'{text}' is no time; write it as 09:30.") from error


def _minute(text: str) -> float:
    if text.strip() == "24:00":
        return 1440.0
    read = datetime.time.fromisoformat(text.strip())
    return read.hour * 60.0 + read.minute


def read_pins(_: click.Context, __: click.Parameter, texts: tuple[str, ...]) -> tuple[tuple[str, float], ...]:
    """Read SITE=HH:MM, or say how one is written."""
    pins = []
    for text in texts:
        name, equals, time = text.rpartition("=")
        try:
            pins.append((name.strip(), _minute(time)))
        except ValueError:
            equals = ""
        if not (equals and name.strip()):
            raise click.BadParameter(f"'{text}' is no site with a time; write it as \"Mill Park=11:00\".")
    return tuple(pins)


TOLD_FROM = 0.02
"""Taxa with a smaller chance at a site are not told in the terminal."""
LONGEST = 150
"""Signs of a caution that the terminal tells; the page has it whole."""

POSITION = {"callback": read_position, "metavar": "LON,LAT"}
SITES = {"multiple": True, "metavar": "SITE"}


@click.command("plan", short_help="Plan a day out: which sites, in which order, when and why.")
@book_option
@date_option
@click.option("--from", "start", required=True, help="Where the day starts.", **POSITION)  # type: ignore[arg-type]
@click.option("--end-at", "end", help="Where it ends; else back at its start.", **POSITION)  # type: ignore[arg-type]
@click.option(
    "--start", "starts_min", required=True, callback=read_time, metavar="HH:MM", help="When it starts."
)
@click.option(
    "--end", "ends_min", required=True, callback=read_time, metavar="HH:MM", help="When it must be over."
)
@click.option(
    "--by",
    "mode",
    type=click.Choice(["foot", "bicycle", "car"]),
    default="foot",
    show_default=True,
    help="How to get about.",
)
@click.option("--car-at", help="Where the car stands at the start; else at the start.", **POSITION)  # type: ignore[arg-type]
@click.option("--party", "searchers", default=1, show_default=True, help="How many go.")
@click.option("--stay", "stay_min", type=float, default=None, help="Minutes at each site; else the setting.")
@click.option(
    "--scouting",
    type=float,
    default=None,
    help="Share of the worth that looks at little-known trees make, 0 to 1; else the setting.",
)
@click.option("--force", help="A site the day must hold; as often as needed.", **SITES)  # type: ignore[arg-type]
@click.option("--bar", help="A site it must not hold; as often as needed.", **SITES)  # type: ignore[arg-type]
@click.option("--look", help="A site to go to only to look; as often as needed.", **SITES)  # type: ignore[arg-type]
@click.option(
    "--pin", "pins", multiple=True, callback=read_pins, metavar="SITE=HH:MM", help="A site with its time."
)
@click.option("--done", help="A site visited already that day, to plan anew at noon.", **SITES)  # type: ignore[arg-type]
@click.option("--found", multiple=True, metavar="TAXON", help="A taxon of which enough was found that day.")
@click.option("--seed", default=1, show_default=True, help="Start of the search; the same gives the same.")
@click.option("--not-kept", is_flag=True, help="Do not keep the plan in the book.")
@click.option("--gpx", type=click.Path(path_type=Path), default=None, help="Write the route here.")
@click.option(
    "--ics", type=click.Path(path_type=Path), default=None, help="Write the day as a calendar file."
)
@page_option
@json_option
def command(
    *,
    book_path: Path,
    on: datetime.date | None,
    start: tuple[float, float],
    end: tuple[float, float] | None,
    starts_min: float,
    ends_min: float,
    mode: str,
    car_at: tuple[float, float] | None,
    searchers: int,
    stay_min: float | None,
    scouting: float | None,
    force: tuple[str, ...],
    bar: tuple[str, ...],
    look: tuple[str, ...],
    pins: tuple[tuple[str, float], ...],
    done: tuple[str, ...],
    found: tuple[str, ...],
    seed: int,
    not_kept: bool,
    gpx: Path | None,
    ics: Path | None,
    to: Path | None,
    as_json: bool,
) -> None:
    """Plan a day from one place to another between two times, by what the sites may yield on it.

    What rest, permission, limits and contamination forbid is left away and listed with the reason. The
    plan is kept, and `sitebook pack` makes the file to carry of it.
    """
    from sitebook.commands import as_json as json_form
    from sitebook.commands import telling
    from sitebook.work import opened, plan
    from sitebook.work.adding import local_today
    from sitebook.work.day_wishes import day_asked

    with opened(book_path) as book:
        asked = day_asked(
            book,
            on=on or local_today(book, now()),
            start=start,
            end=end,
            starts_min=starts_min,
            ends_min=ends_min,
            mode=mode,
            car_at=car_at,
            searchers=searchers,
            stay_min=stay_min,
            scouting_share=scouting,
            sites={"force": force, "bar": bar, "look_only": look, "done": done},
            pins=pins,
            found=found,
            seed=seed,
        )
        place = to or book_path.with_name(page_name("plan", asked.on.isoformat()))
        require_own(place, calendar=ics, gpx=gpx)
        answer = plan.plan(book, asked, now=now(), keep=not not_kept, progress=telling.progress)
        files = plan.files_of(book, answer.result, now=now())
    day = answer.result
    page = write(place, files.page, quiet=as_json)
    written = [
        write(path, text, quiet=as_json) for path, text in ((gpx, files.gpx), (ics, files.ics)) if path
    ]
    if as_json:
        json_form.echo({"page": page, "files": written, **json_of(day)})
        return
    for line in (*lines_of(day), *answer.remarks):
        click.echo(line)
    for path in written:
        click.echo(f"Wrote {path}. It names your places: think before you pass it on.")
    click.echo(f"Drew {page}. It shows exact places: keep it to yourself.")


def json_of(day: Any) -> dict[str, object]:  # noqa: ANN401 - a result of a room that commands do not name
    """Give a planned day as JSON has it: the stops first, and what a person decides by."""
    stops = [
        {"site": day.places[stop.key].spot.site_name, **vars(stop), "place": day.places[stop.key]}
        for stop in day.plan.route.stops
    ]
    return {
        "foray": day.foray_uuid,
        "on": day.on,
        "stops": stops,
        "proved": day.plan.proved,
        "bound": day.plan.bound,
        "score": day.plan.route.score,
        "ends_min": day.plan.route.ends_min,
        "alternatives": [
            {
                "sites": [day.places[key].spot.site_name for key in other.route.keys],
                "score": other.route.score,
                "difference": other.difference,
                "ends_min": other.route.ends_min,
            }
            for other in day.plan.alternatives
        ],
        "runners_up": [
            {"site": day.places[one.key].spot.site_name, **vars(one)} for one in day.plan.runners_up
        ],
        "excluded": day.excluded,
        "legs": day.legs,
        "daylight": day.daylight,
        "limits": day.limits,
        "weather": day.weather_said,
        "travel": day.travel_said,
    }


def lines_of(day: Any) -> list[str]:  # noqa: ANN401 - the same
    """Give a planned day line by line: the stops, what else there is, what is left away."""
    from sitebook.quantities import clock

    route = day.plan.route
    lines = [f"{day.on.isoformat()}, {_how(day)}, {clock(day.starts_min)} to {clock(day.latest_end_min)}:"]
    for number, stop in enumerate(route.stops, 1):
        place = day.places[stop.key]
        lines.append(
            f"{number:>2}. {clock(stop.begins_min)} to {clock(stop.leaves_min)} {place.spot.site_name}"
            f" ({_way(stop.travel_min)}; {place.class_said})"
        )
        lines += [f"    {words}" for words in _place_lines(place)]
    if not route.stops:
        lines.append("    no site is worth the way within these hours")
    lines.append(f"Back at {clock(route.ends_min)}. {proof(day.plan)}")
    lines += _others(day)
    lines += [day.daylight.said, day.weather_said]
    lines += [line.words for line in day.limits]
    if day.excluded:
        lines.append("Left away:")
        lines += [f"    {one.spot.where}: {_short(one.reason)}" for one in day.excluded]
    return lines


def _how(day: Any) -> str:  # noqa: ANN401 - the same
    how = {"foot": "on foot", "bicycle": "by bicycle", "car": "by car"}[day.mode]
    return how if day.searchers == 1 else f"{how}, {day.searchers} people"


def _way(minutes: float) -> str:
    return f"{minutes:.0f} min of way"


def _place_lines(place: Any) -> list[str]:  # noqa: ANN401 - the same
    told = [one for one in place.expected if one.weight > 0.0 and one.chance.chance >= TOLD_FROM][:3]
    chances = "; ".join(
        f"{one.taxon_name} {100 * one.chance.chance:.0f} %"
        f" ({100 * one.chance.low:.0f} to {100 * one.chance.high:.0f})"
        f"{f' at {one.at}' if one.at else ''}"
        for one in told
    )
    lines = [place.purpose_said] if place.purpose_said else []
    lines += [chances] if chances else []
    lines += [f"{one.taxon_name}: {one.look_only}" for one in place.expected if one.look_only]
    likely = [one for one in place.expected if one.poisoning and one.chance.chance >= TOLD_FROM]
    lines += [f"{one.taxon_name} {100 * one.chance.chance:.0f} %: {one.poisoning}" for one in likely]
    lines += [_short(caution) for caution in place.cautions]
    return lines or ["little is known of it"]


def _short(words: str) -> str:
    """Give the first sentence of some words, cut where it is long; the page has them whole."""
    first = words if len(words) <= LONGEST else words.partition(". ")[0]
    return first if len(first) <= LONGEST else f"{first[:LONGEST].rpartition(' ')[0]} …"


def proof(plan: Any) -> str:  # noqa: ANN401 - the same
    """Say how sure it is that no other route is worth more."""
    if plan.proved:
        return (
            "Proved best: no other choice and order of these sites is worth more, by these chances and times."
        )
    better = plan.bound.score / plan.route.score - 1.0 if plan.route.score else 0.0
    return f"Not proved best: another route could be worth up to {100 * better:.0f} % more by these chances."


def _others(day: Any) -> Sequence[str]:  # noqa: ANN401 - the same
    lines = []
    for other in day.plan.alternatives:
        names = ", ".join(day.places[key].spot.site_name for key in other.route.keys)
        share = 100 * other.route.score / day.plan.route.score if day.plan.route.score else 0.0
        lines.append(f"Or else, worth {share:.0f} % of it: {names}.")
    for one in day.plan.runners_up[:3]:
        if one.costs_min is not None:
            late = f", {one.over_min:.0f} min too late" if one.over_min else ""
            lines.append(
                f"Left out: {day.places[one.key].spot.site_name}, {one.costs_min:.0f} min more{late}."
            )
    return lines

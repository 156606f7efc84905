"""The command that shows the weather of the last days."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

import click

from sitebook.commands.options import book_option, date_option, json_option, now, page_name
from sitebook.commands.writing import require_own, write


@click.command("weather", short_help="Show the weather of the last days and what it means.")
@book_option
@click.option("--station", default=None, metavar="CODE", help="This station; else the one most sites use.")
@click.option("--days", default=60, show_default=True, help="How many days, 1 to 400.")
@click.option(
    "--to",
    "to",
    type=click.Path(path_type=Path),
    default=None,
    help="Where the page goes; else beside the book.",
)
@date_option
@json_option
def command(
    *,
    book_path: Path,
    station: str | None,
    days: int,
    to: Path | None,
    on: datetime.date | None,
    as_json: bool,
) -> None:
    """Show the last days against what the station is used to, and what they mean for each fungus."""
    from sitebook.commands import as_json as json_form
    from sitebook.commands import telling
    from sitebook.work import opened, weather_page
    from sitebook.work.adding import local_today

    place = to or book_path.with_name(page_name("weather", station))
    require_own(place)
    with opened(book_path) as book:
        day = on or local_today(book, now())
        answer = weather_page.weather(
            book, on=day, days=days, station=station, now=now(), progress=telling.progress
        )
    page = write(place, answer.page or "", quiet=as_json)
    if as_json:
        json_form.echo({"page": page, "weather": answer.result})
        return
    for line in lines_of(answer.result):
        click.echo(line)
    click.echo(f"Drew {page}.")


def lines_of(result: Any) -> list[str]:  # noqa: ANN401 - a result of a room that commands do not name
    """Give the weather line by line: the station, the sums, and what they mean."""
    lines = [result.station.said, result.climate_said]
    for one in result.sums:
        value = "not known" if one.value is None else f"{one.value:.0f} {one.unit}"
        usual = "" if one.usual is None else f", usual {one.usual:.0f}"
        said = f" ({one.said})" if one.said else ""
        lines.append(f"{one.words}: {value}{usual}{said}")
    lines += [f"{one.taxon_name}: {one.said}" for one in result.effects]
    if not result.effects:
        lines.append("The weather of these days is not known, so nothing can be said of what it means.")
    return lines

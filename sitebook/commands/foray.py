"""The command that tells what became of a day out."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from sitebook.commands.options import book_option, json_option, now, page_name, page_option
from sitebook.commands.writing import require_own, write

TOLD = 5
"""Rows of what was learned told in the terminal; the page holds them all."""


@click.command("foray", short_help="Tell what became of a day out: planned beside done.")
@click.argument("foray", required=False)
@book_option
@click.option("--list", "listed", is_flag=True, help="List the forays of the book instead.")
@page_option
@json_option
def command(*, foray: str | None, book_path: Path, listed: bool, to: Path | None, as_json: bool) -> None:
    """Tell what became of FORAY: its date, its UUID or the first 8 signs of it; else the latest.

    Planned against done, stop by stop; finds, empty looks and kilometres; what the season model learned;
    and what still waits.
    """
    from sitebook.commands import as_json as json_form
    from sitebook.commands import telling
    from sitebook.work import foray as forays
    from sitebook.work import opened
    from sitebook.work.forays_named import named_foray

    with opened(book_path) as book:
        if listed:
            _list(forays.forays(book).result, as_json=as_json)
            return
        meant = named_foray(book, foray)
        place = to or book_path.with_name(page_name("foray", meant.local_date.isoformat()))
        require_own(place)
        answer = forays.foray_done(book, meant, now=now(), progress=telling.progress)
    page = write(place, answer.page or "", quiet=as_json)
    if as_json:
        json_form.echo({"page": page, "foray": answer.result})
        return
    for line in lines_of(answer.result):
        click.echo(line)
    click.echo(f"Drew {page}. It shows exact places: keep it to yourself.")


def _list(lines: Any, *, as_json: bool) -> None:  # noqa: ANN401 - a result of a room that commands do not name
    from sitebook.commands import as_json as json_form
    from sitebook.commands import telling

    if as_json:
        json_form.echo({"forays": lines})
    elif not lines:
        click.echo("No foray is kept in this book. Plan one: sitebook plan")
    else:
        columns = ("foray", "date", "from", "to", "by", "planned", "visited", "unplanned", "finds")
        telling.table(columns, [_cells(line) for line in lines])


def _cells(line: Any) -> dict[str, object]:  # noqa: ANN401 - the same
    return {
        "foray": line.foray_uuid[:8],
        "date": line.on,
        "from": line.starts_at,
        "to": line.ends_at,
        "by": line.mode,
        "planned": line.planned,
        "visited": line.visited,
        "unplanned": line.unplanned,
        "finds": line.finds,
    }


def lines_of(result: Any) -> list[str]:  # noqa: ANN401 - the same
    """Give a foray line by line: counts, each stop, what was learned, what waits."""
    lines = [f"{result.on.isoformat()}, {_way(result)}:"]
    for stop in result.stops:
        lines.append(f"{stop.turn if stop.turn is not None else '+':>3} {stop.spot.where}: {stop.said}")
        if stop.looks:
            lines.append(f"    {stop.looks} {_looks(stop.looks)}, {stop.looks_empty} empty")
        lines += [f"    {find}" for find in stop.finds]
    if result.learned:
        lines.append("What the season model learned, of 100 looks of 30 minutes that day:")
        lines += [f"    {one.said}{_poison(one)}" for one in result.learned[:TOLD]]
    if result.waiting:
        lines.append("What still waits:")
        lines += [f"    {said}" for said in result.waiting]
    return lines


def _poison(one: Any) -> str:  # noqa: ANN401 - the same
    return f" ({one.poisoning})" if one.poisoning else ""


def _looks(count: int) -> str:
    return "look" if count == 1 else "looks"


def _way(result: Any) -> str:  # noqa: ANN401 - the same
    planned = [stop for stop in result.stops if stop.turn is not None]
    visited = sum(bool(stop.looks) for stop in planned)
    gone = "no track" if result.kilometres is None else f"{result.kilometres:.1f} km by the track"
    finds = f"{result.finds} find{'' if result.finds == 1 else 's'}"
    way = "" if result.planned_kilometres is None else f" ({result.planned_kilometres:.1f} km planned)"
    return f"{visited} of {len(planned)} planned stops visited, {finds}, {gone}{way}"

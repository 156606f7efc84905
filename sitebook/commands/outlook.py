"""The command that tells what the coming days may bring."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

import click

from sitebook.commands.options import book_option, date_option, json_option, now, page_name, page_option
from sitebook.commands.writing import require_own, write

TOLD = 10
"""Rows told in the terminal; the page holds them all."""


@click.command("outlook", short_help="Tell what the coming days may bring, with the weather so far.")
@book_option
@click.option("--days", default=10, show_default=True, help="How many days, 1 to 40.")
@click.option("--taxon", default=None, help="This taxon only, by its scientific or everyday name.")
@click.option("--site", default=None, help="This site only.")
@page_option
@click.option(
    "--ics",
    "ics",
    type=click.Path(path_type=Path),
    default=None,
    help="Write the likeliest weeks of the coming year as a calendar file here.",
)
@date_option
@json_option
def command(
    *,
    book_path: Path,
    days: int,
    taxon: str | None,
    site: str | None,
    to: Path | None,
    ics: Path | None,
    on: datetime.date | None,
    as_json: bool,
) -> None:
    """Tell the chance of at least one find in a 30-minute look on each of the coming days.

    Closed and resting places are left away, and listed with the reason.
    """
    from sitebook.commands import as_json as json_form
    from sitebook.commands import telling
    from sitebook.work import likely_weeks, opened, outlook
    from sitebook.work.adding import local_today

    place = to or book_path.with_name(page_name("outlook", site, taxon))
    require_own(place, calendar=ics)
    with opened(book_path) as book:
        first = on or local_today(book, now())
        answer = outlook.outlook(
            book, on=first, days=days, taxon=taxon, site=site, now=now(), progress=telling.progress
        )
        file = likely_weeks.likely_windows(book, on=first, now=now(), taxon=taxon, site=site) if ics else None
    page = write(place, answer.page or "", quiet=as_json)
    written = None if ics is None or file is None else write(ics, file.result, quiet=as_json)
    if as_json:
        left_out = file.remarks if file is not None else ()
        json_form.echo(
            {
                "page": page,
                "calendar_file": written,
                "calendar_left_out": left_out,
                "outlook": answer.result,
            }
        )
        return
    for line in lines_of(answer.result):
        click.echo(line)
    if answer.result.held_out_said:
        click.echo(answer.result.held_out_said)
    click.echo(f"Drew {page}. It shows exact places: keep it to yourself.")
    if written is not None:
        click.echo(f"Wrote {written}. It names your places: think before you share a calendar.")
    for line in file.remarks if file is not None else ():
        click.echo(line)


def lines_of(result: Any) -> list[str]:  # noqa: ANN401 - a result of a room that commands do not name
    """Give an outlook line by line: the likeliest rows, and what is left away."""
    lines = [f"From {result.first.isoformat()} to {result.last.isoformat()}, of 100 looks of 30 minutes:"]
    with_trees = {row.spot.site_id for row in result.rows if row.spot.tree_id is not None}
    lines += [f"{number:>2}. {_row(row, with_trees)}" for number, row in enumerate(result.rows[:TOLD], 1)]
    if not result.rows:
        lines.append("    no chance reaches 2 of 100 looks")
    if result.not_proposed:
        lines.append("Left away:")
        lines += [f"    {one.spot.where}: {one.reason}" for one in result.not_proposed]
    return lines


def _row(row: Any, with_trees: set[int | None]) -> str:  # noqa: ANN401 - the same
    best, chance = row.best, row.best.chance
    little = ", little known yet" if chance.mostly_from_books else ""
    poisoning = f"; {row.poisoning}" if row.poisoning else ""
    span = f"{100 * chance.low:.0f} to {100 * chance.high:.0f}"
    days = "open days" if row.closed_days else "days"
    day = f"much the same on all {days}" if row.is_much_the_same else f"best {best.on.isoformat()}"
    shut = "".join(f"; {said.rstrip('.')}" for said in sorted({day.closed for day in row.closed_days}))
    is_rest = row.spot.tree_id is None and row.spot.site_id in with_trees
    where = f"{row.spot.where}, rest of the site" if is_rest else row.spot.where
    return f"{where}: {row.taxon_name} {100 * chance.chance:.0f} ({span}{little}), {day}{shut}{poisoning}"

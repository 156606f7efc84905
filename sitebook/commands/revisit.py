"""The command that ranks trees and sites worth another visit."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

import click

from sitebook.commands.options import book_option, date_option, json_option, now, page_name, page_option
from sitebook.commands.writing import require_own, write

TOLD = 10
"""Rows told in the terminal; the page holds them all."""


@click.command("revisit", short_help="Rank the trees and sites worth another visit on a day.")
@book_option
@click.option("--taxon", default=None, help="For this taxon only, by its scientific or everyday name.")
@click.option("--site", default=None, help="At this site only.")
@page_option
@date_option
@json_option
def command(
    *,
    book_path: Path,
    taxon: str | None,
    site: str | None,
    to: Path | None,
    on: datetime.date | None,
    as_json: bool,
) -> None:
    """Rank trees and sites by the chance of at least one find in a 30-minute look on a day.

    What was picked lately is taken off. Closed and resting places are never proposed, and listed with the
    reason; little-known trees worth trying stand apart.
    """
    from sitebook.commands import as_json as json_form
    from sitebook.commands import telling
    from sitebook.work import opened, revisit
    from sitebook.work.adding import local_today

    place = to or book_path.with_name(page_name("revisit", site, taxon))
    require_own(place)
    with opened(book_path) as book:
        day = on or local_today(book, now())
        answer = revisit.revisit(book, on=day, taxon=taxon, site=site, now=now(), progress=telling.progress)
    page = write(place, answer.page or "", quiet=as_json)
    if as_json:
        json_form.echo({"page": page, "revisit": answer.result})
        return
    for line in lines_of(answer.result):
        click.echo(line)
    if answer.result.held_out_said:
        click.echo(answer.result.held_out_said)
    click.echo(f"Drew {page}. It shows exact places: keep it to yourself.")


def lines_of(result: Any) -> list[str]:  # noqa: ANN401 - a result of a room that commands do not name
    """Give a ranking line by line: the first rows, what is worth trying, what is never proposed."""
    lines = [f"Worth another visit on {result.on.isoformat()}:"]
    for number, row in enumerate(result.rows[:TOLD], 1):
        lines += [f"{number:>2}. {_row(row)}", f"    {' '.join(row.reasons)}", f"    {_beside(row)}"]
    if not result.rows:
        lines.append("    nothing stands out")
    if result.scouting:
        lines.append("Worth trying, because little is known:")
        lines += [f"    {_row(row)}" for row in result.scouting[:5]]
    if result.not_proposed:
        lines.append("Never proposed on this day:")
        lines += [f"    {one.spot.where}: {one.reason}" for one in result.not_proposed]
    return lines


def _row(row: Any) -> str:  # noqa: ANN401 - the same
    chance = row.chance
    span = f"{100 * chance.low:.0f} to {100 * chance.high:.0f} %"
    books = ", little known yet" if chance.mostly_from_books else ""
    poisoning = f"; {row.poisoning}" if row.poisoning else ""
    return (
        f"{row.spot.where}: {row.taxon_name}, chance {100 * chance.chance:.0f} % ({span}{books}){poisoning}"
    )


def _beside(row: Any) -> str:  # noqa: ANN401 - the same
    permission = "; ".join(row.permission) or "nobody was asked yet"
    return f"{row.class_said}; {permission}"

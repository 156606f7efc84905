"""The command that draws fruiting calendars."""

from __future__ import annotations

import datetime
from pathlib import Path

import click

from sitebook.commands.options import book_option, date_option, json_option, now


@click.command("calendar", short_help="Draw when taxa fruit at your sites as one offline page.")
@book_option
@click.option("--taxon", default=None, help="This taxon only, by its scientific or everyday name.")
@click.option("--site", default=None, help="This site only.")
@click.option(
    "--to",
    "to",
    type=click.Path(path_type=Path),
    default=None,
    help="Where the page goes; else calendar-private.html beside the book.",
)
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
    """Draw by site and ISO week the chance of at least one find in a 30-minute look, with its interval."""
    from sitebook.commands import as_json as json_form
    from sitebook.commands import telling
    from sitebook.work import opened, season_baseline
    from sitebook.work.adding import local_today
    from sitebook.work.keep_file import keep_file

    with opened(book_path) as book:
        today = on or local_today(book, now())
        answer = season_baseline.calendar(book, today=today, taxon=taxon, site=site, progress=telling.progress)
    page = keep_file(to or book_path.with_name("calendar-private.html"), answer.page or "")
    if as_json:
        json_form.echo({"page": page, "calendar": answer.result})
    else:
        rows = answer.result.rows
        taxa = len({row.taxon_id for row in rows})
        click.echo(f"Drew {page}: {taxa} taxa at {len({row.site_id for row in rows})} sites.")

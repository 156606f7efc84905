"""The command that reviews the sources of pollution round a place."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

import click

from sitebook.commands import surface_words
from sitebook.commands.options import book_option, date_option, json_option, now, read_metres, read_position
from sitebook.commands.writing import require_own, write

PAGE_NAME = "contamination-private.html"
WAYS_TO_ASK = "Say one of --at LON,LAT, --site NAME, --find LABEL, --all or --surface."


@click.command("contamination", short_help="Say what mapped and told sources may have left on a place.")
@book_option
@click.option("--at", "at", callback=read_position, metavar="LON,LAT", help="Review this position.")
@click.option(
    "--within",
    "within_m",
    callback=read_metres,
    metavar="METRES",
    help="How far --at may be off.",
)
@click.option("--site", default=None, help="Review this site.")
@click.option("--find", "find", default=None, metavar="LABEL", help="Review where this find was made.")
@click.option("--all", "every", is_flag=True, help="Review every site.")
@click.option("--surface", is_flag=True, help="Reckon the road index over all ground the maps cover.")
@click.option("--page", "with_page", is_flag=True, help=f"Draw a page too: {PAGE_NAME} beside the book.")
@click.option("--to", "to", type=click.Path(path_type=Path), default=None, help="Draw the page here.")
@date_option
@json_option
def command(
    *,
    book_path: Path,
    at: tuple[float, float] | None,
    within_m: float | None,
    site: str | None,
    find: str | None,
    every: bool,
    surface: bool,
    with_page: bool,
    to: Path | None,
    on: datetime.date | None,
    as_json: bool,
) -> None:
    """Say what roads, other sources and sprayings may have left on a place, and what is not known.

    Laboratory tests in the book are told first. Nothing here says that something may be eaten.
    """
    from sitebook.work import opened
    from sitebook.work.adding import local_today

    if [at is not None, site is not None, find is not None, every, surface].count(True) != 1:
        raise click.UsageError(WAYS_TO_ASK)
    if within_m is not None and at is None:
        raise click.UsageError("--within goes with --at.")
    if surface:
        surface_words.answer(book_path, on=on, as_json=as_json)
        return
    drawn = with_page or to is not None
    place = to or book_path.with_name(PAGE_NAME)
    require_own(place if drawn else None)
    with opened(book_path) as book:
        today = on or local_today(book, now())
        result, page = _asked(
            book, at=at, within_m=within_m, site=site, find=find, today=today, with_page=drawn
        )
    written = write(place, page, quiet=as_json) if page is not None else None
    _told(result, every=every, as_json=as_json, written=written)


def _asked(
    book: Any,  # noqa: ANN401 - an open book, of a room that commands do not see
    *,
    at: tuple[float, float] | None,
    within_m: float | None,
    site: str | None,
    find: str | None,
    today: datetime.date,
    with_page: bool,
) -> tuple[Any, str | None]:
    """Ask work for the reviews, and the page where one is wanted."""
    from sitebook.commands import telling
    from sitebook.work import contamination

    if at is not None:
        one = contamination.review_at(book, *at, today=today, uncertainty_m=within_m, with_page=with_page)
    elif site is not None:
        one = contamination.review_site(book, site, today=today, with_page=with_page)
    elif find is not None:
        one = contamination.review_find(book, find, today=today, with_page=with_page)
    else:
        several = contamination.review_all(book, today=today, with_page=with_page, progress=telling.progress)
        return several.result, several.page
    return (one.result,), one.page


def _told(result: Any, *, every: bool, as_json: bool, written: Path | None) -> None:  # noqa: ANN401
    """Print the reviews as lines or as JSON."""
    from sitebook.commands import as_json as json_form
    from sitebook.commands.contamination_words import as_documented, lines_of

    if as_json:
        answers = [as_documented(review) for review in result]
        json_form.echo(answers if every else answers[0])
        return
    for review in result:
        for line in lines_of(review, shortly=every):
            click.echo(line)
    if written is not None:
        click.echo(f"Drew {written}. It shows exact places: keep it to yourself.")

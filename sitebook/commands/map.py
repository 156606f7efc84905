"""The command that draws the map."""

from __future__ import annotations

import datetime
from pathlib import Path

import click

from sitebook.commands.options import book_option, date_option, json_option, now
from sitebook.commands.writing import require_own, write


@click.command("map", short_help="Draw the map of sites, trees and finds as one offline page.")
@book_option
@click.option(
    "--to",
    "to",
    type=click.Path(path_type=Path),
    default=None,
    help="Where the page goes; else map-private.html beside the book.",
)
@date_option
@json_option
def command(*, book_path: Path, to: Path | None, on: datetime.date | None, as_json: bool) -> None:
    """Draw the map of sites, host trees and finds; a click shows a record with its class and calendar."""
    from sitebook.commands import as_json as json_form
    from sitebook.commands import telling
    from sitebook.work import map as work_map
    from sitebook.work import opened
    from sitebook.work.adding import local_today

    target = to or book_path.with_name("map-private.html")
    beside = target.with_name(work_map.review_page_name(target.name))
    require_own(target)
    require_own(beside)
    with opened(book_path) as book:
        instant = now()
        today = on or local_today(book, instant)
        answer = work_map.draw(
            book, today=today, now=instant, review_page=beside.name, progress=telling.progress
        )
        reviews = work_map.draw_reviews(book, answer.result)
    page, view = write(target, answer.page or "", quiet=as_json), answer.result
    review_page = write(beside, reviews, quiet=as_json) if reviews is not None else None
    counts = {"sites": len(view.sites), "trees": len(view.trees), "finds": len(view.finds)}
    if as_json:
        json_form.echo({"page": page, "review_page": review_page, **counts})
        return
    click.echo(f"Drew {page}: " + ", ".join(telling.numbered(n, what) for what, n in counts.items()) + ".")
    if review_page is not None:
        click.echo(f"Drew {review_page}: the contamination review of every site, which the map links to.")
    click.echo("These pages show exact places: keep them to yourself.")

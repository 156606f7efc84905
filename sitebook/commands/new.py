"""The command that makes a new book."""

from __future__ import annotations

from pathlib import Path

import click

from sitebook.commands.options import book_option, json_option, now


@click.command("new", short_help="Make a new, empty book.")
@book_option
@click.option("--title", default="My book", show_default=True, help="What you call the book.")
@click.option("--owner", default="Owner", show_default=True, help="Your name.")
@click.option("--initials", default=None, help="Your initials, as on your tags; else those of your name.")
@click.option("--zone", default="UTC", show_default=True, help="Time zone of your dates, IANA name.")
@click.option(
    "--units",
    type=click.Choice(("metric", "US customary")),
    default="metric",
    show_default=True,
    help="Units that pages print.",
)
@json_option
def command(
    *, book_path: Path, title: str, owner: str, initials: str | None, zone: str, units: str, as_json: bool
) -> None:
    """Make a new, empty book with the starter names of fungi and hosts in it."""
    from sitebook.commands import as_json as json_form
    from sitebook.work import opened, upkeep
    from sitebook.work.beginning import new_book

    letters = initials or "".join(word[0] for word in owner.split()).upper()
    new_book(book_path, title=title, owner=owner, initials=letters, zone=zone, units=units, now=now())
    with opened(book_path) as book:
        counts = upkeep.counts(book)
    if as_json:
        json_form.echo({"book": book_path, "counts": counts})
    else:
        click.echo(f"Made {book_path} with {counts['taxon']} names of fungi and hosts in it.")
        click.echo(f"Dates are read in the zone {zone}, and you are {owner} ({letters}).")
        click.echo("Next: sitebook settings poison_centre NUMBER, so that every page prints it.")
        click.echo(
            "Then: sitebook import FILES; empty tables: sitebook template site, sitebook template visit"
        )

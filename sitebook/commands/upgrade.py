"""The command that brings an older book up to date."""

from __future__ import annotations

from pathlib import Path

import click

from sitebook.commands.options import book_option, json_option


@click.command("upgrade", short_help="Bring an older book up to date, after a copy.")
@book_option
@json_option
def command(*, book_path: Path, as_json: bool) -> None:
    """Bring a book of an older sitebook up to date; the book as it was is copied first."""
    from sitebook.commands import as_json as json_form
    from sitebook.work.upkeep import bring_up_to_date

    copy = bring_up_to_date(book_path).result
    if as_json:
        json_form.echo({"book": book_path, "copy": copy})
    elif copy is None:
        click.echo(f"{book_path} is up to date.")
    else:
        click.echo(f"{book_path} is up to date; as it was it lies in {copy}.")

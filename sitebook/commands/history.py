"""The command that tells what happened to a record."""

from __future__ import annotations

from pathlib import Path

import click

from sitebook.commands.options import book_option, json_option, kind_argument


@click.command("history", short_help="Tell what happened to a record.")
@kind_argument
@click.argument("name")
@book_option
@json_option
def command(*, kind: str, name: str, book_path: Path, as_json: bool) -> None:
    """Tell everything that happened to the record of a KIND with this NAME, oldest first."""
    from sitebook.commands import as_json as json_form
    from sitebook.work import opened
    from sitebook.work.corrections.telling_history import of_record

    with opened(book_path) as book:
        told = of_record(book, kind, name).result
    if as_json:
        json_form.echo(told)
        return
    click.echo(told.called)
    for line in told.lines:
        click.echo(f"  {line.made_at:%Y-%m-%d %H:%M} UTC  {line.words}")

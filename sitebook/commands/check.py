"""The command that looks a book over."""

from __future__ import annotations

from pathlib import Path

import click

from sitebook.commands.options import book_option, json_option


@click.command("check", short_help="Look whether the book's file is whole.")
@book_option
@json_option
@click.pass_context
def command(context: click.Context, *, book_path: Path, as_json: bool) -> None:
    """Look whether the book's file is whole and its tables agree; status 2 when something is wrong."""
    from sitebook.commands import as_json as json_form
    from sitebook.work import opened
    from sitebook.work.upkeep import look_over

    with opened(book_path) as book:
        lines = look_over(book).result
    faults = sum(len(line.faults) for line in lines)
    if as_json:
        json_form.echo({"book": book_path, "faults": faults, "looked_at": lines})
    else:
        for line in lines:
            click.echo(f"{line.looked_at}: {'; '.join(line.faults) or 'nothing wrong found'}")
    if faults:
        context.exit(2)

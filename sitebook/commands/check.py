"""The command that looks a book over."""

from __future__ import annotations

from pathlib import Path

import click

from sitebook.commands.options import book_option, json_option


@click.command("check", short_help="Look whether book and photos are whole.")
@book_option
@json_option
@click.pass_context
def command(context: click.Context, *, book_path: Path, as_json: bool) -> None:
    """Look whether the book is whole, its tables agree and its photos are there; status 2 for any fault."""
    from sitebook.commands import as_json as json_form
    from sitebook.commands import telling
    from sitebook.work import opened
    from sitebook.work.upkeep import look_over

    with opened(book_path) as book:
        lines = look_over(book, telling.progress).result
    faults = sum(len(line.faults) for line in lines)
    if as_json:
        json_form.echo({"book": book_path, "faults": faults, "looked_at": lines})
    else:
        for line in lines:
            click.echo(f"{line.looked_at}: {'; '.join(line.faults) or 'nothing wrong found'}")
            for remark in line.remarks:
                click.echo(f"  {remark}")
    if faults:
        context.exit(2)

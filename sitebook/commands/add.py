"""The command that adds one record."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from sitebook.commands.options import book_option, json_option, now, parted


@click.command("add", short_help="Add one record, asking for what is missing.")
@click.argument("kind")
@click.argument("fields", nargs=-1, metavar="[FIELD=VALUE]...")
@book_option
@click.option("--far", is_flag=True, help="Believe a position far from everything in the book.")
@json_option
def command(*, kind: str, fields: tuple[str, ...], book_path: Path, far: bool, as_json: bool) -> None:
    """Add one record of a KIND; fields are those of `sitebook template KIND`.

    Example: sitebook add visit site="Mill Park" local_date=2025-09-14 reason=planned
    """
    from sitebook.commands import as_json as json_form
    from sitebook.work import opened
    from sitebook.work.adding import add

    cells = parted(fields)
    with opened(book_path) as book:
        made = add(book, kind, _asked(kind, cells), now=now(), far=far).result
    if as_json:
        json_form.echo({"added": made})
    else:
        parts = ", ".join(f"{n} {table.replace('_', ' ')}" for table, n in made.items())
        click.echo(f"Added {parts}.")


def _asked(kind: str, cells: dict[str, str]) -> dict[str, str]:
    """Ask for fields that must be filled, when somebody sits at the terminal."""
    from sitebook.work.adding import fields_of

    missing = [field for field in fields_of(kind) if field.required and not cells.get(field.name)]
    if not sys.stdin.isatty():
        return cells
    answered = dict(cells)
    for field in missing:
        if field.words:
            click.echo(f"  one of: {', '.join(field.words)}")
        answered[field.name] = click.prompt(f"{field.name} ({field.meaning})")
    return answered

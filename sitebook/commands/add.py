"""The command that adds one record."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from sitebook.commands.options import book_option, json_option, kind_argument, now, parted

if TYPE_CHECKING:
    from sitebook.work.adding import Asked


@click.command("add", short_help="Add one record, asking for what is missing.")
@kind_argument
@click.argument("fields", nargs=-1, metavar="[FIELD=VALUE]...")
@book_option
@click.option("--far", is_flag=True, help="Believe a position far from everything in the book.")
@json_option
def command(*, kind: str, fields: tuple[str, ...], book_path: Path, far: bool, as_json: bool) -> None:
    """Add one record of a KIND; fields are those of `sitebook template KIND`.

    Example: sitebook add visit site="Mill Park" local_date=2025-09-14 reason=planned

    KIND is a table, spraying, hazard, labtest or count among them; `sitebook template KIND` tells its fields.
    """
    from sitebook.commands import as_json as json_form
    from sitebook.commands import telling
    from sitebook.work import opened
    from sitebook.work.adding import add

    cells = parted(fields)
    with opened(book_path) as book:
        answer = add(book, kind, _asked(kind, cells), now=now(), far=far)
    if as_json:
        json_form.echo({"added": answer.result, "remarks": answer.remarks})
        return
    click.echo(f"Added {telling.counted(answer.result)}.")
    for remark in answer.remarks:
        click.echo(remark)


def _asked(kind: str, cells: dict[str, str]) -> dict[str, str]:
    """Ask for fields that must be filled, and with them for those that weigh much, at a terminal."""
    from sitebook.work.adding import fields_of

    fields = fields_of(kind)
    missing = [field for field in fields if field.required and not cells.get(field.name)]
    if not sys.stdin.isatty() or not missing:
        return cells
    answered = dict(cells)
    for field in (*missing, *(field for field in fields if not field.required)):
        if not field.required and field.is_needless(answered):
            continue
        if field.words:
            click.echo(f"  one of: {', '.join(field.words)}")
        answered[field.name] = _prompted(field)
    return answered


def _prompted(field: Asked) -> str:
    said = f"{field.name} ({field.meaning})"
    if field.required:
        return str(click.prompt(said))
    return str(click.prompt(f"{said}, or nothing", default="", show_default=False))

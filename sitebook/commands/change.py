"""The command that changes fields of one record."""

from __future__ import annotations

from pathlib import Path

import click

from sitebook.commands.options import book_option, json_option, kind_argument, now, parted


@click.command("change", short_help="Change fields of one record.")
@kind_argument
@click.argument("name")
@click.argument("fields", nargs=-1, required=True, metavar="FIELD=VALUE...")
@book_option
@click.option("--far", is_flag=True, help="Believe a position far from everything in the book.")
@json_option
def command(
    *, kind: str, name: str, fields: tuple[str, ...], book_path: Path, far: bool, as_json: bool
) -> None:
    """Change fields of the record of a KIND with this NAME; FIELD= empties a field.

    Fields are those of `sitebook template KIND`. What stood there before is kept as history.

    Example: sitebook change site "Mill Park" radius_m=60 note=
    """
    from sitebook.commands import as_json as json_form
    from sitebook.work import opened
    from sitebook.work.corrections.changing import change

    cells = parted(fields)
    with opened(book_path) as book:
        done = change(book, kind, name, cells, now=now(), far=far).result
    if as_json:
        json_form.echo(done)
        return
    click.echo(f"{done.called}: {'changed' if done.columns else 'nothing to change, it says so already'}")
    for column in done.columns:
        click.echo(f"  {column.column}: {column.old} → {column.new}")
    for remark in done.remarks:
        click.echo(remark)

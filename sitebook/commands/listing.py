"""The command that lists records."""

from __future__ import annotations

from pathlib import Path

import click

from sitebook.commands.options import book_option, json_option, read_kind


@click.command("list", short_help="List the records of a kind.")
@click.argument("kind", required=False, callback=read_kind)
@book_option
@click.option("--withdrawn", is_flag=True, help="List the withdrawn records of a KIND instead.")
@json_option
def command(*, kind: str | None, book_path: Path, withdrawn: bool, as_json: bool) -> None:
    """List the records of a KIND, as site, visit or find; without a kind, how many there are of each."""
    from sitebook.commands import as_json as json_form
    from sitebook.commands import telling
    from sitebook.work import opened, upkeep
    from sitebook.work.asking import list_kind

    with opened(book_path) as book:
        if kind is None:
            counts = upkeep.counts(book)
            if as_json:
                json_form.echo(counts)
            else:
                telling.table(
                    ("kind", "records"), [{"kind": k, "records": n} for k, n in counts.items() if n]
                )
            return
        found = list_kind(book, kind, withdrawn=withdrawn).result
    if as_json:
        json_form.echo(found.rows)
    else:
        columns = [c for c in found.columns if c not in ("uuid", "raw_tags")]
        telling.table(columns, found.rows)
        click.echo(f"{len(found.rows)} of kind {kind.replace('_', ' ')}")

"""The command that shows one record."""

from __future__ import annotations

from pathlib import Path

import click

from sitebook.commands.options import book_option, json_option, kind_argument


@click.command("show", short_help="Show one record with what hangs on it.")
@kind_argument
@click.argument("name")
@book_option
@json_option
def command(*, kind: str, name: str, book_path: Path, as_json: bool) -> None:
    """Show one record of a KIND by its NAME: a site's name, a tree's tag, a find as "AC 12", SITE@DATE."""
    from sitebook.commands import as_json as json_form
    from sitebook.commands import telling, weather_words
    from sitebook.work import opened
    from sitebook.work.asking import show

    with opened(book_path) as book:
        shown = show(book, kind, name).result
    if as_json:
        json_form.echo(shown)
        return
    click.echo(f"{shown.kind.replace('_', ' ')} {shown.called}")
    for remark in shown.remarks:
        click.echo(f"  {remark}")
    for column, value in shown.values.items():
        if value is not None:
            click.echo(f"  {column}: {telling.words(value)}")
    for line in weather_words.lines(shown.days) if shown.days else ():
        click.echo(f"  {line}")
    for part in shown.parts:
        click.echo(f"\n{part.kind.replace('_', ' ')} ({len(part.rows)})")
        telling.table([c for c in part.columns if c not in ("uuid", "sha256", f"{kind}_id")], part.rows)

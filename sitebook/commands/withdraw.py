"""The command that withdraws a record, or brings it back."""

from __future__ import annotations

from pathlib import Path

import click

from sitebook.commands.options import book_option, json_option, kind_argument, now


@click.command("withdraw", short_help="Withdraw a record, or bring it back.")
@kind_argument
@click.argument("name")
@book_option
@click.option("--back", is_flag=True, help="Bring a withdrawn record back.")
@click.option("--with-all", is_flag=True, help="Withdraw it although other records rest on it.")
@json_option
def command(*, kind: str, name: str, book_path: Path, back: bool, with_all: bool, as_json: bool) -> None:
    """Withdraw the record of a KIND with this NAME: no list, map or calendar shows it any more.

    Nothing is deleted. What hangs on it, as the names of a find, goes out of view with it and comes back
    with it.
    """
    from sitebook.commands import as_json as json_form
    from sitebook.commands import telling
    from sitebook.work import opened
    from sitebook.work.corrections.withdrawing import withdraw

    with opened(book_path) as book:
        done = withdraw(book, kind, name, now=now(), back=back, with_all=with_all).result
    if as_json:
        json_form.echo(done)
        return
    with_it = f"; with it {telling.counted(done.with_it)}" if done.with_it else ""
    click.echo(f"{done.called}: {'brought back' if back else 'withdrawn'}{with_it}")
    for remark in done.remarks:
        click.echo(remark)

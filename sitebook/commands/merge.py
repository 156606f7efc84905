"""The command that makes two records one."""

from __future__ import annotations

from pathlib import Path

import click

from sitebook.commands.options import book_option, json_option, kind_argument, now


@click.command("merge", short_help="Make two sites, trees or taxa one.")
@kind_argument
@click.argument("kept")
@click.argument("other")
@book_option
@json_option
def command(*, kind: str, kept: str, other: str, book_path: Path, as_json: bool) -> None:
    """Let everything that names OTHER name KEPT; KIND is site, host_tree or taxon.

    The other site or tree is withdrawn and its name leads to the kept one; the other taxon becomes a
    synonym, and finds keep the names they were given.
    """
    from sitebook.commands import as_json as json_form
    from sitebook.commands import telling
    from sitebook.work import opened
    from sitebook.work.corrections.merging import merge

    with opened(book_path) as book:
        done = merge(book, kind, kept, other, now=now()).result
    if as_json:
        json_form.echo(done)
        return
    moved = f"{telling.counted(done.moved)} moved" if done.moved else "nothing named it"
    click.echo(f"{done.other} merged into {done.kept}: {moved}")
    if done.doubles:
        click.echo(f"Said twice, so left with the other: {telling.counted(done.doubles)}")
    for remark in done.remarks:
        click.echo(remark)

"""The command that takes back the last acts, or one import."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from sitebook.commands.options import book_option, json_option, now

if TYPE_CHECKING:
    from sitebook.records.results.corrections import TakenBack

LINES_TOLD = 5


@click.command("undo", short_help="Take back the last acts, or one import.")
@book_option
@click.option(
    "--last", type=int, default=1, show_default=True, metavar="N", help="How many acts to take back."
)
@click.option("--import", "batch", default=None, metavar="FILE", help="Take back the import of this file.")
@click.option("--back", is_flag=True, help="Bring back what the last undo took.")
@click.option("--dry-run", is_flag=True, help="Do everything, keep nothing.")
@json_option
def command(
    *, book_path: Path, last: int, batch: str | None, back: bool, dry_run: bool, as_json: bool
) -> None:
    """Take back the last act that stands, or the import of one file.

    An act is one command that changed the book. A value that was changed again since stays; both values
    wait under `sitebook decide`. The file of an import that was taken back can be imported again.
    """
    from sitebook.commands import as_json as json_form
    from sitebook.work import opened
    from sitebook.work.corrections.undoing import undo

    with opened(book_path) as book:
        done = undo(book, now=now(), last=last, batch=batch, back=back, dry_run=dry_run).result
    if as_json:
        json_form.echo(done)
        return
    for act in done.acts:
        _tell(act, "Brought back what was taken by: " if done.back else "Taken back: ")
    if done.dry_run:
        click.echo("This was a trial; nothing was kept.")


def _tell(act: TakenBack, opening: str) -> None:
    from sitebook.commands import telling

    click.echo(f"{opening}{act.words}")
    for counts, word in ((act.withdrawn, "withdrawn"), (act.set_back, "set back")):
        if counts:
            click.echo(f"  {word}: {telling.counted(counts)}")
    for line in act.kept[:LINES_TOLD]:
        click.echo(f"  kept: {line}")
    if len(act.kept) > LINES_TOLD:
        click.echo(f"  and {len(act.kept) - LINES_TOLD} more; `sitebook decide` has them all")
    if act.hidden:
        click.echo(f"  out of view with it, of other origin: {telling.counted(act.hidden)}")

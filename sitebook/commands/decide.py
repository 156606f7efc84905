"""The command that lists conflicts and lets one of two values stand."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from sitebook.commands.options import book_option, json_option, now

if TYPE_CHECKING:
    from sitebook.records.results.corrections import ConflictLine


@click.command("decide", short_help="Decide which of two values stands.")
@click.argument("conflict_id", type=int, required=False, metavar="[ID]")
@click.argument("which", required=False, metavar="[ours|theirs]")
@book_option
@json_option
def command(*, conflict_id: int | None, which: str | None, book_path: Path, as_json: bool) -> None:
    """List the values that contradict each other, or let one stand.

    ours is the value in the book, theirs the one that came in with a file, or that an undo would have set.
    """
    from sitebook.commands import as_json as json_form
    from sitebook.work import opened
    from sitebook.work.corrections.deciding import conflicts, decide

    if conflict_id is not None and which is None:
        raise click.UsageError("Say which value stands: ours or theirs.")
    with opened(book_path) as book:
        if conflict_id is not None and which is not None:
            line = decide(book, conflict_id, which, now=now()).result
            if as_json:
                json_form.echo(line)
            else:
                stands = line.theirs if which == "theirs" else line.ours
                click.echo(f"{line.called}: {line.column} stays {stands}")
            return
        lines = conflicts(book).result
    if as_json:
        json_form.echo(lines)
    else:
        _tell(lines)


def _tell(lines: tuple[ConflictLine, ...]) -> None:
    from sitebook.commands import telling

    if not lines:
        click.echo("Nothing waits for a decision.")
        return
    columns = ("id", "record", "column", "ours", "theirs", "came with")
    telling.table(
        columns,
        [
            {
                "id": line.conflict_id,
                "record": line.called,
                "column": line.column,
                "ours": line.ours,
                "theirs": line.theirs,
                "came with": line.came_with,
            }
            for line in lines
        ],
    )
    click.echo("Decide with `sitebook decide ID ours` or `sitebook decide ID theirs`.")

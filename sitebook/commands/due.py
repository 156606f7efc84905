"""The command that lists what waits."""

from __future__ import annotations

import datetime
from itertools import groupby
from pathlib import Path

import click

from sitebook.commands.options import book_option, date_option, json_option, now

SHOWN = 5


@click.command("due", short_help="List what waits for you, each with what to type next.")
@book_option
@click.option("--every", is_flag=True, help=f"Show all of a kind, not the first {SHOWN} alone.")
@date_option
@json_option
def command(*, book_path: Path, every: bool, on: datetime.date | None, as_json: bool) -> None:
    """List what waits for you: finds without a name, photos without a find, permissions to ask for, and more.

    Each line is followed by what to type next; words in capitals are yours to fill in.
    """
    from sitebook.commands import as_json as json_form
    from sitebook.records.results.due import TOPICS
    from sitebook.work import opened
    from sitebook.work.adding import local_today
    from sitebook.work.due import due

    with opened(book_path) as book:
        found = due(book, today=on or local_today(book, now())).result
    if as_json:
        json_form.echo(found)
        return
    if not found:
        click.echo("Nothing waits.")
    for topic, group in groupby(found, key=lambda one: one.topic):
        waiting = list(group)
        click.echo(f"{TOPICS[topic]} ({len(waiting)})")
        for one in waiting if every else waiting[:SHOWN]:
            click.echo(f"  {one.record}: {one.words}")
            click.echo(f"    {one.next_step}")
        if not every and len(waiting) > SHOWN:
            click.echo(f"  and {len(waiting) - SHOWN} more: sitebook due --every")

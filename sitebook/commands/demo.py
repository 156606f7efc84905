"""The command that makes the demo."""

from __future__ import annotations

from pathlib import Path

import click

from sitebook.commands.options import json_option, now


@click.command("demo", short_help="Make a book of an invented island and its pages.")
@click.option(
    "--to",
    "to",
    type=click.Path(path_type=Path),
    required=True,
    help="An empty or new folder for the book, its pages and the files they were made from.",
)
@json_option
def command(*, to: Path, as_json: bool) -> None:
    """Make a book of an invented island, from files as a person would have them, and draw its pages."""
    from sitebook.commands import as_json as json_form
    from sitebook.commands import telling
    from sitebook.work.demo import make_demo

    made = make_demo(to, now=now(), progress=telling.progress).result
    if as_json:
        json_form.echo(made)
        return
    counts = made.counts
    click.echo(
        f"Made {made.book}: {counts['site']} sites, {counts['host_tree']} host trees, "
        f"{counts['visit']} visits, {counts['find']} finds."
    )
    for page in made.pages:
        click.echo(f"Open {page} in a browser; it needs no network.")

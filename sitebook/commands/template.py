"""The command that prints an empty table."""

from __future__ import annotations

from pathlib import Path

import click

from sitebook.commands.options import kind_argument


@click.command("template", short_help="Print an empty table to fill in.")
@kind_argument
@click.option("--to", "to", type=click.Path(path_type=Path), default=None, help="Write it here instead.")
@click.option("--replace", is_flag=True, help="Write over what lies there.")
def command(*, kind: str, to: Path | None, replace: bool) -> None:
    """Print an empty table of a KIND, as visit, find or site: each column explained, then the header."""
    from sitebook.work.keep_file import keep_file, require_free
    from sitebook.work.templates import template_of

    text = template_of(kind).result
    if to is None:
        click.echo(text, nl=False)
        return
    if not replace:
        require_free([to])
    click.echo(f"Wrote {keep_file(to, text, replace=replace)}")

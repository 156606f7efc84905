"""The command that restores a book from a backup."""

from __future__ import annotations

from pathlib import Path

import click

from sitebook.commands.options import book_option, json_option


@click.command("restore", short_help="Take book and photos out of a backup, where no book lies.")
@click.argument("zip_path", metavar="FILE.zip", type=click.Path(path_type=Path))
@book_option
@json_option
@click.pass_context
def command(context: click.Context, *, zip_path: Path, book_path: Path, as_json: bool) -> None:
    """Take book and photos out of a backup after checking every byte; never writes over a book."""
    from sitebook.commands import as_json as json_form
    from sitebook.commands import telling
    from sitebook.work.restoring import restore

    done = restore(zip_path, book_path, progress=telling.progress).result
    manifest = done.manifest
    photos = len(manifest.members) - 1
    if as_json:
        json_form.echo(
            {
                "book": done.path,
                "made_at": manifest.origin.made_at,
                "revision": manifest.origin.revision,
                "photos": photos,
                "missing": manifest.missing,
                "upgrade_needed": done.upgrade_needed,
                "faults": done.faults,
            }
        )
    else:
        made_at = manifest.origin.made_at.isoformat(timespec="minutes").replace("+00:00", " UTC")
        click.echo(f"Restored {done.path} with {photos} photos, as it was at {made_at}.")
        for fault in done.faults:
            click.echo(f"Found by looking it over: {fault}")
        if done.upgrade_needed:
            click.echo(f"It was written by an older sitebook. Next: sitebook upgrade --book {done.path}")
    if done.faults:
        context.exit(2)

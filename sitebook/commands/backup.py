"""The command that backs the book up."""

from __future__ import annotations

from pathlib import Path

import click

from sitebook.commands.options import book_option, json_option, now


@click.command("backup", short_help="Copy book and photos into one zip, read back and checked.")
@book_option
@click.option(
    "--to",
    "to",
    type=click.Path(path_type=Path),
    default=None,
    help="A zip's name, or a folder such as a stick; else a dated zip beside the book.",
)
@click.option("--replace", is_flag=True, help="Replace a zip of that name once the new one is whole.")
@json_option
def command(*, book_path: Path, to: Path | None, replace: bool, as_json: bool) -> None:
    """Copy book and photos into one zip while others may use the book; it is read back before it counts."""
    from sitebook.commands import as_json as json_form
    from sitebook.commands import telling
    from sitebook.work import opened
    from sitebook.work.adding import local_today
    from sitebook.work.safekeeping import back_up

    at = now()
    with opened(book_path) as book:
        today = local_today(book, at)
        done = back_up(book, to=to, now=at, today=today, replace=replace, progress=telling.progress).result
    manifest = done.manifest
    photos = len(manifest.members) - 1
    if as_json:
        json_form.echo(
            {
                "zip": done.path,
                "size_bytes": done.size_bytes,
                "made_at": manifest.origin.made_at,
                "revision": manifest.origin.revision,
                "photos": photos,
                "missing": manifest.missing,
                "altered": manifest.altered,
            }
        )
        return
    size_mb = done.size_bytes / 1e6
    click.echo(f"Made {done.path} ({size_mb:.1f} MB): the book and {photos} photos, read back and whole.")
    for name in manifest.missing:
        click.echo(f"Not in it, for the original is missing: {name}")
    for name in manifest.altered:
        click.echo(f"In it as it was found, though its SHA-256 is no longer that of the original: {name}")
    if to is None:
        click.echo("It lies on the same disk as the book. For another disk: sitebook backup --to FOLDER")

"""The command that lists cameras or sets the clock of one right."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from sitebook.commands.options import book_option, json_option, now

if TYPE_CHECKING:
    from sitebook.work.photos.cameras import CameraLine, ClockSet


@click.command("camera", short_help="List your cameras, or set the clock of one right.")
@click.argument("name", required=False)
@click.option(
    "--offset",
    "offset_s",
    type=float,
    metavar="SECONDS",
    help="Seconds to add to the clock of the camera NAME: negative where it is fast.",
)
@book_option
@json_option
def command(*, name: str | None, offset_s: float | None, book_path: Path, as_json: bool) -> None:
    """List the cameras whose photos are in the book, or set the clock of one right.

    The offset holds for the photos of that camera that are in the book, and for all to come. A photo
    whose time you changed yourself stays as it is.
    """
    from sitebook.commands import as_json as json_form
    from sitebook.commands import telling
    from sitebook.work import opened
    from sitebook.work.photos.cameras import list_cameras, set_clock

    if (name is None) != (offset_s is None):
        raise click.UsageError("Give both a camera's NAME and --offset SECONDS, or neither.")
    with opened(book_path) as book:
        if name is not None and offset_s is not None:
            done = set_clock(book, name, offset_s, now=now()).result
            json_form.echo(done) if as_json else _tell(done)
            return
        cameras = list_cameras(book).result
    if as_json:
        json_form.echo(cameras)
    elif cameras:
        telling.table(("camera", "photos", "offset"), [_row(line) for line in cameras])
    else:
        click.echo("No photo of the book names a camera yet.")


def _row(line: CameraLine) -> dict[str, object]:
    offset = f"{line.offset_s:+g} s" if line.set_by_her else "not set"
    return {"camera": line.camera, "photos": line.photos, "offset": offset}


def _tell(done: ClockSet) -> None:
    click.echo(f"{done.line.camera}: {done.line.offset_s:+g} s; {done.set_anew} photos set anew.")
    told = (
        (done.left_alone, "photos stay: you set their time yourself."),
        (done.finds_moved, "draft finds took the new time or place along."),
        (done.finds_made, "draft finds were made of photos that have a place now."),
    )
    for count, words in told:
        if count:
            click.echo(f"{count} {words}")
    for remark in done.remarks:
        click.echo(remark)

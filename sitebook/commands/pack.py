"""The command that makes what is carried along on a planned day."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from sitebook.commands.options import book_option, json_option, now

DEFAULT_NAME = "pack-private.html"
KILOBYTE = 1000


@click.command("pack", short_help="Make the offline page, tags and paper to carry on a planned day.")
@click.argument("foray", required=False)
@book_option
@click.option(
    "--to",
    "to",
    type=click.Path(path_type=Path),
    default=None,
    help=f"Where the page goes; else {DEFAULT_NAME} beside the book. Tags and paper go beside it.",
)
@click.option(
    "--numbers",
    type=int,
    default=None,
    help="How many collection numbers it reserves; else those of the day's earlier pack, else 20.",
)
@click.option("--collector", default=None, metavar="INITIALS", help="Whose numbers; else the owner's.")
@click.option(
    "--new-numbers",
    is_flag=True,
    help="Reserve other numbers than the day's earlier pack has, as for a second phone.",
)
@json_option
def command(
    *,
    foray: str | None,
    book_path: Path,
    to: Path | None,
    numbers: int | None,
    collector: str | None,
    new_numbers: bool,
    as_json: bool,
) -> None:
    """Make the pack of a foray: a page for the phone that needs no network, tags to cut, and leaves of A6.

    FORAY is its date or the first signs of its UUID; without it the latest. `sitebook import` takes what
    the page saves.
    """
    from sitebook.commands import as_json as json_form
    from sitebook.commands import telling
    from sitebook.work import opened
    from sitebook.work.pack import pack

    with opened(book_path) as book:
        made = pack(
            book,
            foray,
            to or book_path.with_name(DEFAULT_NAME),
            now=now(),
            numbers=numbers,
            collector=collector,
            new_numbers=new_numbers,
            progress=telling.progress,
        ).result
    if as_json:
        json_form.echo(json_of(made))
        return
    for line in lines_of(made):
        click.echo(line)


def json_of(made: Any) -> dict[str, object]:  # noqa: ANN401 - a result of a room that commands do not name
    """Give a pack as JSON has it."""
    return {
        "page": made.page,
        "tags": made.tags,
        "paper": made.paper,
        "foray": made.plan.foray_uuid,
        "on": made.plan.on,
        "stops": list(made.stops),
        "changed": list(made.changed),
        "sheet": made.sheet.uuid,
        "revision": made.sheet.revision,
        "first_number": made.sheet.first_number,
        "last_number": made.sheet.last_number,
        "same_numbers": made.again,
        "size_bytes": made.size_bytes,
    }


def lines_of(made: Any) -> list[str]:  # noqa: ANN401 - a result of a room that commands do not name
    """Tell of a pack line by line."""
    stops = "1 stop" if len(made.stops) == 1 else f"{len(made.stops)} stops"
    size = f"{made.size_bytes / KILOBYTE:,.0f} kB"
    lines = [f"Wrote {made.page} for {made.plan.on.isoformat()}: {stops}, {size}; copy it to the phone."]
    lines += made.changed
    if made.tags is not None:
        lines.append(f"Wrote {made.tags}: print it on A4 and cut the tags.")
    lines.append(f"Wrote {made.paper}: print it on A6, for when the phone fails.")
    if made.sheet.numbers:
        first, last = made.sheet.first_number, made.sheet.last_number
        verb = "It keeps" if made.again else "Reserved"
        lines.append(f"{verb} the numbers {made.sheet.collector.initials} {first} to {last}.")
    lines.append("Save at the end of the day, and bring in what it saved: sitebook import FILE")
    lines.append("It shows exact places: keep it to yourself.")
    return lines

"""The group of all commands, and the one place where an error meets a person."""

from __future__ import annotations

import errno
import importlib
import os
import sys
import traceback
from pathlib import Path

import click

import sitebook
from sitebook.commands.options import BOOK_IN_USE, DEFAULT_BOOK
from sitebook.errors import FileNotWritable, SitebookError

COMMANDS: dict[str, tuple[str, str]] = {
    "new": ("new", "Make a new, empty book."),
    "demo": ("demo", "Make a book of an invented island and its pages."),
    "import": ("bring_in", "Bring files in: GPX, photos, tables, map extracts, daily weather."),
    "template": ("template", "Print an empty table to fill in."),
    "add": ("add", "Add one record, asking for what is missing."),
    "list": ("listing", "List the records of a kind."),
    "show": ("show", "Show one record with what hangs on it."),
    "change": ("change", "Change fields of one record."),
    "withdraw": ("withdraw", "Withdraw a record, or bring it back."),
    "merge": ("merge", "Make two sites, trees or taxa one."),
    "undo": ("undo", "Take back the last acts, or one import."),
    "history": ("history", "Tell what happened to a record."),
    "decide": ("decide", "Decide which of two values stands."),
    "camera": ("camera", "List your cameras, or set the clock of one right."),
    "settings": ("settings", "Show or set values of yours."),
    "map": ("map", "Draw the map of sites, trees and finds as one offline page."),
    "calendar": ("season", "Draw when taxa fruit at your sites and trees as one offline page."),
    "weather": ("weather", "Show the weather of the last days and what it means."),
    "outlook": ("outlook", "Tell what the coming days may bring, with the weather so far."),
    "revisit": ("revisit", "Rank the trees and sites worth another visit on a day."),
    "plan": ("plan", "Plan a day out: which sites, in which order, when and why."),
    "pack": ("pack", "Make the offline page, tags and paper to carry on a planned day."),
    "foray": ("foray", "Tell what became of a day out: planned beside done."),
    "contamination": ("contamination", "Say what mapped and told sources may have left on a place."),
    "export": ("export", "Write tables, GeoJSON, GPX or SpatiaLite for other programs."),
    "query": ("query", "Answer a question in SQL; the book is only read."),
    "backup": ("backup", "Copy book and photos into one zip, read back and checked."),
    "restore": ("restore", "Take book and photos out of a backup, where no book lies."),
    "entry-sheet": ("entry_sheet", "Write the offline form for visits, looks and finds."),
    "due": ("due", "List what waits for you, each with what to type next."),
    "upgrade": ("upgrade", "Bring an older book up to date, after a copy."),
    "check": ("check", "Look whether book and photos are whole."),
}
"""Each command with its file and its one line, so that --help loads none of them."""

INPUT_WRONG, OURS_WRONG = 2, 1
_DISK = (errno.ENOSPC, errno.EROFS, errno.EIO)


class _Lazy(click.Group):
    """A group whose commands are imported when they are called."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        """Name the commands in the order a newcomer meets them."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """Import one command."""
        if cmd_name not in COMMANDS:
            return None
        module = importlib.import_module(f"sitebook.commands.{COMMANDS[cmd_name][0]}")
        command: click.Command = module.command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        """Print each command with its one line, importing none."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, line) for name, (_, line) in COMMANDS.items()])


@click.group(
    cls=_Lazy,
    invoke_without_command=True,
    help="The book of places: what was found where, under which tree, when, and on what evidence it was "
    "named. It says what is known and what is missing. Whether to eat something is not a question "
    "it answers.",
)
@click.version_option(sitebook.__version__, prog_name="sitebook")
@click.option("--book", metavar="PATH", help="The book, for the command that follows.")
@click.pass_context
def cli(context: click.Context, *, book: str | None) -> None:
    """Let --book stand before the command as well as after it."""
    if book is not None:
        before = os.environ.get("SITEBOOK_BOOK")
        os.environ["SITEBOOK_BOOK"] = book
        context.call_on_close(lambda: _set_back(before))
    if context.invoked_subcommand is None:
        click.echo(context.get_help())


def _set_back(before: str | None) -> None:
    if before is None:
        os.environ.pop("SITEBOOK_BOOK", None)
    else:
        os.environ["SITEBOOK_BOOK"] = before


def main() -> None:
    """Run the command line and end with 0, 2 for input that cannot be, 1 for a fault of ours."""
    _set_utf8()
    sys.exit(_run())


def _set_utf8() -> None:
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(encoding="utf-8", errors="backslashreplace")


def _run() -> int:
    in_use: dict[str, Path] = {}
    try:
        status = cli(standalone_mode=False, obj=in_use)
    except SitebookError as error:
        click.echo(f"sitebook: {error}", err=True)
        return INPUT_WRONG
    except click.ClickException as error:
        click.echo(f"sitebook: {_plain(error.format_message())} See `sitebook --help`.", err=True)
        return INPUT_WRONG
    except (click.Abort, KeyboardInterrupt):
        click.echo("sitebook: stopped; nothing of this command was kept.", err=True)
        return INPUT_WRONG
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except Exception as error:  # noqa: BLE001 - no traceback may reach a person
        return _unexpected(error, in_use.get(BOOK_IN_USE, Path(DEFAULT_BOOK)).parent)
    return status if isinstance(status, int) else 0


def _plain(message: str) -> str:
    """Put on one line, and in words of every day, what is wrong with a command line."""
    return " ".join(message.split()).replace("is not a valid integer", "is no whole number")


def _unexpected(error: Exception, folder: Path) -> int:
    """Tell a fault of ours, or that the answer found no room where it was sent."""
    if not isinstance(error, OSError) or error.errno not in _DISK:
        click.echo(f"sitebook: {_kept_trace(error, folder)}", err=True)
        return OURS_WRONG
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    told = FileNotWritable(
        f"the answer cannot be written where it should go ({error.strerror})",
        remedy="Make room there, then give the command again.",
    )
    click.echo(f"sitebook: {told}", err=True)
    return INPUT_WRONG


def _kept_trace(error: Exception, folder: Path) -> str:
    said = f"something went wrong inside sitebook ({type(error).__name__}: {' '.join(str(error).split())})"
    trace = folder / "sitebook-trace.txt"
    try:
        trace.write_text("".join(traceback.format_exception(error)), encoding="utf-8")
    except OSError:
        return f"{said}. Nothing was kept."
    return f"{said}. Nothing was kept; the details lie in {trace}."

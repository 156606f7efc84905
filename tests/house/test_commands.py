"""Tests that every command and every option has help, and is documented."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

from sitebook.commands.main import cli

PLANNED = {
    "new",
    "demo",
    "import",
    "template",
    "add",
    "list",
    "show",
    "change",
    "withdraw",
    "merge",
    "undo",
    "history",
    "decide",
    "camera",
    "settings",
    "map",
    "calendar",
    "contamination",
    "entry-sheet",
    "due",
    "backup",
    "restore",
    "upgrade",
    "check",
}
REPORTING = PLANNED - {"template"}


def _commands() -> dict[str, click.Command]:
    assert isinstance(cli, click.Group)
    context = click.Context(cli)
    found = {name: cli.get_command(context, name) for name in cli.list_commands(context)}
    return {name: command for name, command in found.items() if command is not None}


def _options(command: click.Command) -> Iterator[click.Option]:
    yield from (p for p in command.params if isinstance(p, click.Option) and not p.hidden)


def _section(repository: Path, name: str) -> str:
    text = (repository / "docs" / "commands.md").read_text("utf-8")
    parts = re.split(r"^## `sitebook (\S+)`$", text, flags=re.MULTILINE)
    return dict(zip(parts[1::2], parts[2::2], strict=True)).get(name, "")


def test_the_planned_commands_exist() -> None:
    assert set(_commands()) >= PLANNED


def test_every_command_has_help() -> None:
    assert not [name for name, command in _commands().items() if not (command.help or "").strip()]


def test_every_option_has_help() -> None:
    lacking = [
        f"{name} {option.opts[0]}"
        for name, command in _commands().items()
        for option in _options(command)
        if not (option.help or "").strip()
    ]
    assert not lacking


def test_every_command_that_reports_can_say_it_as_json() -> None:
    commands = _commands()
    assert not [
        n for n in sorted(REPORTING) if "--json" not in {o for p in _options(commands[n]) for o in p.opts}
    ]


@pytest.mark.parametrize("name", sorted(PLANNED))
def test_every_command_is_documented_with_its_options(name: str, repository: Path) -> None:
    section = _section(repository, name)
    assert section.strip(), "docs/commands.md has no heading for it"
    long = {word for option in _options(_commands()[name]) for word in option.opts if word.startswith("--")}
    undocumented = {word for word in long - {"--book", "--help"} if f"`{word}" not in section}
    assert not undocumented


def test_no_command_is_documented_that_does_not_exist(repository: Path) -> None:
    text = (repository / "docs" / "commands.md").read_text("utf-8")
    assert set(re.findall(r"^## `sitebook (\S+)`$", text, flags=re.MULTILINE)) == set(_commands())

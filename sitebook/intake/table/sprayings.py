"""Makes of one line of a table of sprayings the spraying and what was in it."""

from __future__ import annotations

import datetime
import re
from functools import cache

from sitebook.intake.cells import CellError, number
from sitebook.intake.table.entry import Entry
from sitebook.intake.table.identity import identity
from sitebook.intake.table.making import Making
from sitebook.records.incoming import Draft
from sitebook.reference import reader
from sitebook.vocabulary import RATE_UNIT

CLOSING = ("closed_on", "closed_by", "closing_note")
OF_A_SPRAYING = ("applied_on", "method", "drift_group", "actives")
"""Cells that speak of a spraying that was; where there never was one they are empty."""

GLUED = re.compile(r"([+-]?[0-9.,]+)([^0-9.,\s]\S*)")
NO_DAY = "A spraying that is done has no day: it counts whatever the date, until a closing note or a test."


def complete_spraying(making: Making, entry: Entry) -> None:
    """Fill in what the ground is called, and check what the cells of a line say together.

    Raises
    ------
    CellError
        When nothing says where it was, cells contradict each other, or a closing note is not whole.
    """
    whole = entry.text("site") if making.refers.get("geom") else None
    if whole is not None:
        making.values.setdefault("ground", whole)
    if "geom" not in making.values and "geom" not in making.refers:
        raise CellError("where was it? fill site for the whole of a site, or lon and lat, or outline_wkt")
    if "ground" not in making.values:
        raise CellError("ground is empty: say in words what was sprayed, as the lawn by the gate")
    if entry.at_its_word:
        return
    state = making.values.get("state")
    filled = [name for name in OF_A_SPRAYING if name in entry.values]
    if state == "never" and filled:
        raise CellError(f"state says never, and {filled[0]} is filled: say state=done, or empty {filled[0]}")
    closing = [name for name in CLOSING if name in making.values]
    if closing and len(closing) < len(CLOSING):
        (missing, *_) = (name for name in CLOSING if name not in closing)
        raise CellError(f"{missing} is empty: a closing note needs {', '.join(CLOSING)} together")


def complete_active(making: Making, entry: Entry) -> None:
    """Check one active that stands in a table of its own; a rate without a unit raises CellError."""
    if entry.at_its_word:
        return
    if ("rate" in making.values) != ("rate_unit" in making.values):
        raise CellError("rate and rate_unit go together: fill both, or neither")
    if making.values.get("rate") == 0.0:
        raise CellError("rate is 0: leave it empty where it was not told")


def with_actives(spraying: Draft, entry: Entry) -> list[Draft]:
    """Give a spraying and a draft for each active of its cell; raises CellError as `read_active`."""
    parts = [part.strip() for part in re.split(r"[;|\n]", entry.text("actives") or "")]
    found = [read_active(part) for part in parts if part]
    names = [name.casefold() for name, _, _ in found]
    if twice := next((name for name in names if names.count(name) > 1), None):
        raise CellError(f"actives: {twice!r} stands there twice")
    return [with_day_said(spraying, entry), *(_active(spraying, *one) for one in found)]


def read_active(text: str) -> tuple[str, float | None, str | None]:
    """Read one active with its rate, as glyphosate 1440 g/ha, or without, as 2,4-D.

    Raises
    ------
    CellError
        When a rate has no unit, a unit none that is known, or the rate is not above 0.
    """
    words = text.split()
    if len(words) > 1 and (glued := GLUED.fullmatch(words[-1])) and "/" in glued[2]:
        words[-1:] = [glued[1], glued[2]]
    units = {unit.casefold(): unit for unit in RATE_UNIT.all}
    allowed = ", ".join(RATE_UNIT.all)
    if len(words) > 1 and _is_number(words[-1]):
        raise CellError(f"actives: {text!r} has a rate without a unit; write one of: {allowed}")
    if len(words) < 2 or "/" not in words[-1] or not _is_number(words[-2]):
        return _named(words, text), None, None
    if words[-1].casefold() not in units:
        raise CellError(f"actives: {words[-1]!r} in {text!r} is not one of: {allowed}")
    rate = number(words[-2])
    if rate is None or rate <= 0.0:
        raise CellError(f"actives: the rate in {text!r} must be above 0; leave it away where it was not told")
    return _named(words[:-2], text), rate, units[words[-1].casefold()]


def with_day_said(spraying: Draft, entry: Entry) -> Draft:
    """Remark on a spraying that is done and has no day."""
    if entry.at_its_word or spraying.values.get("state") != "done":
        return spraying
    if isinstance(spraying.values.get("applied_on"), datetime.date):
        return spraying
    return Draft(
        spraying.kind, spraying.identity, spraying.values, spraying.refers, spraying.line_number, (NO_DAY,)
    )


def remark_on_active(name: str) -> tuple[str, ...]:
    """Say of an active that no half-life of it is known here."""
    if name.casefold() in _substances():
        return ()
    return (f"No half-life of {name} is known here: how much of it is left is not reckoned.",)


@cache
def _substances() -> frozenset[str]:
    names: set[str] = set()
    for row in reader.rows("substances"):
        names |= {row["name"].casefold(), *(other.casefold() for other in row["also_called"].split("|"))}
    return frozenset(names - {""})


def _active(spraying: Draft, name: str, rate: float | None, unit: str | None) -> Draft:
    key = identity("spraying_active", (spraying.identity, name))
    values: dict[str, object] = {"active": name}
    values |= {} if rate is None else {"rate": rate, "rate_unit": unit}
    refers = {"spraying_id": spraying.identity}
    remarks = remark_on_active(name)
    return Draft("spraying_active", key, values, refers, spraying.line_number, remarks)


def _named(words: list[str], text: str) -> str:
    if not words or all(_is_number(word) for word in words):
        raise CellError(f"actives: {text!r} names no substance; write it as glyphosate 1440 g/ha")
    return " ".join(words)


def _is_number(word: str) -> bool:
    try:
        return number(word) is not None
    except CellError:
        return False

"""Takes one line of a returned sheet, or says why it is not whole."""

from __future__ import annotations

import hashlib
import json
import re
import uuid
from collections.abc import Mapping
from dataclasses import dataclass
from typing import NoReturn

from sitebook.citations import Cited
from sitebook.intake.cells import CellError

FORMAT = 1
"""Version of the lines this reader knows."""

KINDS = ("visit", "look", "find", "end")
"""What a line may tell of; `end` closes a save and counts what it holds."""

SUM_SIGNS = 16
LONGEST_LINE = Cited(100_000.0, "characters", "ours", "our choice")
SUMMED = re.compile(r'(\{.*),"sum":"([0-9a-f]{16})"\}', re.DOTALL)
INSTANT = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}\.[0-9]{3}Z")
PAD = re.compile(r"[0-9a-f]{8}")

OPENS = '{"v":'
"""How every line begins; inside a line these signs cannot stand, since a quotation mark there is escaped."""


@dataclass(frozen=True)
class WholeLine:
    """One line whose checksum holds.

    Parameters
    ----------
    kind
        One of `KINDS`.
    uuid
        Entry it tells of; a later line of the same entry stands in place of an earlier one.
    seq
        Which turn of the entry this is, from 1.
    at
        Instant it was written by the clock of the sheet's machine, UTC, ISO 8601.
    book
        UUID of the book the sheet was made from.
    sheet
        UUID of the sheet.
    pad
        Which opened copy of the sheet wrote it.
    revision
        Revision of the book when the sheet was made.
    withdrawn
        Whether the entry is taken back.
    checksum
        Its checksum.
    says
        All its members; numbers with a point stand as text, digit by digit.
    text
        The line as it stood.
    line_number
        Line in its file, from 1; None where it comes from the book.
    """

    kind: str
    uuid: str
    seq: int
    at: str
    book: str
    sheet: str
    pad: str
    revision: int
    withdrawn: bool
    checksum: str
    says: Mapping[str, object]
    text: str
    line_number: int | None = None

    @property
    def turn(self) -> tuple[int, str, str]:
        """Give what orders the lines of one entry: the highest stands."""
        return self.seq, self.at, self.checksum


def checksum(text: str) -> str:
    """Give the first 16 hexadecimal signs of the SHA-256 of a text in UTF-8."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()[:SUM_SIGNS]


def with_sum(text: str) -> str:
    """Give a JSON object, written without its checksum, with it."""
    return f'{text[:-1]},"sum":"{checksum(text)}"}}'


def whole_line(text: str, line_number: int | None = None) -> WholeLine:
    """Take a line whose checksum holds.

    Raises
    ------
    CellError
        When it is torn, was changed on its way, or says something this reader does not know.
    """
    bare = text.strip()
    if len(bare) > LONGEST_LINE.value:
        raise CellError(f"the line holds more than {LONGEST_LINE.value:,.0f} characters")
    says, found_sum = _summed(bare)
    if says.get("v") != FORMAT:
        raise CellError(f"a line of version {says.get('v')!r}; this sitebook reads version {FORMAT}")
    kind = says.get("kind")
    if kind not in KINDS:
        raise CellError(f"the kind {kind!r} is not known; there are {', '.join(KINDS)}")
    return WholeLine(
        kind=str(kind),
        uuid=_uuid(says, "uuid"),
        seq=_whole(says, "seq", lowest=1),
        at=_fitting(says, "at", INSTANT),
        book=_uuid(says, "book"),
        sheet=_uuid(says, "sheet"),
        pad=_fitting(says, "pad", PAD),
        revision=_whole(says, "revision", lowest=0),
        withdrawn=says.get("withdrawn") is True,
        checksum=found_sum,
        says=says,
        text=bare,
        line_number=line_number,
    )


def _summed(bare: str) -> tuple[dict[str, object], str]:
    parts = SUMMED.fullmatch(bare)
    if parts is None:
        raise CellError("the line is torn: it does not end in its checksum")
    if checksum(f"{parts[1]}}}") != parts[2]:
        raise CellError("the checksum does not fit: the line was changed on its way")
    try:
        says = json.loads(bare, parse_float=str, parse_constant=str)
        json.dumps(says, ensure_ascii=False).encode("utf-8")
    except (ValueError, RecursionError) as reason:
        raise CellError("the line is no JSON in UTF-8") from reason
    return says, parts[2]


def _uuid(says: Mapping[str, object], name: str) -> str:
    value = says.get(name)
    if not isinstance(value, str):
        _lacks(name)
    try:
        return str(uuid.UUID(value))
    except ValueError as reason:
        raise CellError(f"{name} is no UUID") from reason


def _whole(says: Mapping[str, object], name: str, *, lowest: int) -> int:
    value = says.get(name)
    if not isinstance(value, int) or isinstance(value, bool) or not lowest <= value < 2**31:
        raise CellError(f"{name} is no whole number from {lowest} up")
    return value


def _fitting(says: Mapping[str, object], name: str, pattern: re.Pattern[str]) -> str:
    value = says.get(name)
    return value if isinstance(value, str) and pattern.fullmatch(value) else _lacks(name)


def _lacks(name: str) -> NoReturn:
    raise CellError(f"{name} is missing or not written as it should be")

"""Writes lines as an entry sheet writes them."""

from __future__ import annotations

import json
import uuid

from sitebook.intake.field_return.line import with_sum

BOOK = "0bd4ff70-c652-54fd-b476-04d5eb742ef9"
SHEET = "ea788403-e272-5bb7-8053-4771f86e4295"
PAD = "394d5fa2"
SITE = "Harbour wood"


def key(name: str) -> str:
    """Give the UUID of an entry by a word of ours."""
    return str(uuid.uuid5(uuid.NAMESPACE_OID, name))


def line(
    kind: str,
    entry: str,
    seq: int = 1,
    /,
    *,
    book: str = BOOK,
    sheet: str = SHEET,
    pad: str = PAD,
    minute: int = 0,
    withdrawn: bool = False,
    **says: object,
) -> str:
    """Write one line, its checksum with it, without a line end."""
    members = {
        "v": 1,
        "kind": kind,
        "uuid": key(entry),
        "seq": seq,
        "at": f"2025-10-04T09:{minute:02d}:00.000Z",
        "book": book,
        "sheet": sheet,
        "pad": pad,
        "revision": 7,
        **({"withdrawn": True} if withdrawn else {}),
        **says,
    }
    return with_sum(json.dumps(members, separators=(",", ":"), ensure_ascii=False))


def visit(entry: str = "visit", seq: int = 1, /, *, withdrawn: bool = False, **says: object) -> str:
    """Write a line of a visit to the one site."""
    told = {
        "site": SITE,
        "local_date": "2025-10-04",
        "started_at": "2025-10-04T08:05:00-01:00",
        "reason": "planned",
        "searchers": 1,
        "looked_for_all": True,
    }
    return line("visit", entry, seq, withdrawn=withdrawn, **(told | says))  # type: ignore[arg-type]


def look(entry: str, seq: int = 1, /, *, of: str = "visit", withdrawn: bool = False, **says: object) -> str:
    """Write a line of a look of a visit."""
    return line("look", entry, seq, withdrawn=withdrawn, **(_on(of) | {"outcome": "not seen"} | says))  # type: ignore[arg-type]


def find(entry: str, seq: int = 1, /, *, of: str = "visit", withdrawn: bool = False, **says: object) -> str:
    """Write a line of a find of a visit."""
    return line("find", entry, seq, withdrawn=withdrawn, **(_on(of) | says))  # type: ignore[arg-type]


def _on(visit_name: str) -> dict[str, object]:
    return {
        "visit": key(visit_name),
        "site": SITE,
        "local_date": "2025-10-04",
        "started_at": "2025-10-04T08:05:00-01:00",
        "reason": "planned",
    }


def end(lines: int, seq: int = 1, *, pad: str = PAD) -> str:
    """Write the line that ends a save."""
    return line("end", f"end of {pad}", seq, pad=pad, lines=lines)


def as_file(*lines: str) -> bytes:
    """Join lines as the sheet joins them."""
    return "".join(f"{one}\n" for one in lines).encode("utf-8")

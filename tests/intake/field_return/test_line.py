"""Tests that one line is taken whole or refused in words."""

from __future__ import annotations

import json

import pytest

from sitebook.intake.cells import CellError
from sitebook.intake.field_return.line import checksum, whole_line, with_sum
from tests.intake.field_return import made_lines


@pytest.mark.source(
    item="",
    what="SHA-256 of the text abc, its first 16 hexadecimal signs",
    value="ba7816bf8f01cfea",
    source="FIPS 180-4, example of SHA-256 for a message of one block",
    mark="memory",
)
def test_the_checksum_is_the_head_of_sha_256() -> None:
    assert checksum("abc") == "ba7816bf8f01cfea"


def test_a_whole_line_says_what_it_holds() -> None:
    text = made_lines.find("one", 3, name="Boletus edulis", fresh_mass_g=12.5, note="schön — ok")
    line = whole_line(f"  {text}\r", 4)
    assert (line.kind, line.uuid, line.seq, line.line_number) == ("find", made_lines.key("one"), 3, 4)
    assert line.says["fresh_mass_g"] == "12.5"
    assert line.text == text
    assert not line.withdrawn


def test_any_sign_that_changes_on_the_way_is_noticed() -> None:
    text = made_lines.find("one", name="Boletus edulis")
    for at in range(0, len(text), 7):
        other = "x" if text[at] != "x" else "y"
        with pytest.raises(CellError):
            whole_line(text[:at] + other + text[at + 1 :])
        with pytest.raises(CellError):
            whole_line(text[:at])


@pytest.mark.parametrize(
    ("members", "said"),
    [
        ({"v": 2}, "version 2"),
        ({"kind": "dragon"}, "'dragon' is not known"),
        ({"kind": None}, "None is not known"),
        ({"uuid": "one"}, "uuid is no UUID"),
        ({"book": 7}, "book is missing"),
        ({"seq": 0}, "seq is no whole number from 1"),
        ({"seq": True}, "seq is no whole number"),
        ({"seq": 1.5}, "seq is no whole number"),
        ({"at": "yesterday"}, "at is missing"),
        ({"pad": "PAD"}, "pad is missing"),
        ({"revision": -1}, "revision is no whole number"),
    ],
)
def test_a_whole_line_that_says_the_impossible_is_refused_in_words(
    members: dict[str, object], said: str
) -> None:
    good = json.loads(made_lines.visit())
    good.pop("sum")
    with pytest.raises(CellError, match=said):
        whole_line(with_sum(json.dumps(good | members, separators=(",", ":"))))


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{}",
        "[1]",
        '{"v":1}',
        with_sum('{"v":1,"note":"\\ud800"}'),
        with_sum('{"v":1,}'),
        with_sum('{"v":' + "[" * 3000 + "}"),
        with_sum('{"v":1,"note":"' + "a" * 100_000 + '"}'),
    ],
)
def test_what_is_no_line_is_refused(text: str) -> None:
    with pytest.raises(CellError):
        whole_line(text)

"""Gives what laboratories measure under one name each, however a report spells it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache

from sitebook.reference.reader import rows
from sitebook.reference.substances import letters_of

TOTAL = "total"


@dataclass(frozen=True)
class Analyte:
    """One thing that a laboratory measures.

    Parameters
    ----------
    name
        Its name in the cited tables, as "Pb".
    said
        The same in words.
    kind
        element, form, radionuclide, organic or measure.
    form_of
        For a form of an element, the element whose total holds it; "" otherwise.
    also_called
        Other ways to write it.
    asked_how
        What to say with the order, from common practice; "" for nothing.
    asked_in_soil, asked_in_mushroom
        The same for that material alone.
    """

    name: str
    said: str
    kind: str
    form_of: str
    also_called: tuple[str, ...]
    asked_how: str
    asked_in_soil: str = ""
    asked_in_mushroom: str = ""

    @property
    def in_full(self) -> str:
        """The words with the name, as "lead (Pb)"."""
        return self.said if self.name in self.said else f"{self.said} ({self.name})"

    def how_to_ask(self, material: str) -> str:
        """Give what to say with the order of a test of "soil" or "mushroom"; "" for nothing."""
        own = {"soil": self.asked_in_soil, "mushroom": self.asked_in_mushroom}[material]
        return "; ".join(filter(None, (own, self.asked_how)))


@cache
def analytes() -> tuple[Analyte, ...]:
    """Give every analyte, in the order of the table."""
    return tuple(_analyte(row) for row in rows("analytes"))


def analyte(written: str) -> Analyte | None:
    """Find an analyte as a report writes it.

    Capitals, spaces and marks make no difference, and "total" adds nothing: "Lead, total" is Pb. Of a name
    with another in brackets, as "Lead (Pb)", both must mean the same. What is not in the table is None: a
    form of an element is never taken for the element.
    """
    found = _by_letters().get(_without_total(letters_of(written)))
    if found is None and written.rstrip().endswith(")"):
        outer, _, inner = written.rstrip()[:-1].partition("(")
        both = {analyte(part) for part in (outer, inner)}
        return both.pop() if len(both) == 1 else None
    return found


def _without_total(letters: str) -> str:
    if letters in _by_letters():
        return letters
    return letters.removeprefix(TOTAL) if letters.startswith(TOTAL) else letters.removesuffix(TOTAL)


@cache
def _by_letters() -> dict[str, Analyte]:
    found: dict[str, Analyte] = {}
    for one in analytes():
        for name in _names(one):
            if found.setdefault(letters_of(name), one) is not one:
                raise ValueError(f"table of analytes: {name!r} is the name of two of them")
    return found


def _names(one: Analyte) -> Iterator[str]:
    yield from (one.name, one.said, *one.also_called)


def _analyte(row: Mapping[str, str]) -> Analyte:
    others = tuple(name.strip() for name in row["also_called"].split("|") if name.strip())
    asked = (row["asked_how"], row["asked_in_soil"], row["asked_in_mushroom"])
    return Analyte(row["analyte"], row["said"], row["kind"], row["form_of"], others, *asked)

"""Gives what is noted of the names a carried day may bring: their poison, and what they are mistaken for."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sitebook.pages.poison_words import in_short
from sitebook.records.results.day_plan import DayPlan, LookAlikeLine

GRAVE = ("deadly", "poisonous")
"""Words of classes and dangers that are told first, the gravest before the others."""

NOT_NOTED = "what it can do is not noted"


@dataclass(frozen=True)
class Alike:
    """A taxon of the day with all it may be mistaken for.

    Parameters
    ----------
    name, anchor
        The taxon, and its place on the page.
    poisoning
        As in `ExpectedTaxon`.
    lines
        The others, each with the character that tells them apart.
    """

    name: str
    anchor: str
    poisoning: str
    lines: tuple[LookAlikeLine, ...]


@dataclass(frozen=True)
class AlikeOnPaper:
    """A taxon of the day as paper, which has little room, tells what it may be mistaken for.

    Parameters
    ----------
    name, class_said
        The taxon, and its poisoning class in few words; "" where none is noted.
    grave
        Deadly and poisonous others: their names, the danger, and the character that tells them apart.
    others
        All others, those together that can do the same: their names, and what that is.
    """

    name: str
    class_said: str
    grave: tuple[tuple[tuple[str, ...], str, str], ...]
    others: tuple[tuple[tuple[str, ...], str], ...]


def gravity(said: str) -> int:
    """Rank a class or danger in words: 0 for deadly, 1 for poisonous, 2 for any other, 3 for none."""
    found = (rank for rank, word in enumerate(GRAVE) if word in said)
    return next(found, len(GRAVE) if said else len(GRAVE) + 1)


def look_alikes(plan: DayPlan) -> list[Alike]:
    """Give each expected taxon of the day once, with what it may be mistaken for."""
    found: dict[str, Alike] = {}
    for key in plan.plan.route.keys:
        for one in plan.places[key].expected:
            before = found.get(one.taxon_name)
            lines = dict.fromkeys((*(before.lines if before else ()), *one.look_alikes))
            anchor = before.anchor if before else f"alike-{len(found) + 1}"
            poisoning = one.poisoning or (before.poisoning if before else "")
            found[one.taxon_name] = Alike(one.taxon_name, anchor, poisoning, tuple(lines))
    return list(found.values())


def on_paper(alikes: Iterable[Alike]) -> list[AlikeOnPaper]:
    """Give for paper the taxa of which a look-alike is noted, the most dangerous ones first."""
    told = [
        AlikeOnPaper(one.name, in_short(one.poisoning), _grave(one.lines), _others(one.lines))
        for one in alikes
        if one.lines
    ]
    return sorted(told, key=lambda one: gravity(one.class_said))


def _grave(lines: Sequence[LookAlikeLine]) -> tuple[tuple[tuple[str, ...], str, str], ...]:
    """Put deadly and poisonous names together that one character tells apart."""
    groups: dict[tuple[str, str], list[str]] = {}
    for line in sorted(lines, key=lambda line: gravity(line.danger)):
        if line.danger in GRAVE:
            groups.setdefault((line.danger, line.excluding_character), []).append(line.name)
    return tuple((tuple(names), danger, character) for (danger, character), names in groups.items())


def _others(lines: Sequence[LookAlikeLine]) -> tuple[tuple[tuple[str, ...], str], ...]:
    groups: dict[str, list[str]] = {}
    for line in lines:
        if line.danger not in GRAVE:
            groups.setdefault(line.danger or NOT_NOTED, []).append(line.name)
    return tuple((tuple(names), danger) for danger, names in groups.items())

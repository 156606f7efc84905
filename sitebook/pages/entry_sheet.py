"""Draws the offline sheet on which visits, looks and finds are entered."""

from __future__ import annotations

from dataclasses import dataclass

from sitebook import vocabulary
from sitebook.pages import frame
from sitebook.pages.own_parts import rendered, text_of
from sitebook.records.results.entry_sheet import EntrySheet, SheetSite, saved_as
from sitebook.vocabulary import Words

SCRIPTS = (
    "entry_sum.js",
    "entry_memory.js",
    "entry_widgets.js",
    "entry_position.js",
    "entry_visit.js",
    "entry_find.js",
    "entry_list.js",
    "entry_out.js",
    "entry_start.js",
)
WORDS: dict[str, Words] = {
    "reason": vocabulary.VISIT_REASON,
    "count_of": vocabulary.COUNT_OF,
    "growth_stage": vocabulary.GROWTH_STAGE,
    "substrate": vocabulary.SUBSTRATE,
    "qualifier": vocabulary.QUALIFIER,
    "host_role": vocabulary.FIND_HOST_ROLE,
}
"""Lists the sheet offers, each word as a button."""

SMELLS = ("none", "mushroom", "flour", "radish", "anise", "almond", "fruit", "fish", "garlic", "chlorine")
"""Smells that can be tapped; any other is typed."""

SHOWN_AS: dict[str, dict[str, str]] = {
    "host_role": {
        "nearest": "nearest of its kind",
        "under": "above it",
        "on": "what it grows on",
        "possible": "one of several",
    },
    "qualifier": {"group": "group", "?": "? doubtful", "sp.": "sp. genus only"},
}
"""Words that would not explain themselves on a button."""

PAPER_FINDS = 12
"""Finds a printed form has room for where the sheet has no numbers."""

MOST_PAPER_FINDS = 40
MOST_PAPER_NAMES = 20

FIELDS: tuple[tuple[str, str], ...] = (
    ("Place", ""),
    ("Name, or not named", "long"),
    ("How certain", ""),
    ("Count, of what", ""),
    ("Stage", ""),
    ("Tree", ""),
    ("Grew on", ""),
    ("Grams", ""),
    ("Photos", ""),
    ("Base dug up", ""),
    ("Smell", ""),
    ("Who, position, note", "whole"),
)


@dataclass(frozen=True)
class _Blank:
    """One line to fill in by hand."""

    name: str
    width: str


@dataclass(frozen=True)
class _PaperSite:
    """A site as the printed form shows it."""

    site: SheetSite
    known: tuple[str, ...]

    @property
    def name(self) -> str:
        return self.site.name

    @property
    def heed(self) -> tuple[str, ...]:
        return self.site.heed

    @property
    def trees(self) -> tuple[object, ...]:
        return self.site.trees


def draw_entry_sheet(sheet: EntrySheet) -> str:
    """Draw the sheet; with scripts off it is a form to print and fill in by hand.

    Parameters
    ----------
    sheet
        All that it holds.
    """
    return frame.page(
        title=f"Entry sheet: {sheet.title}",
        subtitle=f"Made on {sheet.made_on.isoformat()}; {numbers_words(sheet)}",
        body=rendered("entry_sheet.html.j2", **paper_form(sheet)),
        style=text_of("entry_sheet.css") + text_of("entry_paper.css"),
        scripts=[text_of(name) for name in SCRIPTS],
        data=sheet_data(sheet),
        poison_centre=sheet.poison_centre,
    )


def paper_form(sheet: EntrySheet) -> dict[str, object]:
    """Give what the form to fill in by hand is made of, for `entry_paper.html.j2`."""
    return {
        "sheet": {"sites": [_on_paper(sheet, site) for site in sheet.sites], "collector": sheet.collector},
        "reasons": vocabulary.VISIT_REASON.all,
        "count_words": ", ".join(vocabulary.COUNT_OF.all),
        "stage_words": ", ".join(vocabulary.GROWTH_STAGE.all),
        "substrate_words": ", ".join(vocabulary.SUBSTRATE.all),
        "labels": tag_labels(sheet)[:MOST_PAPER_FINDS] or ["No."] * PAPER_FINDS,
        "fields": [_Blank(*field) for field in FIELDS],
    }


def tag_labels(sheet: EntrySheet) -> list[str]:
    """Give what the tag of each find says, as "OV 21"; none for a sheet without numbers."""
    return [f"{sheet.collector.initials} {number}" for number in sheet.numbers]


def numbers_words(sheet: EntrySheet) -> str:
    """Say which collection numbers a sheet gives out."""
    if not sheet.numbers:
        return "no numbers reserved"
    return f"numbers {sheet.collector.initials} {sheet.first_number} to {sheet.last_number}"


def _on_paper(sheet: EntrySheet, site: SheetSite) -> _PaperSite:
    known = [taxon.name for taxon in sheet.taxa if site.uuid in taxon.sites]
    return _PaperSite(site, tuple(known[:MOST_PAPER_NAMES]))


def sheet_data(sheet: EntrySheet) -> dict[str, object]:
    """Give what the scripts of the sheet read."""
    return {
        "sheet": sheet.uuid,
        "book": sheet.book,
        "revision": sheet.revision,
        "file": saved_as(sheet.uuid, sheet.made_on),
        "numbers": [sheet.first_number, sheet.last_number] if sheet.numbers else None,
        "collector": vars(sheet.collector),
        "people": [vars(person) for person in sheet.people],
        "sites": [
            {
                "uuid": site.uuid,
                "name": site.name,
                "heed": list(site.heed),
                "trees": [vars(tree) for tree in site.trees],
            }
            for site in sheet.sites
        ],
        "taxa": [
            {
                "uuid": taxon.uuid,
                "name": taxon.name,
                "vernacular": taxon.vernacular,
                "sites": list(taxon.sites),
            }
            for taxon in sheet.taxa
        ],
        "words": {name: _choices(name, words) for name, words in WORDS.items()},
        "smells": SMELLS,
    }


def _choices(name: str, words: Words) -> list[list[str]]:
    """Give each word with what its button shows and what it means."""
    shown = SHOWN_AS.get(name, {})
    return [[word, shown.get(word, word), meaning] for word, meaning in words.meanings.items()]

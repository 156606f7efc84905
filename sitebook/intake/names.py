"""Takes a scientific name apart into the bare name, its authors, its rank and what doubts it."""

from __future__ import annotations

import re
from dataclasses import dataclass

QUALIFIER_SPELLINGS: dict[str, str] = {
    "cf.": "cf.",
    "cf": "cf.",
    "aff.": "aff.",
    "aff": "aff.",
    "?": "?",
    "sp.": "sp.",
    "sp": "sp.",
    "spp.": "sp.",
    "spec.": "sp.",
    "group": "group",
    "grp.": "group",
    "gr.": "group",
    "agg.": "group",
    "agg": "group",
    "aggr.": "group",
    "complex": "group",
    "s.l.": "group",
    "s.lat.": "group",
}
"""Each way a qualifier is written, and the word of the book for it."""

MOST_DOUBTFUL_FIRST = ("sp.", "?", "aff.", "cf.", "group")
LOWER_RANKS: dict[str, tuple[str, str]] = {
    "subsp.": ("subspecies", "subsp."),
    "ssp.": ("subspecies", "subsp."),
    "var.": ("variety", "var."),
    "v.": ("variety", "var."),
    "f.": ("form", "f."),
    "forma": ("form", "f."),
}
SECTION_SIGNS = frozenset({"sect.", "section"})
AUTHOR_PARTICLES = frozenset(
    {"ex", "in", "et", "and", "de", "du", "des", "von", "van", "der", "den", "da", "non", "sensu", "f."}
)
GENUS = re.compile(r"[A-ZÀ-Þ][a-zß-ÿ]+(?:-[a-zß-ÿ]+)*")
EPITHET = re.compile(r"[a-zß-ÿ]+(?:-[a-zß-ÿ]+)*")


@dataclass(frozen=True)
class ScientificName:
    """A name as it was written, taken apart.

    Parameters
    ----------
    verbatim
        As written, blanks made single.
    bare
        Name without authors and qualifier; where the text is no scientific name, the text without
        its qualifier.
    authorship
        Authors as written; None where none stand there.
    rank
        genus, section, species, subspecies, variety or form; None where the text is no scientific name.
    qualifier
        A word of the qualifier list; None where the name is given without doubt.
    """

    verbatim: str
    bare: str
    authorship: str | None
    rank: str | None
    qualifier: str | None


def parse_name(text: str) -> ScientificName:
    """Take a written name apart.

    Qualifiers are found wherever they stand: `Suillus cf. granulatus`, `Tricholoma equestre group`,
    `Boletus edulis?`. Of several the most doubtful is kept. "f." before a word in small letters
    is a form, elsewhere it belongs to an author, as in `L. f.`

    Parameters
    ----------
    text
        The name as a person wrote it.

    Returns
    -------
    ScientificName
        Its parts; nothing is looked up, so a name that fits the pattern need not exist.
    """
    verbatim = " ".join(text.split())
    tokens, qualifier = _without_qualifiers(verbatim)
    split = _split(tokens)
    if split is None:
        return ScientificName(verbatim, " ".join(tokens) or verbatim, None, None, qualifier)
    bare, rank, authors = split
    return ScientificName(verbatim, bare, " ".join(authors) or None, rank, qualifier)


def _without_qualifiers(verbatim: str) -> tuple[list[str], str | None]:
    spaced = re.sub(r"\bs\. ?l(at)?\.", "s.l.", verbatim.replace("sensu lato", "s.l."))
    words = spaced.replace("?", " ? ").split()
    found = {QUALIFIER_SPELLINGS[w] for w in words if w in QUALIFIER_SPELLINGS}
    rest = [w for w in words if w not in QUALIFIER_SPELLINGS]
    if "sp." in found:
        rest = rest[:1]
    return rest, next((q for q in MOST_DOUBTFUL_FIRST if q in found), None)


def _split(tokens: list[str]) -> tuple[str, str, list[str]] | None:
    """Give bare name, rank and author words, or None for a text that is no scientific name."""
    if not tokens or not GENUS.fullmatch(tokens[0]):
        return None
    genus, rest = tokens[0], tokens[1:]
    if len(rest) > 1 and rest[0] in SECTION_SIGNS and GENUS.fullmatch(rest[1]):
        return f"{genus} sect. {rest[1]}", "section", rest[2:]
    if rest and rest[0] in {"×", "x"}:
        genus, rest = f"{genus} ×", rest[1:]
    if not rest or not _is_epithet(rest[0]):
        return (genus, "genus", rest) if "×" not in genus and _are_authors(rest) else None
    species = f"{genus} {rest[0]}"
    for place in range(1, len(rest) - 1):
        if rest[place] in LOWER_RANKS and _is_epithet(rest[place + 1]):
            rank, sign = LOWER_RANKS[rest[place]]
            return f"{species} {sign} {rest[place + 1]}", rank, rest[place + 2 :]
    return (species, "species", rest[1:]) if _are_authors(rest[1:]) else None


def _is_epithet(word: str) -> bool:
    return EPITHET.fullmatch(word) is not None and word not in AUTHOR_PARTICLES


def _are_authors(words: list[str]) -> bool:
    """Tell whether no word that follows is a further epithet or plain English."""
    return not any(_is_epithet(w) for w in words)

"""Tests that a scientific name is taken apart as the Code writes names."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitebook.intake.names import parse_name
from sitebook.vocabulary import QUALIFIER, TAXON_RANK


@pytest.mark.source(
    item="",
    what="names with their authors, sanctioning and qualifiers, taken apart",
    value="Amanita phalloides (Vaill. ex Fr.) Link; Coprinopsis atramentaria (Bull.) Redhead, Vilgalys & "
    "Moncalvo; Suillus cf. granulatus; Boletus edulis Bull. : Fr.; Tricholoma equestre group",
    source="International Code of Nomenclature, Art. 46.5, 49 and F.3, and open nomenclature",
    mark="memory",
)
@pytest.mark.parametrize(
    ("written", "bare", "authorship", "qualifier"),
    [
        ("Amanita phalloides (Vaill. ex Fr.) Link", "Amanita phalloides", "(Vaill. ex Fr.) Link", None),
        (
            "Coprinopsis atramentaria (Bull.) Redhead, Vilgalys & Moncalvo",
            "Coprinopsis atramentaria",
            "(Bull.) Redhead, Vilgalys & Moncalvo",
            None,
        ),
        ("Suillus cf. granulatus", "Suillus granulatus", None, "cf."),
        ("Boletus edulis Bull. : Fr.", "Boletus edulis", "Bull. : Fr.", None),
        ("Tricholoma equestre group", "Tricholoma equestre", None, "group"),
    ],
)
def test_names_of_the_code(written: str, bare: str, authorship: str | None, qualifier: str | None) -> None:
    parsed = parse_name(written)
    assert (parsed.verbatim, parsed.bare, parsed.rank) == (written, bare, "species")
    assert (parsed.authorship, parsed.qualifier) == (authorship, qualifier)


@pytest.mark.parametrize(
    ("written", "bare", "rank", "qualifier"),
    [
        ("Leccinum cf. scabrum (Bull.) Gray", "Leccinum scabrum", "species", "cf."),
        ("cf. Boletus edulis", "Boletus edulis", "species", "cf."),
        ("Boletus aff. edulis", "Boletus edulis", "species", "aff."),
        ("Boletus edulis agg.", "Boletus edulis", "species", "group"),
        ("Boletus edulis s. l.", "Boletus edulis", "species", "group"),
        ("Boletus edulis sensu lato", "Boletus edulis", "species", "group"),
        ("Boletus edulis?", "Boletus edulis", "species", "?"),
        ("Boletus cf. edulis agg.", "Boletus edulis", "species", "cf."),
        ("Russula sp.", "Russula", "genus", "sp."),
        ("Russula sp. 2", "Russula", "genus", "sp."),
        ("Russula", "Russula", "genus", None),
        ("Amanita sect. Phalloideae", "Amanita sect. Phalloideae", "section", None),
        ("Laccaria laccata var. pallidifolia Peck", "Laccaria laccata var. pallidifolia", "variety", None),
        ("Boletus edulis Bull. f. albus Peck", "Boletus edulis f. albus", "form", None),
        ("Larix decidua L. f.", "Larix decidua", "species", None),
        ("Salix × fragilis L.", "Salix × fragilis", "species", None),
    ],
)
def test_ranks_and_qualifiers(written: str, bare: str, rank: str, qualifier: str | None) -> None:
    parsed = parse_name(written)
    assert (parsed.bare, parsed.rank, parsed.qualifier) == (bare, rank, qualifier)


@pytest.mark.parametrize(
    "written", ["penny bun", "brown thing under oak", "???", "Fly agaric on the lawn", "42"]
)
def test_what_is_no_scientific_name_has_no_rank(written: str) -> None:
    assert parse_name(written).rank is None


def test_an_author_before_a_variety_is_not_that_of_the_variety() -> None:
    assert parse_name("Boletus edulis Bull. var. clavipes Peck").authorship == "Peck"


@given(st.text(max_size=60))
def test_any_text_is_taken_apart_without_a_fault(written: str) -> None:
    parsed = parse_name(written)
    assert parsed.verbatim == " ".join(written.split())
    assert bool(parsed.bare) == bool(parsed.verbatim)
    assert parsed.rank is None or parsed.rank in TAXON_RANK
    assert parsed.qualifier is None or parsed.qualifier in QUALIFIER


@given(
    st.from_regex(r"[A-Z][a-z]{2,8}", fullmatch=True),
    st.from_regex(r"[a-z]{4,9}ensis", fullmatch=True),
    st.sampled_from(["", "Fr.", "(L.) Gray", "Bull. : Fr."]),
)
def test_a_bare_name_is_found_before_any_authors(genus: str, epithet: str, authors: str) -> None:
    parsed = parse_name(f"{genus} {epithet} {authors}")
    assert (parsed.bare, parsed.authorship) == (f"{genus} {epithet}", authors or None)

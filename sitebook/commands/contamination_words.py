"""Puts a contamination review into lines, and into the documented JSON."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from sitebook.commands.telling import numbered
from sitebook.records.results.contamination import index_words

if TYPE_CHECKING:
    from sitebook.records.results.review import PlaceReview
    from sitebook.records.results.test_reading import TestReading

ROADS_TOLD = 5
REASONS_TOLD = 3
SOURCES_TOLD = 8
NOT_KNOWN_TOLD = 12


def as_documented(review: PlaceReview) -> dict[str, object]:
    """Give a review in the shape docs/commands.md documents."""
    return {
        "name": review.name,
        "class": review.place_class,
        "could_be": review.could_be,
        "because": review.because,
        "could_because": review.could_because,
        "unknown": review.unknown,
        "questions": review.questions,
        "traffic_index": review.traffic_index,
        "effects": review.effects,
        "area_term": review.area_term,
        "spread": review.spread,
        "speaks_of": "mapped and told sources only",
        "range_of": "parameters, traffic and position, 90 percent",
        "hazards": review.sources,
        "other_sources": review.terms,
        "sprayings": review.sprayings,
        "trees": review.trees,
        "tests": review.tests,
        "species": review.species,
        "evidence": review.evidence,
        "looked_for": review.looked_for,
        "words": review.words,
        "lon": review.lon,
        "lat": review.lat,
        "reach_m": review.reach_m,
        "uncertainty_m": review.uncertainty_m,
        "data_date": review.data_date,
        "points_looked_at": review.points_looked_at,
    }


def lines_of(review: PlaceReview, *, shortly: bool) -> Iterator[str]:
    """Give a review line by line; shortly leaves what the page has in full."""
    yield f"{review.name}: {review.class_said}"
    for test in review.tests:
        yield from _test_lines(test)
    yield f"  {review.words}"
    told = review.because[:REASONS_TOLD] if shortly else review.because
    yield from (f"  class {reason.place_class}: {reason.words}" for reason in told)
    if (more := len(review.because) - len(told)) > 0:
        yield f"  {numbered(more, 'more reasons')} for the same class; the page (--page) has them all"
    yield from (f"  could be {reason.place_class}: {reason.words}" for reason in review.could_because)
    if not shortly:
        yield from _index_lines(review)
        yield from _source_lines(review)
    yield from _not_known(review)
    if not shortly:
        yield from (f"  {said}" for said in review.looked_for)


def _source_lines(review: PlaceReview) -> Iterator[str]:
    yield from (
        f"  road: {source.name}: {source.reason} [{source.mark}]" for source in review.sources[:ROADS_TOLD]
    )
    for term in review.terms[:SOURCES_TOLD]:
        yield f"  source: {term.reason} [{term.source}]"
    if (more := len(review.terms) - SOURCES_TOLD) > 0:
        yield f"  {numbered(more, 'more sources')} in reach; the page (--page) has them all"
    yield from (f"  spraying: {spray.reason} [{spray.source}]" for spray in review.sprayings)
    for species in review.species:
        yield f"  species, apart from the place: {species.taxon_name}: {species.words}"


def _index_lines(review: PlaceReview) -> Iterator[str]:
    index, spread = review.traffic_index, review.spread
    if index is None:
        return
    driver = f"; what widens it most: {review.effects[0].said}" if review.effects else ""
    yield (
        f"  traffic index, no amount of metal: {index_words(index.central)} "
        f"({index.ends_said}, 90 % band{driver})"
    )
    if spread is not None and spread.points > 1:
        yield (
            f"  over the {spread.points} points looked at: lowest {index_words(spread.lowest)}, "
            f"median {index_words(spread.median)}, highest {index_words(spread.highest)}"
        )
    for tree in review.trees:
        yield f"  tree {tree.tag}: {tree.class_said}; {tree.reason}"


def _test_lines(test: TestReading) -> Iterator[str]:
    yield (
        f"  measured: {test.material}, {test.of_what}, {test.sampled_on.isoformat()}, "
        f"{test.laboratory}, report {test.report_number}"
    )
    if test.headline:
        yield f"    {test.headline}"
    for result in test.results:
        yield f"    {result.analyte}: {result.written}"
        for held in result.comparisons:
            yield f"      {held.words} [{held.source}; {held.mark}]"
        for intake in result.intakes:
            who = f"{intake.eater} of {intake.body_mass_kg:g} kg, {intake.fresh_g_per_week:g} g fresh a week"
            yield f"      {who}: {intake.words} [{intake.source}; {intake.mark}]"
        for remark in result.remarks:
            yield f"      {remark}"
    yield from (f"    not told by the report: {what}" for what in test.unknown)
    yield f"    {test.words}"


def _not_known(review: PlaceReview) -> Iterator[str]:
    for question in review.questions[:NOT_KNOWN_TOLD]:
        yield f"  not known: {question.what}{f' (ask: {question.whom})' if question.whom else ''}"
    if (more := len(review.questions) - NOT_KNOWN_TOLD) > 0:
        things = "thing is" if more == 1 else "things are"
        yield f"  {more} more {things} not known; the page (--page) has them all"

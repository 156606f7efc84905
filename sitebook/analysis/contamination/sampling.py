"""Says what to ask a laboratory for at one place, why, and how to take the sample."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache

from sitebook.analysis.contamination import hazards, parameters
from sitebook.citations import Mark
from sitebook.records.results.contamination import NearSource
from sitebook.records.results.review import PlaceReview
from sitebook.records.results.sampling import SamplingLine, SamplingPlan, SamplingStep
from sitebook.records.results.source_term import SourceTerm
from sitebook.records.results.spray_term import SprayTerm
from sitebook.reference import reader
from sitebook.reference.analytes import analyte
from sitebook.reference.map_tags import hazard_kinds
from sitebook.reference.substances import substance

Analytes = dict[str, tuple[str, ...]]

MATERIALS = ("soil", "mushroom")
SCREEN = "pesticides"
OURS = "ours"
ASKED_FOR_TAXA = {"As": ("As", "iAs"), "Cs-137": ("Cs-137",)}
"""What to ask for where something is published of an element for a taxon, beside what is always asked."""

SPRAYED_OR_MAYBE = frozenset({"done", "planned", "not known"})

WORDS = (
    "A test finds what is asked for and nothing else; what stands here follows from what this book knows of "
    "the place, and the book does not know everything. A result below a detection limit is no proof that "
    "there is nothing."
)


@dataclass(frozen=True)
class Reason:
    """One reason to ask for some analytes.

    Parameters
    ----------
    because
        The reason in a sentence.
    analytes
        By material, what to ask for.
    source, mark
        Where it is written that the source brings some of them, and how well that is known.
    measured
        By material, those of them that this source itself measured or named; the rest is our choice.
    """

    because: str
    analytes: Analytes
    source: str
    mark: Mark
    measured: Analytes = field(default_factory=dict)


def sampling_plan(review: PlaceReview) -> SamplingPlan:
    """Give what to ask a laboratory for at the place of a review.

    Asked for is what sprayings, roads and other sources near the place may have brought, and in mushrooms
    always the three metals that have a maximum for sale. A source counts where it puts the place into class
    2 or lies within the distance at which its history is asked.

    Parameters
    ----------
    review
        The review of the place.
    """
    reasons = tuple(_reasons(review))
    lines = tuple(line for material in MATERIALS for line in _lines(material, reasons))
    return SamplingPlan(review.name, lines, steps(), WORDS)


@cache
def steps() -> tuple[SamplingStep, ...]:
    """Give how to take and label samples, in the order of doing."""
    return tuple(
        SamplingStep(row["material"], row["step"], row["said"], _said(row), reader.mark_of(row))
        for row in reader.rows("sampling_practice")
    )


def counts(term: SourceTerm) -> bool:
    """Tell whether a source lies near enough to ask about it."""
    within = term.nearest_m <= hazards.model()["asks_within"].value
    return within or max(term.floor_class, term.could_be_floor) >= int(hazards.model()["at_distance"].value)


def road_counts(road: NearSource) -> bool:
    """Tell whether a road adds enough to ask about it, at the upper end of its range."""
    return road.high >= parameters.value("class_1")


def sprayed_or_maybe(spray: SprayTerm) -> bool:
    """Tell whether a spraying is, may be or will be, and nobody ended it."""
    return spray.state in SPRAYED_OR_MAYBE and not spray.ended


def _lines(material: str, reasons: tuple[Reason, ...]) -> Iterator[SamplingLine]:
    wanted = dict.fromkeys(name for reason in reasons for name in reason.analytes.get(material, ()))
    for name in wanted:
        heard = [reason for reason in reasons if name in reason.analytes.get(material, ())]
        found, speaks = analyte(name), _who_measured(material, name, heard)
        yield SamplingLine(
            material=material,
            analyte=found.in_full if found is not None else name,
            because=tuple(dict.fromkeys(reason.because for reason in heard)),
            how=found.how_to_ask(material)
            if found is not None
            else "by its name: ask whether the laboratory can",
            source=speaks.source if speaks is not None else OURS,
            mark=speaks.mark if speaks is not None else "our choice",
        )


def _who_measured(material: str, name: str, reasons: list[Reason]) -> Reason | None:
    """Give the first reason whose source itself measured or named an analyte in a material."""
    return next((reason for reason in reasons if name in reason.measured.get(material, ())), None)


def _reasons(review: PlaceReview) -> Iterator[Reason]:
    for spray in review.sprayings:
        if sprayed_or_maybe(spray):
            yield _of_spraying(spray)
    for road in review.sources:
        if road_counts(road):
            yield _of_road(road)
    for term in review.terms:
        if counts(term) and term.kind in _asked():
            yield _of_source(term)
    yield _of_species(review)
    yield Reason("Every mushroom: these three have a maximum for sale.", *_from_table("any mushroom"))


def _of_spraying(spray: SprayTerm) -> Reason:
    told = [name for active in spray.actives for name in _measured_as(active.active)]
    names = tuple(dict.fromkeys(told)) or (SCREEN,)
    what = {"planned": "planned", "not known": "perhaps sprayed, not known"}.get(spray.state, "sprayed")
    because = f"{spray.ground}, {what}, {_where(spray.distance_m, spray.direction)}."
    asked = dict.fromkeys(MATERIALS, names)
    return Reason(because, asked, spray.source, "our choice", asked if told else {})


def _measured_as(active: str) -> tuple[str, ...]:
    found = substance(active)
    return found.measured_as if found is not None else (active,)


def _of_road(road: NearSource) -> Reason:
    kind = road.kind if road.kind in _asked() else "road"
    return Reason(f"{road.name}, {_where(road.edge_m, road.direction)}.", *_from_table(kind))


def _of_source(term: SourceTerm) -> Reason:
    kind = hazard_kinds().get(term.kind)
    brings = f": {kind.what}" if kind is not None else ""
    analytes, _, _, measured = _from_table(term.kind)
    because = f"{term.called}, {_where(term.distance_m, term.direction)}{brings}."
    return Reason(because, analytes, term.kind_source, term.mark, measured)


def _of_species(review: PlaceReview) -> Reason:
    """Ask for what is published as gathered by the taxa found here, where a laboratory has a name for it."""
    written: dict[str, str] = {}
    for species in review.species:
        for line in species.lines:
            if line.what != "no data" and analyte(line.element) is not None:
                written.setdefault(line.element, species.taxon_name)
    taxa = ", ".join(dict.fromkeys(written[name] for name in ASKED_FOR_TAXA if name in written))
    asked = tuple(ask for name, asks in ASKED_FOR_TAXA.items() if name in written for ask in asks)
    because = f"Something is published of it for {taxa}."
    return Reason(because, {"mushroom": asked}, "table of metals in mushrooms", "our choice")


def _where(distance_m: float, direction: str) -> str:
    return f"{distance_m:.0f} m to the {direction}" if direction else "on the place itself"


@cache
def _asked() -> dict[str, dict[str, str]]:
    return {row["source"]: row for row in reader.rows("analytes_to_ask")}


def _from_table(kind: str) -> tuple[Analytes, str, Mark, Analytes]:
    """Give what to ask for near a kind of source, its source and mark, and what that source measured."""
    row = _asked()[kind]
    asked = {material: _parted(row[material]) for material in MATERIALS}
    measured = {material: _parted(row[f"{material}_measured"]) for material in MATERIALS}
    return asked, _said(row), reader.mark_of(row), measured


def _parted(names: str) -> tuple[str, ...]:
    return tuple(filter(None, names.split("|")))


def _said(row: dict[str, str]) -> str:
    return ", ".join(filter(None, (row["source_key"], row["locator"])))

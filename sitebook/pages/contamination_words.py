"""Words and numbers of the contamination pages, none of which says more than is known."""

from __future__ import annotations

from collections.abc import Iterable

from sitebook.citations import Cited
from sitebook.pages import contamination_numbers as numbers
from sitebook.quantities import two_digits
from sitebook.records.results.contamination import NearSource
from sitebook.records.results.review import PlaceReview, TreeValue
from sitebook.records.results.source_term import SourceTerm
from sitebook.records.results.species import SpeciesLine
from sitebook.records.results.spray_term import ActiveLeft, SprayTerm
from sitebook.records.results.test_reading import Comparison, IntakeLine
from sitebook.reference import reader

SHORT: dict[int | None, str] = {
    4: "Leave what grows here",
    3: "A strong source: test the soil, or leave it",
    2: "A source near enough to matter",
    1: "A weak mapped signal",
    0: "Nothing mapped that the numbers can resolve",
    None: "No class: too little is known",
}
"""Class to its meaning in a few words; what to do with it is advice of ours."""

PARTS: tuple[tuple[str, str], ...] = (
    ("tests", "Tests"),
    ("why", "Why this class"),
    ("roads", "Roads"),
    ("sources", "Other sources"),
    ("sprayings", "Sprayings"),
    ("map", "Small map"),
    ("species", "Kinds"),
    ("evidence", "For and against"),
    ("not-known", "Not known"),
)
"""Parts of a review that its head leads to: anchor and words."""

MOST_LETTERS = 180
"""Length of the weightiest reason in the table of all sites."""

FROM_MAP = "map element"
"""How the source of what a map alone shows begins; a map says when it was seen, not since when it is."""

NO_TEST = "No laboratory test of this place is in the book."

MEASURED_FIRST = (
    "What a laboratory measured stands before everything below, which is computed from maps and from what "
    "people told."
)

INDEX_IS = (
    "an index, no amount of metal: 1 is the kerb of an endless straight road with 10,000 vehicles a day"
)

CHOICE = "The thresholds between the classes are our choice; no authority set them."

NOT_SAID: tuple[str, ...] = (
    "It does not tell what is in the ground, in a tree or in a mushroom.",
    "No road near by does not mean no metal, and a low class is no word for eating what grows here.",
    "It does not know whether the map is whole or up to date.",
    "Wind, walls, hedges and the lie of the land are not in the numbers.",
    "The index was held against one measured road only; that is a check, not a calibration.",
    "It tells nothing of what kind of mushroom a find is.",
    "No number here counts on washing or cooking to take anything out.",
    "A laboratory test of the mushroom is the only measurement.",
)
"""What a class does not say; printed with every review."""

SPECIES_NOT_SAID = (
    "This part is about the kind of mushroom, wherever it grows. Its values were measured elsewhere and are "
    "never combined with the class of this place. They do not say what a mushroom from here holds."
)

TERM_KIND = {
    "confirmed": "confirmed",
    "told": "told by one person, or by a map tag alone",
    "suspected": "suspected only",
}

STATES = {
    "done": "sprayed",
    "planned": "planned",
    "never": "said never to have been sprayed",
    "not known": "sprayed? not known",
}


def said_source(source: str, mark: str) -> str:
    """Give a source with its mark, once; the mark alone where there is no source but us, or none found."""
    if source in {"ours", "not confirmed", ""}:
        return mark if source else ""
    return f"{source} ({mark})" if source and mark and mark not in source else source


def could_be_higher(place_class: int | None, could_be: int | None) -> bool:
    """Tell whether the range reaches a higher class."""
    return place_class is not None and could_be is not None and could_be > place_class


def verdict(review: PlaceReview) -> str:
    """Give class, could-be and not known in one line."""
    parts = ["Class not known" if review.place_class is None else f"Class {review.place_class}"]
    if could_be_higher(review.place_class, review.could_be):
        parts.append(f"could be {review.could_be}")
    if review.unknown:
        parts.append(f"{numbers.count(len(review.unknown), 'thing', 'things')} not known")
    return ", ".join(parts)


def range_of(review: PlaceReview) -> str:
    """Say what the range behind "could be" is a range of."""
    if review.place_class is None:
        return "Without a class there is no range either; what is not known is listed below."
    position = (
        f" and over a position that may be {numbers.metres(review.uncertainty_m)} off"
        if review.uncertainty_m > 0.0
        else ""
    )
    if could_be_higher(review.place_class, review.could_be):
        opening = "“Could be” is the highest class within the ranges"
    elif review.place_class == max(number for number in SHORT if number is not None):
        opening = "No class is higher, so the ranges can raise it no further"
    else:
        opening = "No higher class is reached within the ranges"
    return (
        f"{opening}: the 90 % band of the traffic index over traffic "
        f"and the numbers of the model{position}, the ranges of every other source, and whatever is "
        "suspected or planned, taken as if it were so. What nobody knows is not in that range; it is counted "
        "beside the class."
    )


def place_words(review: PlaceReview) -> str:
    """Say where the worst point lies and how many points were looked at."""
    at = f"{abs(review.lat):.5f}° {'N' if review.lat >= 0.0 else 'S'}, "
    at += f"{abs(review.lon):.5f}° {'E' if review.lon >= 0.0 else 'W'}"
    if review.points_looked_at <= 1:
        return at
    return f"{at}, the worst of {review.points_looked_at:,} points looked at"


def data_words(review: PlaceReview) -> str:
    """Say how old the map data is and how far roads were looked for."""
    dated = review.data_date.isoformat() if review.data_date else "not known"
    return f"{dated}; roads looked for within {numbers.metres(review.reach_m)}"


def term_name(term: SourceTerm) -> str:
    """Call a source by its kind and name."""
    return f"{term.called}, {term.members} of them" if term.members > 1 else term.called


def term_days(term: SourceTerm) -> str:
    """Say since when and until when a source was there; "" where neither is known."""
    seen = "seen on the map of" if term.source.startswith(FROM_MAP) else "since"
    since = f"{seen} {term.since.isoformat()}" if term.since else ""
    until = f"until {term.until.isoformat()}" if term.until else ""
    return " ".join(part for part in (since, until) if part)


def term_adds(term: SourceTerm) -> str:
    """Write the area term, or that the history of the ground decides without it."""
    if term.weighs:
        return numbers.index_band(term.value)
    if term.kind == "old main road":
        return "counted among the roads, with the vehicles it carried"
    return "not counted: the history of the ground decides alone"


def floor_words(floor: int, could_be: int) -> str:
    """Say what class rule and distance make at least."""
    more = f", could be {could_be}" if could_be > floor else ""
    return f"class {floor} at least{more}" if floor or more else "none"


def left_words(active: ActiveLeft) -> str:
    """Say what may be left of an active in soil and on leaves."""
    if active.element:
        return "An element: it does not decay, so all that settled may still be there."
    soil = f"in soil {numbers.share(active.soil_left)}" if active.soil_left else "in soil not known"
    leaves = (
        f"on leaves that were there then {numbers.share(active.foliage_left)}" if active.foliage_left else ""
    )
    return "; ".join(part for part in (soil, leaves) if part)


def soil_words(active: ActiveLeft) -> str:
    """Say what that would be in the top soil."""
    return numbers.soil_band(active.soil_mg_kg) if active.soil_mg_kg else "not known"


def told_source(spraying: SprayTerm) -> str:
    """Say who told of a spraying, unless the reason does, and how well its drift is known."""
    told = "" if spraying.source in spraying.reason else f"{upper_first(spraying.source)}. "
    drift = "" if spraying.inside or spraying.state == "never" else f"Drift known: {spraying.mark}."
    return f"{told}{drift}".strip()


def not_known_at(tree: TreeValue) -> str:
    """Say the first thing not known at a tree, and how many more; the list of the place holds them all."""
    first, *others = tree.unknown
    more = f"; and {numbers.count(len(others), 'more thing', 'more things')}" if others else ""
    return stopped(f"Not known: {first}{more}")


def not_known_of(spraying: SprayTerm) -> str:
    """Say what is not known of a spraying, and who may know where somebody does."""
    said = stopped("; ".join(spraying.unknown))
    asked = spraying.state == "not known" or any(what.endswith("?") for what in spraying.unknown)
    return f"{said} May know: {spraying.whom}." if asked and spraying.whom else said


def drift_words(spraying: SprayTerm) -> str:
    """Say what share of the rate settled here; nothing settles of what was not done."""
    if spraying.state == "never":
        return "none, by that word"
    if spraying.inside:
        return "the place lies on it"
    return f"{numbers.percent_band(spraying.drift_percent)} of the rate"


def intake_words(line: IntakeLine) -> str:
    """Write what an intake is against its value: a share, or for lead a margin and never a share."""
    if line.share_percent is not None:
        most = "at most " if line.at_most else ""
        return f"{most}{two_digits(line.share_percent)} %"
    if line.margin is not None:
        least = "at least " if line.at_most else ""
        return f"margin {least}{two_digits(line.margin)}"
    return "not told"


def nearest_motor_road(review: PlaceReview) -> NearSource | None:
    """Give the road whose edge is nearest; None where none is in reach."""
    return min((road for road in review.sources if road.kind == "road"), key=_edge, default=None)


def _edge(road: NearSource) -> float:
    return road.edge_m


def species_value(line: SpeciesLine) -> str:
    """Write a published value with its unit, its part and whose it is."""
    if line.what == "no data":
        return line.value_text
    unit = "" if line.unit in {"words", "1", ""} else f" {line.unit}"
    kind = "" if line.what in line.value_text else f", {line.what}"
    whose = f", {line.of_whom}" if line.of_whom else ", of the genus" if line.of_genus else ""
    part = f", {line.part}" if line.part else ""
    spread = f" ± {line.spread:g}" if line.spread is not None else ""
    samples = f" of {numbers.count(line.samples, 'sample', 'samples')}" if line.samples is not None else ""
    return f"{line.value_text}{spread}{unit}{kind}{samples}{part}{whose}"


def species_ground(line: SpeciesLine) -> str:
    """Say on what ground a value was measured, and where it tells nothing of other ground."""
    if line.typical:
        return line.place or "–"
    return f"{line.place}: from beside a smelter or works, which tells nothing of other ground"


def compared(comparison: Comparison) -> str:
    """Say how a result stands to a value, with what that value was made for."""
    if comparison.words:
        return comparison.words
    assumed = f" Assumed: {comparison.assumed}." if comparison.assumed else ""
    return (
        f"{upper_first(comparison.relation)}: {comparison.against}, "
        f"{comparison.value:g} {comparison.unit}. {comparison.caveat}{assumed}"
    )


def sentence(words: str) -> str:
    """Make words stand as a sentence: a capital before, a stop behind."""
    return upper_first(stopped(words))


def stopped(words: str) -> str:
    """End words in a stop, and leave their beginning, which may be the key of a source."""
    text = words.strip()
    return text + ("" if not text or text[-1] in ".?!" else ".")


def first_sentence(words: str) -> str:
    """Give the first sentence, cut at a word where it is long for a line of a table."""
    first = sentence(words.split(". ", 1)[0])
    if len(first) <= MOST_LETTERS:
        return first
    return first[:MOST_LETTERS].rsplit(" ", 1)[0].rstrip(",;:") + " …"


def term_source(term: SourceTerm) -> str:
    """Say who tells of a source, and where it is written what its ground may hold."""
    held = term.kind_source if term.mark == "memory" else said_source(term.kind_source, term.mark)
    return f"{sentence(term.source)} What its ground may hold, as far as it is written: {stopped(held)}"


def upper_first(words: str) -> str:
    """Begin a sentence with a capital."""
    return words[:1].upper() + words[1:]


def class_rules() -> tuple[tuple[str, str], ...]:
    """Give each class with the rule that makes it, from the numbers of the cited tables."""
    road, area, spray = (reader.parameters(name) for name in ("roads_model", "areas_model", "spray_model"))
    by_index = {n: f"index {_number(road[f'class_{n}'])} or more" for n in (4, 3, 2, 1)}
    by_area = {n: f"other sources {_number(area[f'area_{n}'])} or more" for n in (3, 2, 1)}
    drift = {n: f"drift of {_number(spray[f'drift_{n}_percent'])} % of the rate or more" for n in (3, 2)}
    close = f"within {_number(road['close_road'])} m of a motor road"
    rules = {
        4: _joined((by_index[4], "on a known spraying", "inside a source whose ground is left by rule")),
        3: _joined((by_index[3], by_area[3], drift[3])),
        2: _joined((by_index[2], by_area[2], drift[2], close, "within the named distance of a source")),
        1: _joined((by_index[1], by_area[1], "any drift, or a source within the distance looked at")),
        0: "none of these; this does not tell whether the ground is polluted",
    }
    not_known = "beside a class: something was not looked at or not told, so it may be too low; alone: no map"
    return (*((str(n), rules[n]) for n in (4, 3, 2, 1, 0)), ("U", not_known))


def _number(cited: Cited) -> str:
    return f"{cited.value:g}"


def _joined(rules: Iterable[str]) -> str:
    return "; ".join(rules)

"""Says in words what is told of a spraying near a place, why it counts, and what is not known of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sitebook import vocabulary
from sitebook.analysis.contamination.hazard_words import AS_TOLD, SPRAYED
from sitebook.analysis.contamination.spraying_ground import INJECTED, SPREAD_DRY
from sitebook.analysis.contamination.spraying_numbers import percent_words
from sitebook.analysis.contamination.spraying_ready import Here, Ready
from sitebook.analysis.contamination.spraying_told import days_of, model
from sitebook.ground.distance import metres_words
from sitebook.records.spraying import Spraying, SprayingActive
from sitebook.reference.substances import NOT_KNOWN, substance

MANAGER = "whoever manages the ground"

VERBS = {INJECTED: "put into the trunk", SPREAD_DRY: "spread dry"}
"""What was done, by the method; all else was sprayed."""


def reason_of(ready: Ready, here: Here) -> str:
    """Say why a spraying counts at a place, or why it does not."""
    return " ".join(_sentences(ready, here))


def unknown_of(ready: Ready) -> tuple[str, ...]:
    """Say what is not known of a spraying and may be asked."""
    ground = ready.spraying.ground
    found = [f"{ground}: {what}" for what in _unknown(ready)]
    if ready.mended:
        found.append(f"{ground}: an outline crosses itself and was taken as the ground it encloses")
    return tuple(found)


def whom_of(spraying: Spraying) -> str:
    """Say who may know more of it; whoever could not say is not asked again."""
    return MANAGER if spraying.state == "not known" else spraying.told_by


def days_words(spraying: Spraying) -> str:
    """Say when it was, with what is not known of the day; "" where it never was."""
    if spraying.state == "never":
        return ""
    first, last = days_of(spraying)
    if last is None:
        return "on a day not known"
    if first is None:
        return f"on {last.isoformat()} or earlier"
    if first == last:
        return f"on {last.isoformat()}"
    return f"between {first.isoformat()} and {last.isoformat()}"


def source_of(spraying: Spraying) -> str:
    """Say who told of it, and when."""
    when = f"on {spraying.told_on.isoformat()}" if spraying.told_on else "on a day not noted"
    return f"told by {spraying.told_by} {when}"


def _sentences(ready: Ready, here: Here) -> Iterator[str]:
    spraying = ready.spraying
    where = (
        "the place lies on it" if here.inside else f"{metres_words(here.distance_m)} to the {here.direction}"
    )
    yield f"{spraying.ground}, {where}: {_told_words(ready)}."
    yield AS_TOLD
    if ready.ending.words:
        yield f"Ended: {ready.ending.words}."
        return
    if ready.happened != "no":
        yield from _counts_words(ready, here)
        yield from ready.ending.said
    elif spraying.state == "planned":
        yield "It is still to come, and counts from that day on."
    elif spraying.state == "never":
        yield "That holds up to the day it was said, and ends no other word about this ground."
    if ready.happened == "no":
        yield from ready.ending.said


def _told_words(ready: Ready) -> str:
    spraying, source = ready.spraying, source_of(ready.spraying)
    if spraying.state == "never":
        return f"{source} that this ground was never sprayed"
    if spraying.state == "not known":
        return f"whether it was sprayed could not be said, {source}"
    what = _actives_words(ready.told.standing_actives)
    number = spraying.applications
    times = f", {number} times" if number > 1 else ""
    said = f"{days_words(spraying)}{times}, {what}, {source}"
    verb = VERBS.get(spraying.method or "", "sprayed")
    if spraying.state == "done":
        return f"{verb} {said}"
    doubt = "; nobody says that it was done" if ready.happened == "perhaps" else ""
    return f"planned to be {verb} {said}{doubt}"


def _actives_words(actives: Sequence[SprayingActive]) -> str:
    names = list(dict.fromkeys(active.active for active in actives))
    if not names:
        return "substances not named"
    return f"with {names[0]}" if len(names) == 1 else f"with {', '.join(names[:-1])} and {names[-1]}"


def _counts_words(ready: Ready, here: Here) -> Iterator[str]:
    if ready.happened == "perhaps":
        yield "It counts for what the class could be, as if it had been done."
    if here.inside:
        yield "What grows on sprayed ground is left, by our rule; no number of days ends that."
        return
    if ready.spraying.method == INJECTED:
        radius = model()["crown_radius"].value
        yield f"Put into the trunk, it is taken not to drift; {radius:g} m round a trunk count as sprayed."
    elif ready.spraying.method == SPREAD_DRY:
        yield "Spread dry, it is taken not to drift, by our choice."
    else:
        yield from _drift_words(ready, here)
    if here.nearest_m == 0.0:
        yield "The position is not exact enough to say that the place lies outside it."


def _drift_words(ready: Ready, here: Here) -> Iterator[str]:
    meaning = vocabulary.DRIFT_GROUP.meanings[ready.group]
    yield (
        f"In {ready.curve.percentile} of 100 trials no more than {percent_words(here.percent.central)} "
        f"of the rate settled at this distance; that the wind blew this way is assumed. "
        f"Drift curve: {meaning} ({ready.curve.source})."
    )
    number = ready.spraying.applications
    if number > 1:
        total = percent_words(here.percent.central * number)
        own = "" if ready.curve.applications == number else ", by the curve for one as there is no other"
        yield f"That is each time{own}; {number} times make {total} of one rate, and that is what counts."
    if ready.farther:
        yield "A blower may drift farther than this curve; for which crop it was is not told."
    if here.distance_m < 1.0:
        yield "The curve begins at 1 m; nearer, its value at 1 m is taken."
    if here.distance_m > model()["table_end"].value:
        end = model()["table_end"].value
        yield f"The values that were read end at {end:g} m; from there on the curve is drawn on."
    yield "Time alone lowers no class, by our choice."


def _unknown(ready: Ready) -> Iterator[str]:
    if ready.ending.words or ready.spraying.state == "never":
        return
    if ready.spraying.state == "not known":
        yield SPRAYED
        return
    for question in _questions(ready):
        yield f"{question}?"
    for active in ready.told.standing_actives:
        if substance(active.active) is None:
            yield f"{active.active}: {NOT_KNOWN}"


def _questions(ready: Ready) -> Iterator[str]:
    spraying, actives = ready.spraying, ready.told.standing_actives
    if ready.happened == "perhaps":
        yield "was it done"
    if days_of(spraying).last is None:
        yield "on which day is it sprayed"
    elif spraying.state == "done" and ready.ahead:
        yield "noted as done on a day still to come; which day is meant"
    if not actives:
        yield "with what is it sprayed"
    if spraying.method is None:
        yield "how is it brought out"
    if ready.farther:
        yield "what grew there, and was it in leaf"
    yield from (f"how much {active.active} is brought out" for active in actives if active.rate is None)

"""Says whether a closing note or a laboratory has ended a spraying."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from sitebook.analysis.contamination.decay import SOIL_DEPTH_M, soil_residue_mg_kg
from sitebook.analysis.contamination.spraying_rate import brought_out_g_ha
from sitebook.analysis.contamination.spraying_told import Told, days_of
from sitebook.citations import Cited
from sitebook.quantities import two_digits
from sitebook.records.lab_test import LabResult, LabTest
from sitebook.records.spraying import Spraying, SprayingActive
from sitebook.reference.analytes import analyte
from sitebook.reference.substances import letters_of, substance

ENDING = frozenset({"soil", "mushroom"})
"""Materials whose test may end a spraying: leaves and dust tell nothing of the ground."""

SEES_WELL = Cited(0.1, "1", "ours", "our choice")
"""A detection limit must lie at this share of the first day's residue or below."""

MG_KG = {"mg/kg": 1.0, "ug/kg": 1e-3, "ng/kg": 1e-6}


@dataclass(frozen=True)
class Ending:
    """Whether a spraying is ended.

    Parameters
    ----------
    words
        Who ended it and how; "" while it stands.
    said
        What must be said of notes and tests that did not end it, in sentences.
    """

    words: str
    said: tuple[str, ...]


@dataclass(frozen=True)
class _Measured:
    """One result of a test that was asked about a spraying."""

    test: LabTest
    result: LabResult
    analyte: str

    @property
    def limit(self) -> float:
        """The detection limit of a result below it; 0 where it is not a number that limits anything."""
        given = self.result.detection_limit
        limit = self.result.value if given is None else given
        return max(0.0, limit)

    @property
    def where(self) -> str:
        """Which laboratory, and what it was given."""
        return (
            f"{self.test.laboratory}, in {self.test.material} sampled on {self.test.sampled_on.isoformat()}"
        )


def ending_of(told: Told, *, today: datetime.date) -> Ending:
    """Say whether a spraying is ended.

    Only a closing note with its day, a name and a reason ends it, or a laboratory that looked for every
    active and found none of them; days never do.

    Parameters
    ----------
    told
        The spraying with what was in it and its tests.
    today
        Day of the review; notes and samples of a later day count as not there.
    """
    closed, doubt = _closed(told.spraying, today)
    if closed or told.spraying.state not in {"done", "planned"}:
        return Ending(closed, doubt)
    tests = [pair for pair in told.tests if _asked(pair[0], told.spraying) and pair[0].sampled_on <= today]
    if not tests:
        return Ending("", doubt)
    not_found, said = _tested(told, tests)
    return Ending(not_found, (*doubt, *said))


def _closed(spraying: Spraying, today: datetime.date) -> tuple[str, tuple[str, ...]]:
    day, name = spraying.closed_on, (spraying.closed_by or "").strip()
    why = (spraying.closing_note or "").strip()
    if day is None and not name and not why:
        return "", ()
    if day is None or not name or not why:
        return "", ("A closing note ends it only with its day, a name and a reason, and one is missing.",)
    if day > today:
        return "", (f"The closing note is of a day to come, {day.isoformat()}, and does not count yet.",)
    last = days_of(spraying).last
    if spraying.state == "done" and last is not None and day < last:
        return "", (f"The closing note of {day.isoformat()} is older than the spraying and does not count.",)
    return f"closed by {name} on {day.isoformat()}: {why.rstrip('.')}", ()


def _asked(test: LabTest, spraying: Spraying) -> bool:
    return test.withdrawn_at is None and test.spraying_id is not None and test.spraying_id == spraying.id


def _tested(told: Told, tests: Sequence[tuple[LabTest, Sequence[LabResult]]]) -> tuple[str, tuple[str, ...]]:
    last = days_of(told.spraying).last
    if not told.standing_actives:
        return "", ("A laboratory test cannot end it while nobody says what was sprayed.",)
    if last is None:
        return "", ("A laboratory test cannot end it while its day is not known.",)
    later = [pair for pair in tests if pair[0].sampled_on >= last]
    if not later:
        return "", ("It was tested before the spraying alone, which does not end it.",)
    newest = list(_newest(later))
    wanted = {part: active for active in told.standing_actives for part in _parts(active)}
    kept = [each for each in newest if each.analyte in wanted]
    reasons = [said for each in kept if (said := _why_not(each, told.spraying, wanted[each.analyte]))]
    missing = [part for part in wanted if part not in {each.analyte for each in kept}]
    names = ", ".join(dict.fromkeys(wanted[part].active for part in missing))
    if missing:
        reasons.append(f"No laboratory result covers all of {names} yet, so the tests do not end it.")
    return ("" if reasons else _said_not_found(kept)), tuple(reasons)


def _parts(active: SprayingActive) -> tuple[str, ...]:
    """Give what a laboratory must look for, in letters alone."""
    known = substance(active.active)
    return tuple(map(_key, known.measured_as if known else (active.active,)))


def _key(name: str) -> str:
    """Give one key to every way of writing what a laboratory measures.

    A form of an element is never taken for the element.
    """
    measured = analyte(name)
    known = substance(measured.name if measured else name)
    if known is None or (known.element and measured is None):
        return letters_of(measured.name if measured else name)
    return letters_of(known.name)


def _newest(tests: Sequence[tuple[LabTest, Sequence[LabResult]]]) -> Iterator[_Measured]:
    """Give each result that no later sample of the same material replaced."""
    found: dict[tuple[str, str], list[_Measured]] = {}
    for test, results in tests:
        for result in results:
            if result.withdrawn_at is not None or result.lab_test_id != test.id:
                continue
            one = _Measured(test, result, _key(result.analyte))
            found.setdefault((one.analyte, test.material), []).append(one)
    for same in found.values():
        newest = max(each.test.sampled_on for each in same)
        yield from (each for each in same if each.test.sampled_on == newest)


def _why_not(each: _Measured, spraying: Spraying, active: SprayingActive) -> str:
    """Say why a result does not end the spraying; "" where it speaks for that."""
    result = each.result
    if not result.below_limit:
        found = f"{result.value:g} {result.unit} {result.basis} of {result.analyte}"
        return f"Found by {each.where}: {found}. That does not end it."
    if not each.limit:
        return (
            f"{each.where}: {result.analyte} not found, but down to what is not told. That does not end it."
        )
    if each.test.material not in ENDING:
        return (
            f"{each.where}: {result.analyte} not found in {each.test.material}, "
            "which tells nothing of the ground. That does not end it."
        )
    rate_g_ha = brought_out_g_ha(active, spraying.applications)
    if each.test.material != "soil" or rate_g_ha is None or result.unit not in MG_KG:
        return ""
    depth_m = max(each.test.depth_to_cm or 0.0, 100.0 * SOIL_DEPTH_M.value) / 100.0
    first_mg_kg = float(soil_residue_mg_kg(rate_g_ha, depth_m=depth_m))
    if each.limit * MG_KG[result.unit] <= SEES_WELL.value * first_mg_kg:
        return ""
    return (
        f"{each.where}: {result.analyte} not found down to {each.limit:g} {result.unit}, but the rate makes "
        f"no more than {two_digits(first_mg_kg)} mg/kg over the depth sampled on its first day, "
        "and the limit must lie at a tenth of that or below (our choice). That does not end it."
    )


def _said_not_found(kept: Sequence[_Measured]) -> str:
    by_test: dict[str, list[str]] = {}
    for each in kept:
        down_to = f"{each.result.analyte} {each.limit:g} {each.result.unit} {each.result.basis}"
        by_test.setdefault(each.where, []).append(down_to)
    return "; ".join(
        f"not found by {where}, down to {', '.join(limits)}" for where, limits in by_test.items()
    )

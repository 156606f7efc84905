"""Holds out each season-year in turn, and asks which way of telling chances told it best."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from scipy import special

from sitebook.analysis.season import model, scores
from sitebook.analysis.season.baseline import INTERVAL_LEVEL, jeffreys_interval
from sitebook.analysis.season.design import PRESENCE_ONLY, Looks, chosen_looks
from sitebook.analysis.season.placed import placed
from sitebook.analysis.season.prediction import predict
from sitebook.analysis.season.prior import SeasonPrior
from sitebook.analysis.season.simpler import SIMPLER
from sitebook.citations import Cited
from sitebook.records.results.fruiting import SEASON_MODEL
from sitebook.records.results.held_out import Gain, ToldShare, ToldYear

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

AGAINST = ("month histogram", "pooled ratio", "published calendar")
"""Simpler ways that the model is held against; a constant share tells no season."""
YEARS_TO_GIVE_WAY = Cited(3.0, "years", "ours", "our choice")
"""Held-out years in which a simpler way must have told better, before the model gives way to it."""
FEWEST_YEARS = 2
YEARS_FOR_INTERVAL = 3
DRAWS = 2000
GAIN_LEVEL = 0.95


@dataclass(frozen=True)
class Told:
    """Looks of years that were held out, with the chance that each way gave them.

    Parameters
    ----------
    year
        Season-year of each look (n,).
    found
        Whether it found something (n,).
    chances
        Chance given to each look by the name of the way (n,), the model's among them.
    placed
        The same of each simpler way as the book uses it, with places parted; empty where it has none.
    """

    year: NDArray[np.int64]
    found: Bools
    chances: dict[str, Floats]
    placed: dict[str, Floats] = field(default_factory=dict)

    @property
    def years(self) -> list[int]:
        """The years held out, in order."""
        return [int(year) for year in np.unique(self.year)]

    @property
    def with_find(self) -> Bools:
        """Whether a look found something in each year, in the order of `years`."""
        return np.array([self.found[self.year == year].any() for year in self.years])

    def used(self, way: str) -> Floats:
        """Give the chances of a way as the book shows them where it uses that way (n,)."""
        return self.placed.get(way, self.chances[way])

    def loss_by_year(self, way: str) -> Floats:
        """Give the mean log loss of a way in each year, in the order of `years`."""
        return self._by_year(self.chances[way])

    def loss_in_use(self, way: str) -> Floats:
        """Give the same of a way as the book uses it."""
        return self._by_year(self.used(way))

    def _by_year(self, chance: Floats) -> Floats:
        at = [self.year == year for year in self.years]
        return np.array([scores.log_loss(chance[one], self.found[one]) for one in at])


def told(looks: Looks, prior: SeasonPrior) -> Told | None:
    """Tell each season-year from all the others.

    Parameters
    ----------
    looks
        Looks of one taxon; presence-only records among them teach every year but are not told, as nobody
        noted their empty looks.
    prior
        The season of the books.

    Returns
    -------
    Told or None
        None where looks span fewer than two years, or none of them found anything.
    """
    noted = looks.at.site != PRESENCE_ONLY
    years = np.unique(looks.at.year[noted])
    if years.size < FEWEST_YEARS or not looks.found[noted].any():
        return None
    tolds = []
    for year in years:
        held = noted & (looks.at.year == year)
        tolds.append(_of_year(chosen_looks(looks, ~held), chosen_looks(looks, held), prior))
    return together(tolds)


def _of_year(others: Looks, held: Looks, prior: SeasonPrior) -> Told:
    fit = model.fit(others, prior)
    chances = {way: SIMPLER[way](others, held.at, prior) for way in AGAINST}
    chances[SEASON_MODEL] = predict(fit, held.at).chance
    parted = {way: placed(way, fit, others, held.at).chance for way in AGAINST}
    return Told(held.at.year, held.found, chances, parted)


@dataclass(frozen=True)
class Way:
    """The way that is used for a taxon, and how the model did in the years held out.

    Parameters
    ----------
    name, said
        Which way, and why in a sentence.
    told_finds
        Looks with a find that the chances of this way add up to in the years held out.
    came_finds
        Looks with a find that came in them.
    """

    name: str
    said: str
    told_finds: float
    came_finds: int


def way_to_use(looks: Looks, prior: SeasonPrior) -> Way:
    """Choose the way that the book uses for a taxon, and say why.

    Parameters
    ----------
    looks, prior
        As `told` takes them.
    """
    found = told(looks, prior)
    if found is None:
        return Way(SEASON_MODEL, NOT_HELD_OUT, 0.0, 0)
    return way_of(found)


def way_of(found: Told) -> Way:
    """Choose the way by the years held out, and count the finds told and those that came."""
    name, said = chosen_way(found)
    return Way(name, said, float(found.used(name).sum()), int(found.found.sum()))


def book_words(ways: Iterable[Way]) -> str:
    """Say how the chances of some taxa did in all their years held out; "" where none was.

    The share of what came to what was told is called other than 1 where its 80 % interval, as that of a
    Poisson count, leaves 1 out.
    """
    known = list(ways)
    told_finds, came = sum(way.told_finds for way in known), sum(way.came_finds for way in known)
    if told_finds <= 0.0:
        return ""
    tail = (1.0 - INTERVAL_LEVEL.value) / 2.0
    low = float(special.gammaincinv(came, tail)) if came else 0.0
    high = float(special.gammaincinv(came + 1, 1.0 - tail))
    head = f"Of years left out in turn, sitebook promised {told_finds:.0f} finds of these taxa; {came} came"
    if high < told_finds:
        return f"{head}: too much was promised, and the numbers here are not lowered for it. {WHERE_SHOWN}"
    if low > told_finds:
        return f"{head}: too little was promised, and the numbers here are not raised for it. {WHERE_SHOWN}"
    return f"{head}: the chances held, as far as so many finds can say."


WHERE_SHOWN = "Which chances came true and which did not: sitebook calendar --held-out."
NOT_HELD_OUT = (
    "The season model is used. It could not be held against simpler ways yet, which needs looks of two "
    "years and a find among them."
)


def together(tolds: Iterable[Told]) -> Told:
    """Lay held-out looks together, of years of one taxon or of several; the same year is one year."""
    known = list(tolds)
    chances = {way: np.concatenate([one.chances[way] for one in known]) for way in (SEASON_MODEL, *AGAINST)}
    parted = {way: np.concatenate([one.used(way) for one in known]) for way in AGAINST}
    return Told(
        np.concatenate([one.year for one in known]),
        np.concatenate([one.found for one in known]),
        chances,
        parted,
    )


def by_year(found: Told) -> tuple[ToldYear, ...]:
    """Add up the model's chances and what came in each year."""
    own, at = found.chances[SEASON_MODEL], [(year, found.year == year) for year in found.years]
    return tuple(
        ToldYear(year, int(one.sum()), float(own[one].sum()), int(found.found[one].sum())) for year, one in at
    )


def chosen_way(found: Told, *, every_year: bool = False) -> tuple[str, str]:
    """Choose the way by the years held out.

    A simpler way takes the place of the model where it told better at least three years, more than it
    told worse, and all years together, and all together with its places parted by the model too, as it is
    used then. Only years in which something was found count: in a year without a find, whichever way says
    less is ahead, and tells nothing of when.

    Parameters
    ----------
    found
        Years told.
    every_year
        Let years without a find count too, which shows what leaving them out decides.
    """
    own = found.loss_by_year(SEASON_MODEL)
    looks = np.array([(found.year == year).sum() for year in found.years])
    tells = found.with_find | every_year
    better: list[tuple[float, str, int]] = []
    for way in AGAINST:
        gain, parted = own - found.loss_by_year(way), own - found.loss_in_use(way)
        won = int((gain[tells] > 0.0).sum())
        if (
            won >= YEARS_TO_GIVE_WAY.value
            and 2 * won > tells.sum()
            and min(gain @ looks, parted @ looks) > 0.0
        ):
            better.append((float(gain @ looks), way, won))
    years = int(tells.sum())
    if not better:
        return SEASON_MODEL, (
            "The season model is used: no simpler way could be held against it in more than one year."
            if years == 1
            else f"The season model is used: of {years} years with a find, each left out in turn, no simpler "
            "way told enough of them better."
        )
    _, way, won = max(better)
    return way, (
        f"The {way} is used, and the model only parts its places: of {years} years with a find, each left "
        f"out in turn, that way told {won} better than the season model did."
    )


def gains(found: Told, seed: int = 1) -> tuple[Gain, ...]:
    """Say how much better the model told the years than each simpler way.

    Parameters
    ----------
    found
        Years told.
    seed
        Start of the random numbers with which years are drawn again for the interval.
    """
    weight = np.array([(found.year == year).sum() for year in found.years], np.float64)
    own = found.loss_by_year(SEASON_MODEL)
    tells = found.with_find
    return tuple(_gain(way, found.loss_by_year(way) - own, weight, tells, seed) for way in AGAINST)


def _gain(way: str, by_year: Floats, weight: Floats, tells: Bools, seed: int) -> Gain:
    gain = float(by_year @ weight / weight.sum())
    low: float | None = None
    high: float | None = None
    if by_year.size >= YEARS_FOR_INTERVAL:
        drawn = np.random.default_rng(seed).integers(by_year.size, size=(DRAWS, by_year.size))
        means = (by_year[drawn] * weight[drawn]).sum(axis=1) / weight[drawn].sum(axis=1)
        tail = (1.0 - GAIN_LEVEL) / 2.0
        low, high = (float(end) for end in np.quantile(means, [tail, 1.0 - tail]))
    lost = by_year < 0.0
    return Gain(way, gain, low, high, int(lost.sum()), int((lost & tells).sum()))


def shares(tolds: Iterable[tuple[Floats, Bools]]) -> tuple[ToldShare, ...]:
    """Sort looks by the chance they were given, and say how many of each sort found something.

    Parameters
    ----------
    tolds
        Chances given, and what came, of one or more taxa.
    """
    pairs: Sequence[tuple[Floats, Bools]] = list(tolds)
    if not pairs:
        return ()
    chance = np.concatenate([one for one, _ in pairs])
    came = np.concatenate([one for _, one in pairs])
    return tuple(
        _share(low, high, chance[inside], came[inside])
        for low, high in zip(scores.EDGES[:-1], scores.EDGES[1:], strict=True)
        if (inside := (chance >= low) & ((chance < high) | (high >= 1.0))).any()
    )


def _share(low: float, high: float, chance: Floats, came: Bools) -> ToldShare:
    seen = float(came.mean())
    first, last = jeffreys_interval(seen, float(came.size))
    return ToldShare(
        low, high, int(came.size), float(chance.mean()), seen, min(float(first), seen), max(float(last), seen)
    )

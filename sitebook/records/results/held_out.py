"""How well the chances told years that were held out."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Gain:
    """How much better the season model told held-out years than a simpler way.

    Parameters
    ----------
    way
        Name of the simpler way.
    gain
        Mean over looks of its log loss minus that of the model; above 0 the model told better.
    low, high
        Ends of the 95 % interval of the gain, from years drawn again; None with fewer than three years.
    years_lost
        Held-out years in which the simpler way told better.
    years_lost_with_find
        Those of them in which a look found something; they alone choose the way.
    """

    way: str
    gain: float
    low: float | None
    high: float | None
    years_lost: int
    years_lost_with_find: int


@dataclass(frozen=True)
class ToldShare:
    """Looks that were given about the same chance, and what came.

    Parameters
    ----------
    low, high
        Ends of the chances taken together [1].
    looks
        How many looks.
    told
        Mean chance given [1].
    seen, seen_low, seen_high
        Share of them with a find, and the ends of its 80 % interval [1].
    """

    low: float
    high: float
    looks: int
    told: float
    seen: float
    seen_low: float
    seen_high: float


@dataclass(frozen=True)
class ToldYear:
    """What all taxa together were told for a year held out, and what came.

    Parameters
    ----------
    year
        Year in which the height of the seasons falls.
    looks
        How many looks, each taxon's counted for itself.
    told, came
        Looks with a find that the chances add up to, and how many came.
    """

    year: int
    looks: int
    told: float
    came: int


@dataclass(frozen=True)
class HeldOut:
    """One taxon, each of its years told from the others.

    Parameters
    ----------
    taxon_id, taxon_name, southern
        The taxon, and which side of the equator.
    years
        Labels of the years held out.
    years_with_find
        How many of them have a look that found something.
    looks, looks_with_find
        Looks of those years.
    gains
        One a simpler way.
    shares
        Bins of the chances given, lowest first.
    way
        Way that the book uses for the taxon.
    said
        Why, in a sentence.
    way_by_every_year
        Way that would be used if years without a find chose it too.
    """

    taxon_id: int
    taxon_name: str
    southern: bool
    years: tuple[str, ...]
    years_with_find: int
    looks: int
    looks_with_find: int
    gains: tuple[Gain, ...]
    shares: tuple[ToldShare, ...]
    way: str
    said: str
    way_by_every_year: str = ""


@dataclass(frozen=True)
class Calibration:
    """How well the book's own chances told its own years.

    Parameters
    ----------
    taxa
        By name; taxa with looks of one year only are counted in `too_few`.
    together
        Bins over all taxa.
    too_few
        Names of taxa that could not be held out, with the reason.
    gains
        One a simpler way, over the looks of all taxa, the same year of all of them taken as one.
    years, years_with_find
        Years held out over all taxa, and how many of them have a look that found something.
    said
        To how many finds the chances came, and how many came.
    by_year
        The same year by year, in order.
    """

    taxa: tuple[HeldOut, ...]
    together: tuple[ToldShare, ...]
    too_few: tuple[tuple[str, str], ...]
    gains: tuple[Gain, ...] = ()
    years: int = 0
    years_with_find: int = 0
    said: str = ""
    by_year: tuple[ToldYear, ...] = ()

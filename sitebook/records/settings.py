"""Values she may set, each with a built-in one that says where it comes from."""

from __future__ import annotations

from dataclasses import dataclass

from sitebook.citations import Cited


@dataclass(frozen=True)
class Settings:
    """Values in force for one book.

    Parameters
    ----------
    poison_centre
        Telephone of the poison centre, printed on every page; empty where none was set.
    far_km
        Distance from everything in the book beyond which a position is not believed [km].
    walking_limit_kmh
        Pace below which a stretch inside a site counts as search [km/h].
    """

    poison_centre: str = ""
    far_km: Cited = Cited(200.0, "km", "ours", "our choice")
    walking_limit_kmh: Cited = Cited(6.0, "km/h", "ours", "our choice")


MEANINGS: dict[str, str] = {
    "poison_centre": "telephone of the poison centre, printed on every page",
    "far_km": "distance from everything in the book beyond which a position is not believed",
    "walking_limit_kmh": "pace below which a stretch inside a site counts as search",
}
"""What each setting is for."""

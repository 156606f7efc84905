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
    soil_authority
        Whose values soil tests are held against, as the table of soil values names it; empty where none
        was named, and then they are held against none.
    adult_kg, child_kg, pregnancy_kg
        Body masses that intakes are counted for [kg].
    portion_g_per_week
        Fresh mushroom that an adult, and a pregnant one, eats in a week [g].
    child_portion_g_per_week
        Fresh mushroom that a child eats in a week [g].
    stay_min
        Time planned at a site of a foray [min].
    scouting_share
        Share of a foray's worth that looks at little-known spots make, 0 for none [1].
    look_only_from_class
        Contamination class from which a foray proposes a site only to look, 1 to 4.
    """

    poison_centre: str = ""
    far_km: Cited = Cited(200.0, "km", "ours", "our choice")
    walking_limit_kmh: Cited = Cited(6.0, "km/h", "ours", "our choice")
    soil_authority: str = ""
    adult_kg: Cited = Cited(70.0, "kg", "ours", "our choice")
    child_kg: Cited = Cited(15.0, "kg", "ours", "our choice")
    pregnancy_kg: Cited = Cited(70.0, "kg", "ours", "our choice")
    portion_g_per_week: Cited = Cited(
        250.0, "g a week", "german_wild_mushroom_advice", "secondary", "200 to 250 g, the upper end"
    )
    child_portion_g_per_week: Cited = Cited(125.0, "g a week", "ours", "our choice")
    stay_min: Cited = Cited(30.0, "min", "ours", "our choice")
    scouting_share: Cited = Cited(0.2, "1", "ours", "our choice")
    look_only_from_class: Cited = Cited(3.0, "class", "ours", "our choice")


MEANINGS: dict[str, str] = {
    "poison_centre": "telephone of the poison centre, printed on every page",
    "far_km": "distance from everything in the book beyond which a position is not believed",
    "walking_limit_kmh": "pace below which a stretch inside a site counts as search",
    "soil_authority": "authority whose values soil tests are held against",
    "adult_kg": "body mass of an adult, for intakes from tested mushrooms",
    "child_kg": "body mass of a child, for the same",
    "pregnancy_kg": "body mass in pregnancy, for the same",
    "portion_g_per_week": "fresh mushroom an adult eats in a week, for the same",
    "child_portion_g_per_week": "fresh mushroom a child eats in a week, for the same",
    "stay_min": "time planned at a site of a foray",
    "scouting_share": "share of a foray's worth that looks at little-known spots make",
    "look_only_from_class": "contamination class from which a foray proposes a site only to look",
}
"""What each setting is for."""

ENDS: dict[str, tuple[float, float]] = {
    "stay_min": (1.0, 600.0),
    "scouting_share": (0.0, 1.0),
    "look_only_from_class": (1.0, 4.0),
}
"""Least and most of each number that is not simply above zero."""

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
}
"""What each setting is for."""

"""Invented names for the streets and lanes of the town."""

from __future__ import annotations

import random

STEMS = (
    "Aldrisk", "Belvarn", "Brenhost", "Cavrell", "Corrisk", "Daskwell", "Dorvane", "Elsomir", "Ennaby",
    "Farrisk", "Feskholm", "Fornhask", "Galvisk", "Gorrenby", "Haldrisk", "Harvonny", "Heskwith", "Ilvarno",
    "Jorvisk", "Jossamy", "Kelvorn", "Keskamore", "Lannisk", "Lorvane", "Maldrisk", "Marvonby", "Morrisk",
    "Narvonny", "Neskwell", "Olverisk", "Ormavell", "Ostrivane", "Pelvarn", "Perrisk", "Quarvane", "Quillisk",
    "Ravonny", "Ruskholm", "Sarvisk", "Selvarrow", "Sorrisk", "Tarvisk", "Tolvane", "Torrisk", "Ulvarrow",
    "Uskwell", "Varnisk", "Velvonny", "Vorrisk", "Waldrisk", "Weskamore", "Wolvane", "Yarvisk", "Yeskholm",
    "Zarrowby", "Arvonny", "Birvane", "Crellisk", "Drovarn", "Ervisk", "Frelvane", "Grellisk", "Hervarn",
    "Irvonby", "Jelvane", "Krellisk", "Lelvarn", "Mervane", "Norvisk", "Orrisk", "Prelvane", "Querrisk",
    "Relvarn", "Skellisk", "Trelvane", "Urvisk", "Verrowby", "Wrellisk", "Yelvarn", "Zorvane", "Addrisk",
    "Boskvane", "Cheskwell", "Deskamore", "Erskholm", "Fuskwell", "Guskvane", "Hoskamore", "Juskwell",
    "Luskvane", "Muskamore", "Noskwell", "Poskvane", "Roskamore", "Suskwell", "Tuskvane", "Voskamore",
    "Wuskwell", "Biskarrow", "Diskarrow", "Fiskarrow", "Giskarrow", "Liskarrow", "Miskarrow", "Niskarrow",
    "Riskarrow", "Siskarrow", "Viskarrow", "Baldrin", "Caldrin", "Faldrin", "Galdrin", "Kaldrin", "Laldrin",
    "Naldrin", "Paldrin", "Raldrin", "Saldrin", "Taldrin", "Valdrin", "Yaldrin", "Zaldrin", "Bervosk",
    "Cervosk", "Dervosk", "Fervosk", "Gervosk", "Hervosk", "Kervosk", "Lervosk", "Nervosk", "Pervosk",
    "Servosk", "Tervosk", "Vervosk", "Wervosk", "Zervosk",
)  # fmt: skip
"""Made up; none is the name of a place that the makers know of."""

LONG = ("Street", "Road", "Street", "Avenue", "Lane")
SHORT = ("Lane", "Row", "Close", "Court", "Rise", "Lane")


class NameBook:
    """Hands out each name once."""

    def __init__(self, seed: str) -> None:
        self.rng = random.Random(seed)
        self.left = list(STEMS)
        self.rng.shuffle(self.left)

    def street(self, length_m: float) -> str | None:
        """Give the next street name; a very short street has none."""
        if length_m < 45 or not self.left:
            return None
        kinds = LONG if length_m > 190 else SHORT
        return f"{self.left.pop()} {kinds[int(self.rng.random() * len(kinds))]}"

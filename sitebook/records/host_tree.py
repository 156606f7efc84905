"""A tree that fungi live with or on."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry

from sitebook import vocabulary
from sitebook.records.columns import column
from sitebook.records.standing import Standing


@dataclass(frozen=True, kw_only=True)
class HostTree(Standing):
    """One tree, told from its neighbours."""

    site_id: int | None = column("site it stands in", null="in none of her sites", refers="site")
    tag: str = column("what she calls it, as on its tag")
    taxon_id: int | None = column("what kind of tree", null="not named", refers="taxon")
    how_known: str = column("how the kind is known", words=vocabulary.HOW_KNOWN, default="not known")
    uncertainty_m: float | None = column("error of its position", null="not noted", unit="m")
    girth_cm: float | None = column("girth", null="not measured", unit="cm")
    girth_height_cm: float | None = column("height of the tape above ground", null="not measured", unit="cm")
    girth_on: datetime.date | None = column("day of the tape", null="not measured")
    crown_radius_m: float | None = column("radius of the crown", null="not measured", unit="m")
    tree_condition: str | None = column("state", null="not noted", words=vocabulary.TREE_CONDITION)
    felled_on: datetime.date | None = column("day it was felled or fell", null="stands")
    note: str | None = column("anything else", null="nothing noted")
    merged_into: int | None = column("tree it turned out to be", null="not merged", refers="host_tree")
    geom: BaseGeometry = column("foot of the trunk, WGS 84", geometry="POINT")

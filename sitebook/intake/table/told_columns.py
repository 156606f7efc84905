"""The columns by which tables tell of ground, actives and results, beyond the columns of their records."""

from __future__ import annotations

from sitebook.intake.table.columns import TableColumn
from sitebook.reference import reader
from sitebook.vocabulary import Words

HAZARD_KIND = Words("hazard kind", "ours", {row["kind"]: row["title"] for row in reader.rows("hazard_kinds")})
"""Kinds of hazard, from the cited table of them."""

GROUND = (
    TableColumn(
        "site",
        "name of a site, where the whole of it is meant, as Mill Park",
        "reference",
        "told by lon and lat, or by outline_wkt",
        refers="site",
        geometry="GEOMETRY",
    ),
    TableColumn(
        "radius_m",
        "how far it reaches round lon and lat, as 15",
        "number",
        "the point alone, or an outline",
        unit="m",
        geometry="GEOMETRY",
    ),
)
"""What tells the ground of a spraying or hazard besides a position and an outline."""

ACTIVES = TableColumn(
    "actives",
    "what was in it, parted by ; each with its rate where that was told, as glyphosate 1440 g/ha; 2,4-D",
    "list",
    "not told",
)
RESULTS = TableColumn(
    "results",
    "what was measured, parted by ; each with value, unit and fresh or dry mass, "
    "as Pb 34 mg/kg dry; Cd <0.05 mg/kg dry; Cs-137 12 Bq/kg fresh; soil without either is taken as dry",
    "list",
    "given in a table of lab_result",
)

EXAMPLES: dict[str, dict[str, str]] = {
    "spraying": {
        "ground": "the lawn by the gate",
        "outline_wkt": "POLYGON ((-19.42 48.61, ...)) or LINESTRING (-19.42 48.61, ...) for a strip",
        "told_by": "Orm Tolvane, groundskeeper",
        "closed_by": "Orm Tolvane",
        "closing_note": "soil renewed to 30 cm",
    },
    "lab_test": {
        "report_number": "V-2025-118/2",
        "site": "Mill Park",
        "host_tree": "Mill Park/B1",
        "find": "AC 12",
        "spraying": "the lawn by the gate",
        "laboratory": "island laboratory",
        "increments": "15",
        "dry_matter_fraction": "0.09",
    },
    "hazard": {
        "kind": "old orchard",
        "name": "Corner orchard",
        "past_use": "apples until 1948",
        "source": "Mirelle Dask, whose uncle kept it",
        "outline_wkt": "POLYGON ((-19.42 48.61, ...)) or LINESTRING (-19.42 48.61, ...) for an old road",
        "vehicles_per_day": "9000",
    },
    "traffic_count": {
        "vehicles_per_day": "5200",
        "source": "own count",
        "counted_vehicles": "118",
        "counted_minutes": "20",
        "counted_hour": "17",
        "heavy_share": "0.06",
    },
    "spraying_active": {"spraying": "the lawn by the gate", "active": "glyphosate", "rate": "1440"},
    "lab_result": {"lab_test": "V-2025-118/2", "analyte": "Pb", "value": "34"},
}
"""What stands behind the meaning of a column in the templates of these kinds."""

"""Tables of what was told, tested and counted: sprayings, laboratory tests, hazards, vehicles."""

from __future__ import annotations

from demo_data.making.lines import Line, Point, lon_lat
from demo_data.making.places_tables import outline
from demo_data.making.tables import table

COUNCIL, PARKS = "Orm Tolvane, groundskeeper of the town council", "Sella Varnisk, town parks"
LABORATORY = "Island laboratory, Vennarhaven"

VINES: Line = [(-600, 1150), (-520, 1145), (-500, 1220), (-590, 1230), (-600, 1150)]
FAIRWAY: Line = [(940, 560), (975, 555), (1010, 700), (985, 720), (940, 560)]
BOWLING_GREEN: Line = [(700, 470), (738, 470), (738, 500), (700, 500), (700, 470)]
MADE_GROUND: Line = [(-620, -560), (-540, -590), (-450, -575), (-440, -630), (-560, -660), (-640, -620),
                     (-620, -560)]  # fmt: skip
CORNER_ORCHARD: Line = [(425, 798), (515, 800), (512, 848), (428, 846), (425, 798)]
FILLED_DOCK: Line = [(-470, 58), (-400, 60), (-402, 90), (-468, 88), (-470, 58)]
SHORE_ROAD: Line = [(-310, -660), (-400, -690), (-500, -730), (-600, -745)]


def sprayings() -> str:
    """Write what was sprayed, what will be, what never was, and what nobody could say."""
    header = ("site", "ground", "outline_wkt", "state", "applied_on", "method", "drift_group", "applications",
              "actives", "told_by", "told_on", "closed_on", "closed_by", "closing_note", "note")  # fmt: skip
    rows = [
        {"site": "Churchyard", "state": "done", "applied_on": "2025-05-12", "method": "knapsack",
         "actives": "glyphosate 1440 g/ha", "told_by": COUNCIL, "told_on": "2025-05-14",
         "note": "paths and round the stones, by the town council"},
        {"site": "Park lawn", "state": "never", "told_by": PARKS, "told_on": "2025-03-02"},
        {"site": "Station green", "state": "done", "applied_on": "2019-06", "method": "knapsack",
         "actives": "glyphosate; dicamba", "told_by": PARKS, "told_on": "2021-03-22",
         "closed_on": "2021-03-20", "closed_by": PARKS,
         "closing_note": "turf taken up and new soil laid when the green was made anew"},
        {"site": "School lawn", "state": "done", "applied_on": "2022-04", "method": "boom",
         "actives": "2,4-D 900 g/ha; mecoprop 1200 g/ha", "told_by": "the caretaker of the school",
         "told_on": "2023-09-04"},
        {"ground": "Vennaray Links, fairway by the western path", "outline_wkt": outline(FAIRWAY),
         "state": "planned", "applied_on": "2026-04", "method": "boom", "actives": "iprodione 3 kg/ha",
         "told_by": "a board at the gate", "told_on": "2025-09-20"},
        {"ground": "Bowling green by the upper gate", "outline_wkt": outline(BOWLING_GREEN),
         "state": "not known", "told_by": "AC; nobody at the club could say",
         "told_on": "2025-08-22"},
        {"ground": "Corrisk vines", "outline_wkt": outline(VINES), "state": "done",
         "applied_on": "2025-06-03/2025-06-05", "method": "blower",
         "drift_group": "vines_late_or_above_50cm", "applications": "3",
         "actives": "copper 2 kg/ha; mancozeb 1.6 kg/ha", "told_by": "Joss Quillisk, who keeps the vines",
         "told_on": "2025-07-01"},
    ]  # fmt: skip
    return table("spraying", header, rows)


def lab_tests() -> str:
    """Write what a laboratory found in soil, a mushroom and leaves, and what it did not find."""
    header = ("report_number", "site", "host_tree", "find", "spraying", "sampled_on", "laboratory",
              "material", "part", "depth_from_cm", "depth_to_cm", "increments", "extraction",
              "dry_matter_fraction", "results", "note")  # fmt: skip
    rows = [
        {"report_number": "L-2024-019/1", "site": "School lawn", "spraying": "School lawn",
         "sampled_on": "2024-03-11", "material": "soil", "depth_from_cm": "0", "depth_to_cm": "10",
         "increments": "20", "results": "2,4-D <0.01 mg/kg dry; mecoprop <0.01 mg/kg dry",
         "note": "asked for by the school"},
        {"report_number": "L-2025-041/1", "site": "Skarrow Road verge", "sampled_on": "2025-06-20",
         "material": "soil", "depth_from_cm": "0", "depth_to_cm": "10", "increments": "15",
         "extraction": "aqua regia",
         "results": "Pb 86 mg/kg dry; Cd 0.4 mg/kg dry; As 9 mg/kg dry; Zn 190 mg/kg dry"},
        {"report_number": "L-2025-041/2", "host_tree": "Riverside poplars/PO1", "sampled_on": "2025-06-20",
         "material": "plant", "part": "leaves", "results": "Cd 1.9 mg/kg dry; Zn 240 mg/kg dry"},
        {"report_number": "L-2025-077/1", "find": "AC 264", "sampled_on": "2025-08-22",
         "material": "mushroom", "part": "caps and stems", "dry_matter_fraction": "0.085",
         "extraction": "nitric acid",
         "results": "Cd 4.6 mg/kg dry; Pb 1.1 mg/kg dry; Hg 0.9 mg/kg dry; Cs-137 <3 Bq/kg fresh"},
    ]  # fmt: skip
    return table("lab_test", header, [{"laboratory": LABORATORY, **row} for row in rows])


def hazards() -> str:
    """Write what no map shows: told, seen, and one that is suspected alone."""
    header = ("kind", "name", "origin", "standing", "past_use", "data_date", "source", "valid_from",
              "valid_to", "vehicles_per_day", "site", "lon", "lat", "radius_m", "outline_wkt")  # fmt: skip
    rows = [
        {"kind": "brownfield", "name": "Made ground by the dunes", "origin": "told", "standing": "told",
         "past_use": "ash and rubble of the old gas works", "data_date": "2023-10-14",
         "source": "Torvald, whose father drove the carts", "outline_wkt": outline(MADE_GROUND)},
        {"kind": "old orchard", "name": "Corner orchard", "origin": "told", "standing": "told",
         "past_use": "apples, sprayed every spring until 1948", "data_date": "2024-05-02",
         "source": "Mirelle, whose uncle kept it", "valid_to": "1948-12-31",
         "outline_wkt": outline(CORNER_ORCHARD)},
        {"kind": "made ground", "name": "Filled dock", "origin": "told", "standing": "confirmed",
         "past_use": "dock filled with harbour mud and rubble", "data_date": "2024-11-30",
         "source": "a plan in the town library, dated 1931", "valid_from": "1931-01-01",
         "outline_wkt": outline(FILLED_DOCK)},
        {"kind": "burnt car", "name": "Burnt car at the quarry", "origin": "seen", "standing": "confirmed",
         "data_date": "2024-02-03", "source": "AC", "valid_from": "2024-02-03",
         **_position((1190, -930)), "radius_m": "4"},
        {"kind": "injected tree", "name": "Elm by the playground", "origin": "told", "standing": "told",
         "data_date": "2025-03-02", "source": PARKS, "valid_from": "2023-05-30",
         **_position((566, 590))},
        {"kind": "old main road", "name": "Old shore road", "origin": "told", "standing": "told",
         "past_use": "the way to the south until the new road was built", "data_date": "2023-10-14",
         "source": "Torvald, who drove it", "valid_to": "1986-10-31", "vehicles_per_day": "4200",
         "outline_wkt": _line(SHORE_ROAD)},
        {"kind": "ash", "name": "Black grit on the bank", "origin": "seen", "standing": "suspected",
         "data_date": "2025-04-19", "source": "AC, who dug there", "site": "Railway bank"},
    ]  # fmt: skip
    return table("hazard", header, rows)


def traffic_counts() -> str:
    """Write three counts at the kerb, two of them on one road."""
    header = ("lon", "lat", "counted_on", "counted_hour", "counted_minutes", "counted_vehicles",
              "counts_directions", "heavy_share", "source")  # fmt: skip
    rows = [
        {**_position((765, -1023)), "counted_on": "2025-06-17", "counted_hour": "17", "counted_minutes": "30",
         "counted_vehicles": "251", "counts_directions": "both", "heavy_share": "0.09",
         "source": "own count at the verge"},
        {**_position((765, -1023)), "counted_on": "2025-06-21", "counted_hour": "10", "counted_minutes": "20",
         "counted_vehicles": "122", "counts_directions": "both", "heavy_share": "0.04",
         "source": "own count at the verge"},
        {**_position((640, -60)), "counted_on": "2025-06-18", "counted_hour": "8", "counted_minutes": "20",
         "counted_vehicles": "28", "counts_directions": "one",
         "source": "own count at the upper bridge"},
    ]  # fmt: skip
    return table("traffic_count", header, rows)


def _position(point: Point) -> dict[str, str]:
    lon, lat = lon_lat(point)
    return {"lon": f"{lon:.6f}", "lat": f"{lat:.6f}"}


def _line(line: Line) -> str:
    corners = (lon_lat(point) for point in line)
    return f"LINESTRING ({', '.join(f'{lon:.6f} {lat:.6f}' for lon, lat in corners)})"

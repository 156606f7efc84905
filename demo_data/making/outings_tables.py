"""Tables of visits, looks and finds, and the club's own list of one foray."""

from __future__ import annotations

from demo_data.making.finds import HEADER, find_rows
from demo_data.making.lines import lon_lat
from demo_data.making.outings import FORAY_DAY, Look, Visit
from demo_data.making.places import TREES
from demo_data.making.tables import delimited, table


def visits_table(visits: list[Visit]) -> str:
    """Write every visit, with or without finds."""
    header = ("site", "local_date", "started_at", "search_minutes", "searchers", "reason",
              "looked_for_all", "remarks",
              "companions")  # fmt: skip
    rows = [
        {"site": v.site, "local_date": v.date.isoformat(), "started_at": _instant(v),
         "search_minutes": str(v.minutes or ""), "searchers": str(v.searchers), "reason": v.reason,
         "looked_for_all": "yes" if v.looked_for_all else "no", "remarks": v.remarks,
         "companions": v.companions}
        for v in visits
    ]  # fmt: skip
    return table("visit", header, rows)


def looks_table(visits: list[Visit]) -> str:
    """Write which trees were looked at, found empty or not."""
    header = ("site", "local_date", "started_at", "host_tree", "minutes", "outcome", "remarks")
    return table("look", header, [_look(v, look) for v in visits for look in v.looks])


def _look(visit: Visit, look: Look) -> dict[str, str]:
    return {"site": visit.site, "local_date": visit.date.isoformat(), "started_at": _instant(visit),
            "host_tree": look.tree or "", "minutes": str(look.minutes or ""), "outcome": look.outcome,
            "remarks": look.remarks}  # fmt: skip


def _instant(visit: Visit) -> str:
    return f"{visit.started_at:%Y-%m-%dT%H:%MZ}" if visit.started_at else ""


def finds_table(visits: list[Visit]) -> str:
    """Write her finds with their names, hosts and numbers."""
    return table("find", HEADER, find_rows(visits))


FORAY = (
    ("Oak wood", "Boletus edulis", "", "3", "bodies", "soil", "O1"),
    ("Oak wood", "Cantharellus cibarius", "", "22", "bodies", "moss", ""),
    ("Oak wood", "Amanita phalloides", "", "2", "bodies", "soil", "O2"),
    ("Oak wood", "Russula ochroleuca", "", "8", "bodies", "soil", ""),
    ("Oak wood", "Russula", "sp.", "1", "bodies", "soil", ""),
    ("Oak wood", "Laccaria amethystina", "", "15", "bodies", "litter", ""),
    ("Oak wood", "Armillaria mellea", "group", "4", "clusters", "buried wood", ""),
    ("Oak wood", "Mycena galericulata", "cf.", "6", "bodies", "dead wood", ""),
    ("Oak wood", "Hydnum repandum", "", "5", "bodies", "soil", ""),
    ("Oak wood", "Scleroderma citrinum", "", "7", "bodies", "soil", "O4"),
    ("Oak wood", "Cortinarius", "sp.", "2", "bodies", "soil", ""),
    ("Oak wood", "Hypholoma fasciculare", "", "3", "clusters", "dead wood", ""),
    ("Beech hanger", "Boletus edulis", "aff.", "1", "bodies", "soil", ""),
    ("Beech hanger", "Russula ochroleuca", "", "11", "bodies", "soil", ""),
    ("Beech hanger", "Laccaria amethystina", "", "30", "bodies", "litter", ""),
    ("Beech hanger", "Trametes versicolor", "", "", "brackets", "dead wood", ""),
    ("Beech hanger", "Mycena", "sp.", "9", "bodies", "litter", ""),
    ("Beech hanger", "Hypholoma fasciculare", "", "2", "clusters", "dead wood", ""),
    ("Beech hanger", "Amanita phalloides", "", "1", "bodies", "soil", "BE1"),
    ("Beech hanger", "Lepista nuda", "cf.", "2", "bodies", "litter", ""),
)
"""Site, name, qualifier, how many, of what, on what, and the tree it stood with."""


def foray_list() -> str:
    """Write the club's list as a spreadsheet of another country saves it: semicolons, decimal commas."""
    header = ("site", "found_on", "collector", "lon", "lat", "uncertainty_m", "position_source", "name",
              "qualifier",
              "determined_by", "individual_count", "count_of", "substrate", "host_tree", "host_role",
              "host_how_known", "note")  # fmt: skip
    trunks = {tree.tag: tree.at for tree in TREES}
    rows = []
    for site, name, qualifier, number, count_of, substrate, tag in FORAY:
        row = {"site": site, "found_on": FORAY_DAY.isoformat(), "collector": "TH", "name": name,
               "qualifier": qualifier,
               "determined_by": "TH", "individual_count": number, "count_of": count_of,
               "substrate": substrate,
               "position_source": "site"}  # fmt: skip
        if tag:
            lon, lat = lon_lat((trunks[tag][0] + 2.4, trunks[tag][1] - 1.7))
            row |= {"lon": f"{lon:.6f}".replace(".", ","), "lat": f"{lat:.6f}".replace(".", ","),
                    "uncertainty_m": "7,5",
                    "position_source": "gpx", "host_tree": tag, "host_role": "under",
                    "host_how_known": "label"}  # fmt: skip
        rows.append(row)
    rows.append({"site": "Beech hanger", "found_on": "Oct 1994", "collector": "TH", "name": "Boletus edulis",
                 "determined_by": "TH", "individual_count": "5", "count_of": "bodies", "substrate": "soil",
                 "position_source": "site",
                 "note": "from the club's first notebook, day not written"})  # fmt: skip
    return "# Vennarhaven fungus club, autumn foray 2024\n" + delimited(header, rows, ";")

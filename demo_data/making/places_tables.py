"""Tables of people, names, sites, trees and permissions."""

from __future__ import annotations

from demo_data.making.fungi import FUNGI
from demo_data.making.lines import Line, Point, lon_lat
from demo_data.making.places import PLACES, TREES, Place
from demo_data.making.tables import table

MORE_TAXA = (
    ("Betula pendula", "Roth", "species", "Plantae"), ("Fagus sylvatica", "L.", "species", "Plantae"),
    ("Quercus robur", "L.", "species", "Plantae"), ("Pinus sylvestris", "L.", "species", "Plantae"),
    ("Picea abies", "(L.) H. Karst.", "species", "Plantae"),
    ("Malus domestica", "(Suckow) Borkh.", "species", "Plantae"), ("Salix alba", "L.", "species", "Plantae"),
    ("Populus nigra", "L.", "species", "Plantae"), ("Russula", "Pers.", "genus", "Fungi"),
    ("Mycena", "(Pers.) Roussel", "genus", "Fungi"), ("Cortinarius", "(Pers.) Gray", "genus", "Fungi"),
    ("Mycena galericulata", "(Scop.) Gray", "species", "Fungi"),
    ("Scleroderma citrinum", "Pers.", "species", "Fungi"), ("Hydnum repandum", "L.", "species", "Fungi"),
)  # fmt: skip


def people() -> str:
    """Write the owner of the book, first, and two friends of the club."""
    rows = [
        {"name": "Ane Corvell", "initials": "AC", "body_mass_kg": "64", "contact": "herself"},
        {"name": "Torvald Heskwith", "initials": "TH", "contact": "club evenings, first Tuesday"},
        {"name": "Mirelle Dask", "initials": "MD", "contact": "the house with the blue door, Quay Street"},
    ]
    return table("person", ("name", "initials", "body_mass_kg", "contact"), rows)


def taxa() -> str:
    """Write every scientific name the other tables use."""
    names = [(f.name, f.authorship, "species", "Fungi") for f in FUNGI] + list(MORE_TAXA)
    header = ("scientific_name", "authorship", "taxon_rank", "kingdom")
    return table("taxon", header, [dict(zip(header, n, strict=True)) for n in sorted(names)])


def sites() -> str:
    """Write her sites: an outline, or a point with a radius."""
    header = ("name", "lon", "lat", "radius_m", "outline_wkt", "wooded", "irrigated", "elevation_m",
              "municipality", "locality", "sensitivity", "review_on", "rest_until", "note")  # fmt: skip
    return table("site", header, [_site(p) for p in PLACES])


def _site(here: Place) -> dict[str, str]:
    row = {"name": here.name, "municipality": "Vennarhaven", **here.cells}
    if here.radius_m is None:
        return row | {"outline_wkt": outline(here.ring)}
    return row | _position(here.centre) | {"radius_m": f"{here.radius_m:g}"}


def outline(ring: Line) -> str:
    """Write a closed ring as a polygon in well-known text."""
    corners = [lon_lat(p) for p in ring[:-1]]
    corners.append(corners[0])
    return f"POLYGON (({', '.join(f'{lon:.6f} {lat:.6f}' for lon, lat in corners)}))"


def _position(point: Point) -> dict[str, str]:
    lon, lat = lon_lat(point)
    return {"lon": f"{lon:.6f}", "lat": f"{lat:.6f}"}


def trees() -> str:
    """Write her host trees."""
    header = ("site", "tag", "taxon", "how_known", "lon", "lat", "uncertainty_m", "girth_cm",
              "girth_height_cm",
              "girth_on", "crown_radius_m", "tree_condition", "felled_on", "note")  # fmt: skip
    rows = []
    for number, tree in enumerate(TREES):
        row = {"site": tree.site, "tag": tree.tag, "taxon": tree.taxon, "tree_condition": tree.condition,
               "how_known": "map" if tree.site == "Station green" else "seen by her",
               "uncertainty_m": str(2 + number % 4), **_position(tree.at)}  # fmt: skip
        if tree.girth_cm:
            row |= {"girth_cm": str(tree.girth_cm), "girth_height_cm": "130", "girth_on": "2021-03-14",
                    "crown_radius_m": f"{1.5 + tree.girth_cm / 60:.1f}"}  # fmt: skip
        if tree.condition == "fallen":
            row |= {"felled_on": "2021-02-20", "note": "came down in the February gale"}
        rows.append(row)
    return table("host_tree", header, rows)


def permissions() -> str:
    """Write what the managers of the ground allow."""
    header = ("manager", "basis", "permit_number", "valid_from", "valid_to", "daily_limit", "season_limit",
              "limit_unit", "per_person", "opens_at", "closes_at", "method_rule", "told_by",
              "last_checked", "note",
              "sites", "closed_weekdays")  # fmt: skip
    rows = [
        {"manager": "Town of Vennarhaven, parks", "basis": "permit", "permit_number": "P-31",
         "valid_from": "2025-04-01",
         "valid_to": "2028-03-31", "daily_limit": "1.5", "season_limit": "12", "limit_unit": "kg",
         "per_person": "yes",
         "opens_at": "07:00", "closes_at": "20:00", "method_rule": "cut, no raking",
         "last_checked": "2025-09-02",
         "sites": "Park lawn; Birch row; Willow pond; Riverside poplars", "closed_weekdays": "7"},
        {"manager": "Island forestry", "basis": "public right", "daily_limit": "2", "limit_unit": "kg",
         "per_person": "yes", "last_checked": "2024-08-18",
         "sites": "Beech hanger; Oak wood; Pine plantation; Spruce wood"},
        {"manager": "Olverisk family", "basis": "owner's consent", "valid_from": "2022-09-01",
         "told_by": "the owner, at the gate",
         "last_checked": "2025-05-11", "method_rule": "leave the gate shut",
         "note": "asks for a jar in return",
         "sites": "Old orchard"},
        {"manager": "Vennaray Links", "basis": "closed", "told_by": "a board at the gate",
         "last_checked": "2023-06-30",
         "note": "looking from the path is all right", "sites": "Golf edge"},
        {"manager": "Vennarhaven School", "basis": "owner's consent", "told_by": "the caretaker",
         "last_checked": "2025-08-28",
         "opens_at": "16:00", "closes_at": "19:00", "sites": "School lawn", "closed_weekdays": "6 7"},
        {"manager": "Parish of the Harbour Church", "basis": "not asked", "sites": "Churchyard"},
        {"manager": "Vennaray Light Railway", "basis": "closed", "told_by": "the signalman",
         "last_checked": "2022-10-09",
         "sites": "Railway bank"},
        {"manager": "Road office", "basis": "not asked", "sites": "Skarrow Road verge; Station green"},
        {"manager": "Dune wardens", "basis": "permit", "permit_number": "D-7", "valid_from": "2025-01-01",
         "valid_to": "2027-12-31", "daily_limit": "30", "limit_unit": "bodies", "per_person": "no",
         "last_checked": "2025-01-20", "sites": "Dune grassland"},
    ]  # fmt: skip
    return table("permission", header, rows)

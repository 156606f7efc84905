"""Reads widths, lanes, access and names out of the tags of one map element."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping

from sitebook.citations import Cited
from sitebook.quantities import FOOT_M, INCH_MM

WIDEST_WAY_M = Cited(150.0, "m", "ours", "our choice")
"""A width above this is taken for a slip of the pen."""

MOST_LANES = Cited(24.0, "1", "ours", "our choice")
"""More lanes than this are taken for a slip of the pen."""

THICKEST_TRUNK_M = Cited(50.0, "m", "ours", "our choice")
"""A girth above this was noted in another unit, which one is not known."""

LENGTH = re.compile(r"([0-9]+(?:[.,][0-9]+)?)\s*(m|metres?|meters?|cm|km|ft|feet|')?", re.IGNORECASE)
FEET_AND_INCHES = re.compile(r"([0-9]+)\s*'\s*([0-9]+(?:\.[0-9]+)?)\s*(?:\"|'')")
WHOLE = re.compile(r"[+-]?[0-9]{1,2}")
METRES_IN = {"": 1.0, "m": 1.0, "c": 0.01, "k": 1000.0, "f": FOOT_M, "'": FOOT_M}

ONE_WAY = frozenset({"yes", "true", "1", "-1", "reverse", "reversible", "alternating"})
BOTH_WAYS = frozenset({"no", "false", "0"})
ABOVE_GROUND = frozenset({"", "no", "building_passage", "avalanche_protector"})

TREE_NAME_KEYS = ("taxon", "species", "genus")


def length_m(text: str | None, most_m: Cited) -> float | None:
    """Read a length as mappers write it: 7, 7.5 m, 7,5, 20 ft, 20', 5'6".

    Returns
    -------
    float or None
        The length [m]; None where it is missing, no single length, zero, or above the most.
    """
    bare = (text or "").strip()
    plain, feet = LENGTH.fullmatch(bare), FEET_AND_INCHES.fullmatch(bare)
    if plain:
        unit = (plain[2] or "")[:1].casefold()
        value_m = float(plain[1].replace(",", ".")) * METRES_IN[unit]
    elif feet:
        value_m = int(feet[1]) * FOOT_M + float(feet[2]) * INCH_MM / 1000.0
    else:
        return None
    return value_m if 0.0 < value_m <= most_m.value else None


def way_values(tags: Mapping[str, str], road_class: str) -> dict[str, object]:
    """Give the columns of a way, its line and its bookkeeping apart."""
    return {
        "road_class": road_class,
        "name": name_of(tags) or tags.get("ref"),
        "width_m": length_m(tags.get("width"), WIDEST_WAY_M),
        "lanes": _lanes(tags.get("lanes")),
        "oneway": _oneway(tags, road_class),
        "tunnel": tags.get("tunnel", "") not in ABOVE_GROUND,
        "bridge": tags.get("bridge", "no") != "no",
        "layer": _layer(tags.get("layer")),
        "link": road_class.endswith("_link"),
        "foot_access": _access(tags, "foot", "access"),
        "bicycle_access": _access(tags, "bicycle", "vehicle", "access"),
        "motor_access": _access(tags, "motorcar", "motor_vehicle", "vehicle", "access"),
        "surface": tags.get("surface"),
    }


def tree_values(tags: Mapping[str, str]) -> dict[str, object]:
    """Give name and girth of a mapped tree as tagged."""
    girth_m = length_m(tags.get("circumference"), THICKEST_TRUNK_M)
    return {
        "verbatim_name": _tree_name(tags),
        "girth_cm": None if girth_m is None else round(girth_m * 100.0, 1),
    }


def name_of(tags: Mapping[str, str]) -> str | None:
    """Give the name of an element, or None."""
    return tags.get("name", "").strip() or None


def raw_tags(tags: Mapping[str, str]) -> str:
    """Write all tags down, key=value a line, sorted."""
    return "\n".join(sorted(f"{_one_line(key)}={_one_line(value)}" for key, value in tags.items()))


def _one_line(text: str) -> str:
    return " ".join(text.split())


def _lanes(text: str | None) -> float | None:
    try:
        lanes = float(text or "nan")
    except ValueError:
        return None
    return lanes if math.isfinite(lanes) and 0.0 < lanes <= MOST_LANES.value else None


def _oneway(tags: Mapping[str, str], road_class: str) -> bool:
    said = tags.get("oneway", "").strip()
    if said in ONE_WAY:
        return True
    if said in BOTH_WAYS:
        return False
    return road_class == "motorway" or tags.get("junction") in {"roundabout", "circular"}


def _layer(text: str | None) -> int:
    bare = (text or "").strip()
    return int(bare) if WHOLE.fullmatch(bare) else 0


def _access(tags: Mapping[str, str], *keys: str) -> str | None:
    return next((tags[key] for key in keys if key in tags), None)


def _tree_name(tags: Mapping[str, str]) -> str | None:
    plain = [key for key in TREE_NAME_KEYS if tags.get(key)]
    keys = plain or sorted(key for key in tags if key.startswith(tuple(f"{k}:" for k in TREE_NAME_KEYS)))
    values = [tags[key] for key in keys]
    fullest = next((v for v in values if all(v.startswith(other) for other in values)), None)
    if fullest is not None or not keys:
        return fullest
    return "; ".join(f"{key}={tags[key]}" for key in keys)

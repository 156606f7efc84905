"""Names, units and conversions of every quantity in one table, and how a number is written in words."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True)
class Unit:
    """A unit a field name ends in.

    Parameters
    ----------
    symbol
        As printed beside a number.
    quantity
        What is measured.
    per_si
        How many SI units one of it makes; None where an offset is needed.
    """

    symbol: str
    quantity: str
    per_si: float | None


UNITS: dict[str, Unit] = {
    "m": Unit("m", "length", 1.0),
    "cm": Unit("cm", "length", 0.01),
    "mm": Unit("mm", "depth of rain", 0.001),
    "um": Unit("µm", "length of spores", 1e-6),
    "km": Unit("km", "length", 1000.0),
    "g": Unit("g", "mass", 0.001),
    "kg": Unit("kg", "mass", 1.0),
    "s": Unit("s", "time", 1.0),
    "min": Unit("min", "time", 60.0),
    "h": Unit("h", "time", 3600.0),
    "d": Unit("d", "time", 86400.0),
    "degc": Unit("°C", "temperature", None),
    "deg": Unit("°", "angle", 0.017453292519943295),
    "kmh": Unit("km/h", "speed", 1.0 / 3.6),
    "per_day": Unit("vehicles a day", "traffic", 1.0 / 86400.0),
}
"""Units by the suffix that a field name carries, as in `distance_m` or `rain_mm`."""

INCH_MM = 25.4
MILE_M = 1609.344
FOOT_M = 0.3048
OUNCE_G = 28.349523125


def degc_from_degf(temp_degf: float) -> float:
    """Turn degrees Fahrenheit into degrees Celsius."""
    return (temp_degf - 32.0) * 5.0 / 9.0


def mm_from_inch(rain_inch: float) -> float:
    """Turn inches of rain into millimetres."""
    return rain_inch * INCH_MM


def two_digits(number: float) -> str:
    """Write a number with the two digits it is worth, as "0.20", "12" or "8,900", never by a power of ten."""
    if number == 0.0:
        return "0"
    near = float(f"{number:.1e}")
    places = 1 - math.floor(math.log10(abs(near)))
    return f"{near:,.{max(places, 0)}f}"


def resolved(number: float, smallest: float) -> str:
    """Write a number in two digits, or that it is under the smallest that tells anything; 0 stays 0."""
    return f"under {smallest:g}" if 0.0 < number < smallest else two_digits(number)


def measured(number: float, digits: int = 6) -> str:
    """Write a measured number with up to so many digits, without zeros at its end or a power of ten."""
    return f"{Decimal(f'{number:.{digits - 1}e}').normalize():f}"


def unit_of(field_name: str) -> Unit | None:
    """Give the unit a field name carries in its suffix, or None for a field without one."""
    suffixes = sorted(UNITS, key=len, reverse=True)
    found = next((s for s in suffixes if field_name.endswith("_" + s)), None)
    return UNITS[found] if found else None


MINUTES_A_DAY = 24 * 60


def whole_minute(minute: float) -> int:
    """Round a minute of the day up to a whole one; a hair above one, as sums leave it, is that one."""
    return math.ceil(minute - 1e-6)


def clock(minute: float) -> str:
    """Write a minute of the day as HH:MM, a part of a minute rounded up; one past midnight is said so."""
    whole = whole_minute(minute)
    after = " the next day" if whole >= MINUTES_A_DAY else ""
    return f"{whole // 60 % 24:02d}:{whole % 60:02d}{after}"

"""The colours pages are drawn in, as one table of our own."""

from __future__ import annotations

from typing import Final

COLOURS: Final[dict[str, str]] = {
    "paper": "#f8f4ea",
    "card": "#fffdf7",
    "shade": "#ece4d2",
    "ink": "#1d1a15",
    "faded": "#433c30",
    "line": "#8b8069",
    "plum": "#4b1d48",
    "plum-wash": "#efe3ec",
    "sea": "#0c3f57",
    "sea-wash": "#dfeaee",
    "night": "#2b2330",
    "night-text": "#fbf6ea",
    "map-ground": "#f4efe2",
    "map-water": "#c9dbe3",
    "map-shore": "#6f93a6",
    "map-wood": "#dbdcc6",
    "map-grass": "#e9e7cf",
    "map-built": "#e9dfce",
    "map-road": "#fffdf8",
    "map-casing": "#a2957c",
    "map-path": "#94866c",
    "map-rail": "#4d4458",
    "map-hazard": "#6d5a6b",
    "map-index": "#85402c",
}
"""Name of a colour to its sRGB value; style sheets call it `var(--name)`."""

TEXT_ON: Final[dict[str, tuple[str, ...]]] = {
    "ink": (
        "paper",
        "card",
        "shade",
        "plum-wash",
        "sea-wash",
        "map-ground",
        "map-water",
        "map-wood",
        "map-grass",
        "map-built",
        "map-road",
    ),
    "faded": ("paper", "card", "shade", "map-ground"),
    "plum": ("paper", "card", "shade", "plum-wash"),
    "sea": ("paper", "card", "shade", "sea-wash"),
    "night-text": ("night", "plum", "sea"),
}
"""Colour of text to the grounds it is ever set on; each pair keeps a contrast of 7 to 1 or more."""


def custom_properties() -> str:
    """Give the colours as one CSS rule of custom properties."""
    lines = "".join(f"--{name}:{value};" for name, value in COLOURS.items())
    return f":root{{{lines}}}"


def contrast(first: str, second: str) -> float:
    """Give the contrast of two colours, between 1 and 21 [1].

    Relative luminance and ratio as in WCAG 2.2, success criterion 1.4.6.

    Parameters
    ----------
    first, second
        sRGB colours as #rrggbb.
    """
    lighter, darker = sorted((_luminance(first), _luminance(second)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(colour: str) -> float:
    """Relative luminance of #rrggbb, between 0 and 1."""
    shares = [int(colour[i : i + 2], 16) / 255.0 for i in (1, 3, 5)]
    red, green, blue = (s / 12.92 if s <= 0.04045 else ((s + 0.055) / 1.055) ** 2.4 for s in shares)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue

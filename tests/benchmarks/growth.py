"""Times what a benchmark compares, and draws how times grow as a small picture."""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Value = TypeVar("Value")
Floats = NDArray[np.float64]

FOLDER = Path(__file__).resolve().parents[2] / "docs" / "benchmarks"
WIDTH, HEIGHT, EDGE = 520, 320, 60
INKS = ("#1b4965", "#a23b1e", "#3c6e3c", "#6b4c9a")


def timed(work: Callable[[], Value], times: int = 1) -> tuple[Value, float]:
    """Give what a function answers and the shortest processor time of some runs [s]."""
    shortest, value = math.inf, None
    for _ in range(times):
        start = time.process_time()
        value = work()
        shortest = min(shortest, time.process_time() - start)
    assert value is not None
    return value, shortest


def errors(found: Floats, exact: Floats, *, relative: bool) -> str:
    """Say the median, the 99th percentile and the largest of the differences."""
    apart = np.abs(found - exact) / (np.abs(exact) if relative else 1.0)
    median, most, largest = (float(value) for value in np.quantile(apart, (0.5, 0.99, 1.0)))
    kind = "relative" if relative else "absolute"
    return f"{kind} error over {apart.size} places: median {median:.1e}, 99 % {most:.1e}, most {largest:.1e}"


def draw(name: str, title: str, across: str, lines: Mapping[str, Sequence[tuple[float, float]]]) -> Path:
    """Draw seconds against sizes on two logarithmic axes into docs/benchmarks."""
    sizes = [x for line in lines.values() for x, _ in line]
    seconds = [y for line in lines.values() for _, y in line]
    x_axis, y_axis = _axis(sizes, EDGE, WIDTH - EDGE), _axis(seconds, HEIGHT - EDGE, 64)
    parts = [_text(EDGE, 22, title, 14), _text(WIDTH / 2, HEIGHT - 12, across, 12)]
    parts.append(_text(8, 42, "seconds", 12))
    parts += [_text(x_axis(t) - 12, HEIGHT - EDGE + 18, f"{t:,.0f}", 11) for t in _tens(sizes)]
    parts += [_text(8, y_axis(t) + 4, f"{t:g}", 11) for t in _tens(seconds)]
    for number, (label, line) in enumerate(lines.items()):
        ink, row = INKS[number % len(INKS)], 16 + 16 * number
        dash = "none" if number == 0 else f"{2 + 3 * number} 3"
        style = f'fill="none" stroke="{ink}" stroke-dasharray="{dash}"'
        points = " ".join(f"{x_axis(x):.1f},{y_axis(y):.1f}" for x, y in line)
        parts.append(f'<polyline points="{points}" {style}/>')
        parts += [f'<circle cx="{x_axis(x):.1f}" cy="{y_axis(y):.1f}" r="3" fill="{ink}"/>' for x, y in line]
        parts.append(f'<path d="M{WIDTH - 200} {row}h30" {style}/>')
        parts.append(_text(WIDTH - 162, row + 4, label, 11, ink))
    FOLDER.mkdir(exist_ok=True)
    path = FOLDER / f"{name}.svg"
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" font-family="sans-serif">'
    ground = f'<rect width="{WIDTH}" height="{HEIGHT}" fill="#ffffff"/>'
    path.write_text("\n".join([head, ground, *parts, "</svg>\n"]), encoding="utf-8")
    return path


def _tens(values: Sequence[float]) -> list[float]:
    low, high = math.floor(math.log10(min(values))), math.ceil(math.log10(max(values)))
    return [10.0**k for k in range(low, high + 1)]


def _axis(values: Sequence[float], start: float, end: float) -> Callable[[float], float]:
    tens = _tens(values)
    low, span = math.log10(tens[0]), max(math.log10(tens[-1]) - math.log10(tens[0]), 1e-9)
    return lambda value: start + (end - start) * (math.log10(value) - low) / span


def _text(x: float, y: float, words: str, size: int, ink: str = "#222222") -> str:
    return f'<text x="{x:.0f}" y="{y:.0f}" font-size="{size}" fill="{ink}">{words}</text>'

"""Scores the season model in 200 made worlds of two kinds against simpler ways, and draws its reliability."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from pathlib import Path

import numpy as np

from sitebook.analysis.season import scores, simpler
from tests.analysis.season import trials, worlds

SEEDS = range(1, 201)
FINDS = (0.0, 5.0, 40.0, 200.0)
DRAWN = (5.0, 40.0)
PICTURE = Path(__file__).resolve().parents[2] / "docs" / "pictures" / "season_reliability.svg"
SIDE, EDGE, GAP = 300, 50, 40
INKS = {5.0: "#a23b1e", 40.0: "#1b4965"}

Run = list[trials.Trial]
Runs = dict[float, Run]


def gain_rows(runs: Runs) -> list[str]:
    """Give a row of a table for each number of finds and each simpler way."""
    rows = []
    for finds, run in runs.items():
        for way in simpler.SIMPLER:
            gains = trials.gains(run, way)
            reach = 1.96 * gains.std(ddof=1) / np.sqrt(gains.size)
            ends = f"{gains.mean() - reach:+.3f} to {gains.mean() + reach:+.3f}"
            wins = f"{100.0 * (gains > 0.0).mean():.1f} %"
            rows.append(f"| {finds:.0f} | {way} | {gains.mean():+.3f} | {ends} | {wins} |")
    return rows


def calibration_rows(runs: Runs) -> list[str]:
    """Give a row for each number of finds: losses, calibration error, means and coverage."""
    rows = []
    for finds, run in runs.items():
        loss, best = (np.mean([one.losses[way] for one in run]) for way in (trials.MODEL, trials.TRUTH))
        said, came = (np.concatenate([getattr(one, name) for one in run]).mean() for name in ("said", "came"))
        error = scores.calibration_error(trials.bins(run))
        covered = " / ".join(f"{100.0 * share:.0f}" for share in trials.covered(run))
        rows.append(
            f"| {finds:.0f} | {loss:.3f} | {best:.3f} | {error:.3f} | {said:.3f} | {came:.3f} | {covered} % |"
        )
    return rows


def reliability_rows(runs: Runs) -> list[str]:
    """Give a row for each bin of chances at the numbers of finds that are drawn."""
    return [
        f"| {finds:.0f} | {one.said:.2f} | {one.came:.2f} | {one.looks:,} |"
        for finds in DRAWN
        for one in trials.bins(runs[finds])
    ]


def draw(found: Mapping[str, Runs]) -> Path:
    """Draw what was said against what came, one square a world."""
    width, height = EDGE + len(found) * (SIDE + GAP), SIDE + 2 * EDGE
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" font-family="sans-serif">'
    parts = [head, f'<rect width="{width}" height="{height}" fill="#ffffff"/>']
    for number, (name, runs) in enumerate(found.items()):
        parts += _square(EDGE + number * (SIDE + GAP), name, runs)
    PICTURE.write_text("\n".join([*parts, "</svg>\n"]), encoding="utf-8")
    return PICTURE


def _square(left: float, name: str, runs: Runs) -> list[str]:
    top, bottom = EDGE, EDGE + SIDE
    parts = [
        f'<rect x="{left}" y="{top}" width="{SIDE}" height="{SIDE}" fill="none" stroke="#888888"/>',
        f'<path d="M{left} {bottom}L{left + SIDE} {top}" stroke="#888888" stroke-dasharray="2 4"/>',
        _text(left, 20, f"{name} world"),
        _text(left + SIDE / 2 - 60, bottom + 36, "chance that was said"),
        _text(left + 6, top + 16, "share that found something"),
    ]
    for tenth in (0, 5, 10):
        parts.append(_text(left + SIDE * tenth / 10 - 8, bottom + 18, f"{tenth / 10:g}"))
        parts.append(_text(left - 24, bottom - SIDE * tenth / 10 + 4, f"{tenth / 10:g}"))
    for row, finds in enumerate(DRAWN):
        bins, ink = trials.bins(runs[finds]), INKS[finds]
        spots = [(left + SIDE * one.said, bottom - SIDE * one.came) for one in bins]
        line = " ".join(f"{x:.1f},{y:.1f}" for x, y in spots)
        dash = "none" if row else "6 3"
        parts.append(f'<polyline points="{line}" fill="none" stroke="{ink}" stroke-dasharray="{dash}"/>')
        parts += [f'<circle cx="{x:.1f}" cy="{y:.1f}" r="3" fill="{ink}"/>' for x, y in spots]
        parts.append(_text(left + SIDE - 110, bottom - 28 + 16 * row, f"after {finds:.0f} finds", ink))
    return parts


def _text(x: float, y: float, words: str, ink: str = "#222222") -> str:
    return f'<text x="{x:.0f}" y="{y:.0f}" font-size="12" fill="{ink}">{words}</text>'


def main(seeds: range) -> None:
    """Print the tables of docs/calibration.md and draw its picture."""
    found = {name: trials.trials(make, FINDS, seeds) for name, make in worlds.WORLDS.items()}
    for name, runs in found.items():
        print(f"\n{name} world, {len(seeds)} seeds\n")
        tables = {
            "| finds | against | gain | 95 % interval | wins |": gain_rows(runs),
            "| finds | log loss | truth | calibration error | said | came | covered |": calibration_rows(
                runs
            ),
            "| finds | said | came | looks |": reliability_rows(runs),
        }
        for head, rows in tables.items():
            print("\n".join([head, "|---" * (head.count("|") - 1) + "|", *rows, ""]))
    print(draw(found))


if __name__ == "__main__":
    main(range(1, 1 + int(sys.argv[1])) if len(sys.argv) > 1 else SEEDS)

"""Times `sitebook --help` against a bare Python that imports click, in turn."""

from __future__ import annotations

import statistics
import subprocess
import sys
import time

RUNS = 15


def seconds(*words: str) -> float:
    """Run one command and give its seconds."""
    began = time.perf_counter()
    subprocess.run([sys.executable, *words], capture_output=True, check=True)
    return time.perf_counter() - began


def main() -> None:
    """Print medians and ratios."""
    ways = {
        "python": ("-c", "pass"),
        "python with click": ("-c", "import click"),
        "sitebook --help": ("-m", "sitebook", "--help"),
    }
    times: dict[str, list[float]] = {name: [] for name in ways}
    for _ in range(RUNS):
        for name, words in ways.items():
            times[name].append(seconds(*words))
    medians = {name: statistics.median(found) for name, found in times.items()}
    for name, median in medians.items():
        print(f"{name}: {median * 1000:.0f} ms, {median / medians['python']:.1f}x bare python")


if __name__ == "__main__":
    main()

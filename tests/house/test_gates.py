"""Runs the gates, so that one command tells whether the house stands."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

IMPORT_LAW = "from importlinter.cli import lint_imports; raise SystemExit(lint_imports())"
RUNNING = f"{sys.version_info.major}.{sys.version_info.minor}"
"""Types are checked for the Python that runs, since installed libraries bring theirs for it."""

GATES = {
    "lint": ["-m", "ruff", "check", "."],
    "format": ["-m", "ruff", "format", "--check", "."],
    "types": ["-m", "mypy", "--python-version", RUNNING],
    "import law": ["-c", IMPORT_LAW],
}


@pytest.mark.parametrize("gate", list(GATES))
def test_gate_is_passed(gate: str, repository: Path) -> None:
    done = subprocess.run(
        [sys.executable, *GATES[gate]], cwd=repository, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, f"{gate}:\n{done.stdout[-6000:]}\n{done.stderr[-2000:]}"

"""Tests that help answers at once, since it loads no heavy library."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

HEAVY = ("numpy", "scipy", "shapely", "sqlalchemy", "alembic", "jinja2", "osmium", "pyogrio", "pyproj")
LOADED = "import sys; print(*sorted({name.split('.')[0] for name in sys.modules}), file=sys.stderr)"
ASK = f"""
import sys
from sitebook.__main__ import main
sys.argv = ["sitebook", *sys.argv[1:]]
try:
    main()
except SystemExit as ended:
    assert not ended.code, ended.code
{LOADED}
"""


@pytest.mark.parametrize("asked", [["--help"], ["--version"], ["import", "--help"], ["map", "--help"]])
def test_help_loads_no_heavy_library(asked: list[str], repository: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", ASK, *asked], cwd=repository, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip()
    loaded = set(done.stderr.splitlines()[-1].split())
    assert "click" in loaded
    assert not loaded & set(HEAVY)

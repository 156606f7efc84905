"""Runs the command line in children of one warm process, so that many starts load its libraries once."""

from __future__ import annotations

import importlib
import json
import os
import subprocess
import sys
import tempfile
import traceback
import warnings
from pathlib import Path

LIBRARIES = [
    "alembic.command",
    "alembic.config",
    "alembic.context",
    "click",
    "contourpy",
    "defusedxml.ElementTree",
    "jinja2",
    "numpy",
    "osmium",
    "PIL.Image",
    "pyogrio",
    "pyproj",
    "pyvrp",
    "scipy.fft",
    "scipy.interpolate",
    "scipy.linalg",
    "scipy.optimize",
    "scipy.sparse.csgraph",
    "scipy.special",
    "scipy.stats",
    "shapely.affinity",
    "sqlalchemy.dialects.sqlite",
]
"""Outside libraries that take long to load; its own rooms each command loads itself."""

HERE = ("-W", "error", "-m", "tests.warm_start")


class WarmStart:
    """A process that has loaded the outside libraries, and starts a child for each command.

    Parameters
    ----------
    environment
        Environment of the process and its children.
    folder
        Folder that holds the tests.
    """

    def __init__(self, environment: dict[str, str], folder: Path) -> None:
        self._process = subprocess.Popen(
            [sys.executable, *HERE],
            cwd=folder,
            env=environment,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )

    def run(self, words: list[str], folder: Path) -> subprocess.CompletedProcess[str]:
        """Run a command in a folder, with no keyboard, and wait for its end."""
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        with tempfile.TemporaryDirectory() as aside:
            out, err = Path(aside) / "out", Path(aside) / "err"
            asked = {"words": words, "folder": str(folder), "out": str(out), "err": str(err)}
            print(json.dumps(asked), file=self._process.stdin, flush=True)
            status = int(self._process.stdout.readline())
            return subprocess.CompletedProcess(words, status, out.read_text("utf-8"), err.read_text("utf-8"))

    def close(self) -> None:
        """End the warm process."""
        self._process.communicate()


def _stream(path: str, flags: int, number: int) -> None:
    opened = os.open(path, flags, 0o600)
    os.dup2(opened, number)
    os.close(opened)


def _status(words: list[str]) -> int:
    """Run the command line as Python runs a program, and give the status it ends with."""
    from sitebook.commands.main import main  # noqa: PLC0415 - each child loads it anew

    sys.argv = ["sitebook", *words]
    try:
        main()
    except SystemExit as ended:
        return ended.code if isinstance(ended.code, int) else int(ended.code is not None)
    except BaseException:  # noqa: BLE001 - told as Python would, and nothing goes on in the parent's place
        traceback.print_exc()
        return 1
    return 0


def _child(asked: dict[str, str], words: list[str]) -> None:
    os.chdir(asked["folder"])
    _stream(os.devnull, os.O_RDONLY, 0)
    _stream(asked["out"], os.O_WRONLY | os.O_CREAT, 1)
    _stream(asked["err"], os.O_WRONLY | os.O_CREAT, 2)
    status = _status(words)
    sys.stdout.flush()
    sys.stderr.flush()
    os._exit(status)


def serve() -> None:
    """Load the libraries, then run each command asked for until nobody asks any more."""
    for library in LIBRARIES:
        importlib.import_module(library)
    for line in sys.stdin:
        asked = json.loads(line)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", DeprecationWarning)
            child = os.fork()
        if child == 0:
            _child(asked, asked["words"])
        _, ended = os.waitpid(child, 0)
        print(os.waitstatus_to_exitcode(ended), flush=True)  # noqa: T201 - to whoever asked


if __name__ == "__main__":
    serve()

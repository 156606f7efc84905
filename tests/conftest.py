"""What every test may ask for: the open data, outside tools, and a browser without a network."""

from __future__ import annotations

import fcntl
import functools
import hashlib
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn, Protocol

import pytest
from playwright.sync_api import sync_playwright

from tests.warm_start import WarmStart

if TYPE_CHECKING:
    from playwright.sync_api import Browser, ConsoleMessage, Error, Page, Request

REPOSITORY = Path(__file__).resolve().parent.parent
CHROMIUM = Path("/usr/bin/chromium")
CHROMIUM_FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
REQUIRE_ALL = "SITEBOOK_REQUIRE_ALL"
MOST_WORKERS = 4
LOCAL_SCHEMES = ("file:", "data:", "blob:", "about:")


@dataclass
class BrowserLog:
    """What a browser page said and asked for.

    Parameters
    ----------
    errors
        Console errors and uncaught exceptions, as text.
    requests
        Address of each request, in order.
    """

    errors: list[str] = field(default_factory=list)
    requests: list[str] = field(default_factory=list)

    @property
    def outside(self) -> list[str]:
        """Requests that would leave this machine."""
        return [address for address in self.requests if not address.startswith(LOCAL_SCHEMES)]

    def note_console(self, message: ConsoleMessage) -> None:
        """Keep a console message if it is an error."""
        if message.type == "error":
            self.errors.append(message.text)

    def note_exception(self, error: Error) -> None:
        """Keep an uncaught exception."""
        self.errors.append(str(error))

    def note_request(self, request: Request) -> None:
        """Keep the address of a request."""
        self.requests.append(request.url)


class Sitebook(Protocol):
    """A run of the command line, as a person starts it."""

    def __call__(self, *words: str | Path, folder: Path, expect: int = 0) -> subprocess.CompletedProcess[str]:
        """Run `sitebook` in a folder and fail unless it ends with the status expected."""


@dataclass(frozen=True)
class Island:
    """The demo, made once for the whole run; nobody writes into it.

    Parameters
    ----------
    folder
        Where it lies.
    book
        Its book.
    pages
        Its pages.
    counts
        Rows by table, as the command told them.
    """

    folder: Path
    book: Path
    pages: tuple[Path, ...]
    counts: dict[str, int]


@pytest.hookimpl(tryfirst=True)
def pytest_cmdline_main(config: pytest.Config) -> None:
    """Share a run of everything between workers, file by file; a run of named tests stays in one process.

    Whoever says `-n` is obeyed, and without pytest-xdist all runs in one process. There is one worker more
    than processors, since some wait for a browser; none has threads of its own for small matrices.
    """
    named = config.args_source is not pytest.Config.ArgsSource.TESTPATHS
    asked = getattr(config.option, "numprocesses", 0) is not None
    if named or asked or hasattr(config, "workerinput") or config.getoption("usepdb"):
        return
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    config.option.numprocesses = min(1 + (os.cpu_count() or 1), MOST_WORKERS)
    config.option.dist = "loadfile"
    config.option.loadscopereorder = False


def missing_tool(reason: str) -> NoReturn:
    """Skip the test for want of a tool, or fail it where every tool is required."""
    if os.environ.get(REQUIRE_ALL) == "1":
        pytest.fail(f"{reason} ({REQUIRE_ALL}=1 asks for every tool)", pytrace=False)
    pytest.skip(reason)


@pytest.fixture(scope="session")
def repository() -> Path:
    """Give the folder that holds pyproject.toml."""
    return REPOSITORY


@pytest.fixture(scope="session")
def shared_data() -> Path:
    """Give the folder of open data, or skip where it is absent; a file missing inside it is a failure."""
    named = os.environ.get("SITEBOOK_SHARED")
    folder = (Path(named) if named else REPOSITORY.parent / "shared") / "data"
    if not folder.is_dir():
        pytest.skip("no folder of open data: set SITEBOOK_SHARED, or lay it beside the repository as shared")
    return folder


@pytest.fixture(scope="session")
def shared_file(shared_data: Path) -> Callable[[str], Path]:
    """Give a function from a name such as `gpx/gpxpy/Mojstrovka.gpx` to the file, which must exist."""

    def find(name: str) -> Path:
        path = shared_data / name
        if not path.exists():
            pytest.fail(f"the folder of open data lacks {name}", pytrace=False)
        return path

    return find


@pytest.fixture(scope="session")
def need_tool() -> Callable[[str], str]:
    """Give a function from a program's name to its path; a missing program skips the test."""

    def find(name: str) -> str:
        path = shutil.which(name)
        if path is None:
            missing_tool(f"the program {name} is not installed")
        return path

    return find


@pytest.fixture(scope="session")
def gdal_utils() -> Path:
    """Give the unpacked wheel of GDAL's Python tools, named by SITEBOOK_GDAL_UTILS."""
    folder = os.environ.get("SITEBOOK_GDAL_UTILS")
    if folder is None:
        missing_tool("SITEBOOK_GDAL_UTILS names no unpacked wheel of gdal-utils")
    return Path(folder)


@pytest.fixture(scope="session")
def gdal_python() -> str:
    """Give a Python that has GDAL's own bindings, which is Debian's."""
    python = "/usr/bin/python3"
    asked = [python, "-c", "from osgeo import ogr, gdal"]
    if not Path(python).exists() or subprocess.run(asked, capture_output=True, check=False).returncode:
        missing_tool("Debian's python3-gdal is not installed")
    return python


@pytest.fixture(scope="session")
def sitebook() -> Iterator[Sitebook]:
    """Give a function that runs the command line in a process of its own and checks how it ended.

    The first run of each command that ends well, and the first that is refused, are starts of Python as a
    person makes them; the later ones are children of a process that has loaded the libraries already.
    """
    environment = {k: v for k, v in os.environ.items() if not k.startswith("SITEBOOK_")}
    environment["PYTHONPATH"] = str(REPOSITORY)
    started: set[tuple[str, int]] = set()

    def cold(words: list[str], folder: Path) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-W", "error", "-m", "sitebook", *words],
            cwd=folder,
            env=environment,
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            check=False,
        )

    with ExitStack() as at_end:

        @functools.cache
        def warm() -> WarmStart:
            return at_end.enter_context(closing(WarmStart(environment, REPOSITORY)))

        def run(*words: str | Path, folder: Path, expect: int = 0) -> subprocess.CompletedProcess[str]:
            said, kind = [str(word) for word in words], (str(words[0]), expect)
            done = warm().run(said, folder) if kind in started else cold(said, folder)
            started.add(kind)
            told = f"sitebook {' '.join(said)}\n{done.stdout}\n{done.stderr}"
            assert done.returncode == expect, told
            assert "Traceback" not in done.stdout + done.stderr, told
            return done

        yield run


def _whole_run(folders: pytest.TempPathFactory) -> Path:
    """Give the folder that all workers of a run share."""
    own = folders.getbasetemp()
    return own.parent if "PYTEST_XDIST_WORKER" in os.environ else own


@pytest.fixture(scope="session")
def island(sitebook: Sitebook, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Island]:
    """Give the demo, as `sitebook demo` makes it; the first worker that asks makes it for all."""
    folder = _whole_run(tmp_path_factory) / "demo"
    folder.mkdir(exist_ok=True)
    kept = folder / "told.json"
    with (folder / "lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not kept.exists():
            made = sitebook("demo", "--to", "island", "--json", folder=folder).stdout
            kept.write_text(made, "utf-8")
    told = json.loads(kept.read_text("utf-8"))
    found = Island(
        folder=folder / "island",
        book=folder / told["book"],
        pages=tuple(folder / page for page in told["pages"]),
        counts=told["counts"],
    )
    before = _digest(found.book)
    yield found
    assert _digest(found.book) == before, "a test wrote into the demo's book, which is for all"


def _digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


@pytest.fixture(scope="session")
def chromium_path() -> Path:
    """Give Debian's chromium; a missing one skips the test."""
    if not CHROMIUM.exists():
        missing_tool("chromium is not installed")
    return CHROMIUM


@pytest.fixture(scope="session")
def browser(chromium_path: Path) -> Iterator[Browser]:
    """Keep one chromium open for the whole run, one for each worker."""
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=str(chromium_path), args=CHROMIUM_FLAGS)
        yield opened
        opened.close()


@pytest.fixture
def browser_log() -> BrowserLog:
    """Give the log that `browser_page` writes into."""
    return BrowserLog()


@pytest.fixture
def browser_page(browser: Browser, browser_log: BrowserLog) -> Iterator[Page]:
    """Give an empty page with the network off; it must end without an error or an outside request.

    A test that provokes an error on purpose empties `browser_log` before it ends.
    """
    context = browser.new_context(offline=True, locale="en-GB", timezone_id="UTC")
    page = context.new_page()
    page.set_default_timeout(15_000)
    page.on("console", browser_log.note_console)
    page.on("pageerror", browser_log.note_exception)
    page.on("request", browser_log.note_request)
    yield page
    context.close()
    assert browser_log.outside == []
    assert browser_log.errors == []

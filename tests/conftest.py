"""What every test may ask for: the open data, outside tools, and a browser without a network."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import pytest
from playwright.sync_api import sync_playwright

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
    """Give a function from a name such as `gpx/Mojstrovka.gpx` to the file, which must exist."""

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
def chromium_path() -> Path:
    """Give Debian's chromium; a missing one skips the test."""
    if not CHROMIUM.exists():
        missing_tool("chromium is not installed")
    return CHROMIUM


@pytest.fixture(scope="session")
def browser(chromium_path: Path) -> Iterator[Browser]:
    """Keep one chromium open for the whole run."""
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

"""What every test in a browser shares: the server and its books, the browser, and the faults no page may have.

``page.goto("/")`` opens the pages of a server that this process runs for the tests of one file, over a store with
Lantern Street in it. ``fresh_url`` and ``empty_url`` are servers for one test alone. A test fails when a page throws or
logs an error, is answered with a server's fault, or asks anything of any other address.
"""

from __future__ import annotations

import contextlib
import os
import re
import shutil
import threading
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import uvicorn
from playwright.sync_api import BrowserContext, ConsoleMessage, Error, Page, Request, Response, WebError

from gyle.books.lantern_street import load_lantern_street
from gyle.books.store import open_store
from gyle.web.app import create_app
from gyle.web.server import listening

ROOT = Path(__file__).parents[2]
CHECKER = ROOT / "frontend" / "node_modules" / "axe-core" / "axe.min.js"
CHROMIUM = os.environ.get("CHROMIUM") or shutil.which("chromium")

# A browser that stays on this machine and draws the same everywhere.
LAUNCH = ("--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
          "--disable-component-update", "--disable-sync", "--font-render-hinting=none")  # fmt: skip
SETTING = {
    "viewport": {"width": 1280, "height": 900},
    "locale": "en-GB",
    "timezone_id": "Europe/London",
    "color_scheme": "light",
    "reduced_motion": "reduce",
}
SERVED: set[str] = set()  # addresses of servers of ours: all that a page may ask
# A refusal of what was typed is an answer, though the browser writes it down as an error.
REFUSAL = re.compile(r"Failed to load resource: the server responded with a status of 4\d\d")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Everything in this folder is a test in a browser."""
    for item in items:
        if Path(__file__).parent in item.path.parents:
            item.add_marker(pytest.mark.browser)


@contextlib.contextmanager
def serving(folder: Path, *, load: bool) -> Iterator[str]:
    """Serve a new store in this process; give the address."""
    with contextlib.closing(open_store(f"sqlite:///{folder / 'gyle.db'}")) as store, listening("127.0.0.1", 0) as taken:
        if load:
            load_lantern_street(store)
        address = f"http://127.0.0.1:{taken.getsockname()[1]}"
        server = uvicorn.Server(
            uvicorn.Config(
                create_app(store), log_level="warning", access_log=False, lifespan="off", timeout_graceful_shutdown=2
            )
        )
        thread = threading.Thread(target=server.run, kwargs={"sockets": [taken]}, name=f"server {address}")
        thread.start()
        SERVED.add(address)
        try:
            # The socket listens already, so this waits for the answer and nothing has to be tried twice.
            with urllib.request.urlopen(f"{address}/healthz", timeout=30) as answer:
                assert answer.status == 200
            yield address
        finally:
            server.should_exit = True
            thread.join()


@pytest.fixture(scope="module")
def base_url(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Address of the server for the tests of one file, Lantern Street loaded."""
    with serving(tmp_path_factory.mktemp("store"), load=True) as address:
        yield address


@pytest.fixture
def fresh_url(tmp_path: Path) -> Iterator[str]:
    """Address of a server for one test alone, Lantern Street loaded."""
    with serving(tmp_path, load=True) as address:
        yield address


@pytest.fixture
def empty_url(tmp_path: Path) -> Iterator[str]:
    """Address of a server for one test alone, over a store with nothing in it."""
    (folder := tmp_path / "empty").mkdir()
    with serving(folder, load=False) as address:
        yield address


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict[str, Any]) -> dict[str, Any]:
    """Take the system's Chromium; nothing is downloaded."""
    if CHROMIUM is None:
        reason = "no Chromium on the PATH: apt-get install chromium, or set CHROMIUM to where it is"
        pytest.fail(reason) if os.environ.get("CI") else pytest.skip(reason)
    return {**browser_type_launch_args, "executable_path": CHROMIUM, "args": list(LAUNCH)}


@pytest.fixture
def browser_context_args() -> dict[str, Any]:
    """Leave all to ``new_context``, where a test can change each setting by naming it."""
    return {}


class Faults:
    """What went wrong in the pages of one test.

    ``allow`` takes a pattern of a fault that a test brings about on purpose.
    """

    def __init__(self) -> None:
        self.seen: list[str] = []
        self.allowed: list[re.Pattern[str]] = []
        self.contexts: list[BrowserContext] = []

    def allow(self, pattern: str) -> None:
        """Expect faults in which this pattern is found."""
        self.allowed.append(re.compile(pattern))

    def watch(self, context: BrowserContext) -> None:
        """Take down the faults of all pages of a context."""

        def thrown(error: WebError) -> None:
            self.seen.append(f"thrown: {error.error}")

        def logged(message: ConsoleMessage) -> None:
            if message.type == "error" and not REFUSAL.match(message.text):
                self.seen.append(f"console: {message.text} at {message.location}")

        def asked(request: Request) -> None:
            if not request.url.startswith(("data:", "blob:", *(f"{address}/" for address in SERVED))):
                self.seen.append(f"asked elsewhere: {request.url}")

        def answered(response: Response) -> None:
            if response.status >= 500:
                self.seen.append(f"answered {response.status}: {response.request.method} {response.url}")

        context.on("weberror", thrown)
        context.on("console", logged)
        context.on("request", asked)
        context.on("response", answered)
        self.contexts.append(context)

    def unexpected(self) -> list[str]:
        """All faults that were not allowed, after whatever the pages still had to say."""
        for context in self.contexts:
            for page in context.pages:
                with contextlib.suppress(Error):
                    page.evaluate("0")
        return [fault for fault in self.seen if not any(pattern.search(fault) for pattern in self.allowed)]


@pytest.fixture
def faults() -> Faults:
    """The faults of this test's pages; a test that brings one about says ``faults.allow(pattern)``."""
    return Faults()


@pytest.fixture
def new_context(
    request: pytest.FixtureRequest, new_context: Callable[..., BrowserContext], base_url: str, faults: Faults
) -> Iterator[Callable[..., BrowserContext]]:
    """Make a context with the fixed setting, or what a test names instead; its faults are the test's."""
    marked = {key for mark in request.node.iter_markers("browser_context_args") for key in mark.kwargs}

    def made(**chosen: Any) -> BrowserContext:
        usual = {key: value for key, value in (*SETTING.items(), ("base_url", base_url)) if key not in marked}
        context = new_context(**{**usual, **chosen})
        faults.watch(context)
        return context

    yield made
    if unexpected := faults.unexpected():
        pytest.fail("Pages had faults:\n" + "\n".join(unexpected), pytrace=False)


@pytest.fixture
def axe() -> Callable[[Page], list[str]]:
    """Check a page as it now stands: what axe-core finds serious or critical, one line each."""
    source = CHECKER.read_text(encoding="utf-8")

    def checked(page: Page) -> list[str]:
        # The debugger's own channel runs this, so that the page keeps its strict policy while it is checked.
        page.evaluate(source + "\n; undefined")
        found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
        return [
            f"{fault['id']} ({fault['impact']}): {fault['help']}: "
            + ", ".join(str(node["target"]) for node in fault["nodes"])
            for fault in found["violations"]
            if fault["impact"] in ("serious", "critical")
        ]

    return checked

"""A running service and a real Chromium for the tests of the web page.

The browser lives for one module: while it does, its event loop holds the main thread, and no other loop can run there.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright

from tests.crash.servers import start_server

CHROMIUM = Path("/usr/bin/chromium")
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
_WATCH = """
window.violations = [];
document.addEventListener("securitypolicyviolation", (e) => window.violations.push(`${e.violatedDirective} ${e.blockedURI}`));
"""


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Where the service answers; an empty store for every module."""
    if not CHROMIUM.exists():
        pytest.skip("there is no /usr/bin/chromium to drive: 'apt-get install chromium' brings it")
    folder = tmp_path_factory.mktemp("web")
    server, port = start_server(str(folder / "plans.sqlite3"), folder)
    yield f"http://127.0.0.1:{port}"
    server.terminate()
    server.wait(20)


@pytest.fixture(scope="module")
def browser(address: str) -> Iterator[Browser]:  # noqa: ARG001 - the service skips first where there is no browser
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield chromium
        chromium.close()


@dataclass
class Tab:
    """One browser tab on the page; everything it loaded and complained about."""

    page: Page
    address: str
    complaints: list[str] = field(default_factory=list)
    elsewhere: list[str] = field(default_factory=list)

    def open(self, part: str = "") -> "Tab":
        self.page.goto(f"{self.address}/#/{part}")
        self.page.locator("h1").first.wait_for(state="attached")  # the page draws itself after it has loaded
        return self

    def say(self, text: str) -> None:
        """Type a sentence, send it, and wait for the sheet that answers it."""
        self.page.get_by_label("What is to be made?").fill(text)
        self.page.get_by_role("button", name="Work it out").click()
        expect(self.page.locator(".turn .said-before")).to_contain_text(text.replace("\u202e", "\ufffd"))

    def unfold(self) -> None:
        """Open everything that can be opened."""
        closed = self.page.locator("details:not([open]) > summary >> visible=true")
        while closed.count():
            closed.first.click()

    @property
    def outcome(self) -> Any:
        return self.page.locator(".turn .outcome .tag")

    def card(self, text: str) -> None:
        """Ask for it and open its bench card."""
        self.open()
        self.say(text)
        self.page.get_by_role("link", name="Open the bench card").click()
        expect(self.page.locator(".card")).to_be_visible()


OpenTab = Callable[..., Tab]


@pytest.fixture
def tab(browser: Browser, address: str) -> Iterator[OpenTab]:
    """Opens tabs; at the end none may have broken the policy, failed in a script or called another address."""
    opened: list[Tab] = []

    def begin(**options: Any) -> Tab:
        context = browser.new_context(viewport=options.pop("viewport", {"width": 1280, "height": 800}), **options)
        context.add_init_script(_WATCH)
        page = context.new_page()
        page.set_default_timeout(10_000)
        new = Tab(page, address)
        page.on("pageerror", lambda error: new.complaints.append(str(error)))
        page.on("dialog", lambda dialog: (new.complaints.append(f"dialog {dialog.message}"), dialog.dismiss()))
        page.on(
            "request", lambda request: None if request.url.startswith(address) else new.elsewhere.append(request.url)
        )
        opened.append(new)
        return new

    yield begin
    for each in opened:
        violations = each.page.evaluate("window.violations")
        each.page.context.close()
        assert (each.complaints, each.elsewhere, violations) == ([], [], [])

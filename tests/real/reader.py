"""A reader at a browser: what a page shows, what it asks for, and what it complains of."""

from __future__ import annotations

import functools
import http.server
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from tests.conftest import BROWSER


def script(name: str) -> str:
    """A function for the page at hand, from `scripts/`."""
    return (Path(__file__).parent / "scripts" / f"{name}.js").read_text("utf-8")


@contextmanager
def chromium() -> Iterator[Any]:
    """The browser, without a network of its own."""
    from playwright import sync_api as playwright

    with playwright.sync_playwright() as p:
        found = p.chromium.launch(
            executable_path=str(BROWSER), args=["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
        )
        yield found
        found.close()


class _Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, format: str, *args: Any) -> None:
        """Say nothing."""


@contextmanager
def serving(folder: Path) -> Iterator[str]:
    """A folder, served on this machine; gives its address. It may be filled once the address is known."""
    handler = functools.partial(_Quiet, directory=str(folder))
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        try:
            yield f"http://127.0.0.1:{server.server_address[1]}"
        finally:
            server.shutdown()
            thread.join()


class Reader:
    """A page in a context of its own, with all it asked for and complained about."""

    def __init__(
        self, browser: Any, *, width: int = 1280, scheme: str = "light", motion: str = "no-preference"
    ) -> None:
        self.context = browser.new_context(
            viewport={"width": width, "height": 900}, color_scheme=scheme, reduced_motion=motion
        )
        self.page = self.context.new_page()
        self.asked: list[str] = []
        self.said: list[str] = []
        self.page.on("request", lambda r: self.asked.append(r.url))
        self.stopped: list[str] = []
        """What the page's policy stopped before it was sent."""
        self.page.on("requestfailed", lambda r: self.stopped.append(r.url) if r.failure == "csp" else None)
        self.page.on("console", lambda m: self.said.append(f"{m.type}: {m.text}") if m.type != "log" else None)
        self.page.on("pageerror", lambda e: self.said.append(f"error: {e}"))

    def alive(self) -> int:
        """Scroll over every chart until all are alive; gives their number.

        Charts are looked up anew by their keys each time: a theme that swaps pages may replace one under our hands.
        """
        found = "Array.from(document.querySelectorAll('figure[data-af-chart]'), one => one.dataset.afChart)"
        keys: list[str] = self.page.evaluate(found)
        for key in keys:
            self.page.locator(f'figure[data-af-chart="{key}"]').scroll_into_view_if_needed(timeout=20000)
            self.until(f"document.querySelector('figure[data-af-chart=\"{key}\"]')?.dataset.afState === 'live'")
        return len(keys)

    def until(self, holds: str) -> None:
        """Wait until an expression holds in the page.

        Asked again and again from here: playwright's own waiting evaluates text in the page, which its policy stops.
        """
        for _ in range(400):
            if self.page.evaluate(holds):
                return
            self.page.wait_for_timeout(50)
        raise AssertionError(f"never came true: {holds}")

    def ground(self) -> str:
        """The colour behind the page."""
        return self.page.evaluate("getComputedStyle(document.body).backgroundColor")

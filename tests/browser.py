"""A real browser for the tests of pages: Chromium without a window, driven by Playwright.

Playwright fetches no browser here: it drives the one that the system has. Where there is none, or
no Playwright, the tests that need it are skipped and say so.

A Playwright that is started synchronously owns the thread's event loop until it is stopped, so keep
it for one module of tests none of which is asynchronous; asynchronous tests start their own with
``async_playwright`` and ``launch_arguments``.
"""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")
"""As distributions call the program."""
ARGUMENTS = (
    "--headless",
    "--no-sandbox",  # CI runs as root
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


def chromium_path() -> str | None:
    """The browser: what POURCOACH_CHROMIUM names, else the first on the path; None without one."""
    named = os.environ.get("POURCOACH_CHROMIUM")
    return named or next(filter(None, map(shutil.which, NAMES)), None)


def launch_arguments() -> dict[str, Any]:
    """For ``chromium.launch``. Each launch has a user data folder of its own, which Playwright
    makes and removes. Skips the test where there is no browser.
    """
    pytest.importorskip(
        "playwright", reason="Playwright is not installed (the extra 'test' has it)"
    )
    path = chromium_path()
    if path is None:
        pytest.skip("there is no Chromium here; CI has one")
    return {"executable_path": path, "headless": True, "args": list(ARGUMENTS)}


@contextmanager
def launched() -> Iterator["Browser"]:
    """Chromium, while the context lasts."""
    arguments = launch_arguments()
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(**arguments)
        try:
            yield browser
        finally:
            browser.close()


@dataclass(slots=True)
class Watch:
    """What a page did that nobody looks at."""

    errors: list[str] = field(default_factory=list)
    """Messages on its console that are errors or warnings, and what was thrown."""
    requests: list[str] = field(default_factory=list)
    """Every address it asked for, the page itself first."""

    def over(self, page: "Page") -> None:
        """Watch a page from now on."""
        # Playwright sets an attribute on what it is given, which a bound method does not take.
        page.on("console", lambda message: self._console(message))
        page.on("pageerror", lambda error: self.errors.append(str(error)))
        page.on("request", lambda request: self.requests.append(request.url))

    def _console(self, message: Any) -> None:
        if message.type in ("error", "warning"):
            self.errors.append(message.text)

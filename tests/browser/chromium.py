"""Starts the installed Chromium, quietly and with nothing of its own to fetch. Knows no page."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from playwright.sync_api import Browser, Playwright

from tests.system_packages import chromium

ARGUMENTS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
ORDINARY, LARGE = 16, 24  # CSS pixels of the reader's own type size: 100 % and 150 %


@contextmanager
def chromium_that_runs(playwright: Playwright, type_size: int = ORDINARY) -> Iterator[Browser]:
    """A Chromium whose reader has set this type size; closed at the end."""
    browser = playwright.chromium.launch(
        executable_path=chromium(), args=[*ARGUMENTS, f"--blink-settings=defaultFontSize={type_size}"]
    )
    try:
        yield browser
    finally:
        browser.close()

"""Asks a drawn page what is wrong with it: cut off, overlapping, too pale, too small. Knows no page by name."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Page

_MEASURING = (Path(__file__).parent / "measuring.js").read_text(encoding="utf-8")
TEXT_CONTRAST = 7.0  # WCAG 2.2, success criterion 1.4.6 (AAA)
MARK_CONTRAST = 3.0  # WCAG 2.2, success criterion 1.4.11
TOUCH = 44  # CSS pixels, WCAG 2.2, success criterion 2.5.5


def open_all_lists(page: Page) -> None:
    """Open every list that is closed."""
    page.evaluate("for (const list of document.querySelectorAll('details')) list.open = true")


def cut_off(page: Page) -> list[str]:
    """What runs out of the window or of its own room."""
    return page.evaluate(f"{_MEASURING}.cutOff()")


def overlapping(page: Page) -> list[str]:
    """Texts that cover each other."""
    return page.evaluate(f"{_MEASURING}.overlapping()")


def too_pale(page: Page) -> list[str]:
    """Texts and marks whose contrast is too low."""
    answer = page.evaluate(f"{_MEASURING}.pale({TEXT_CONTRAST}, {MARK_CONTRAST})")
    assert answer["measured"]["text"] > 0
    return answer["found"]


def too_small(page: Page) -> list[str]:
    """What is to be touched and is lower than a fingertip."""
    return page.evaluate(f"{_MEASURING}.small({TOUCH})")

"""Makes the pictures of the README anew: the demo is lived through, then its season page is photographed in Chromium.

    python -m demo.pictures

Needs the packages of `test` and an installed Chromium. Knows where files go; the story is told by `demo.story`.
"""

from __future__ import annotations

import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

from demo.living import connected_phones, live
from demo.season import invent
from demo.serving import GroupServer, running_server
from demo.story import GROUP
from tests.browser.chromium import chromium_that_runs

HERE = Path(__file__).parent
SEED = 1  # the season that is shipped
SEASON = "/season/2026"


@dataclass(frozen=True, slots=True)
class Picture:
    """One picture: its file, the width of the screen and how much of the page it shows [CSS pixels]."""

    file: str
    width: int
    height: int
    pixels_a_css_pixel: float = 1


PICTURES = (Picture("season_page_wide.png", 1280, 1000), Picture("season_page_phone.png", 400, 866, 2))


def main() -> None:
    """Live through the season, serve it, photograph it."""
    with tempfile.TemporaryDirectory(prefix="pomeward-pictures-") as made:
        folder = Path(made)
        with running_server(folder / "server", GROUP) as server:
            seasons = invent(SEED)
            phones = connected_phones(seasons, folder, server)
            live(seasons, phones)
            for phone in phones.values():
                phone.store.close()
            photograph(server)


def photograph(server: GroupServer) -> None:
    """All pictures of a running server's season page, by a browser that is connected as people connect theirs."""
    with sync_playwright() as playwright, chromium_that_runs(playwright) as browser:
        for picture in PICTURES:
            size = take(browser, server, picture)
            print(f"{HERE / picture.file}: {size / 1000:.0f} kB", file=sys.stderr)


def take(browser: Browser, server: GroupServer, picture: Picture) -> int:
    """Take one picture; returns its size in bytes."""
    context = browser.new_context(
        viewport={"width": picture.width, "height": picture.height},
        device_scale_factor=picture.pixels_a_css_pixel,
        color_scheme="light",
    )
    page = context.new_page()
    page.goto(server.address_for_browser())
    page.get_by_role("button").click()
    page.wait_for_url("**/season")
    page.goto(server.address + SEASON)
    taken = page.screenshot(path=HERE / picture.file)
    context.close()
    return len(taken)


if __name__ == "__main__":
    main()

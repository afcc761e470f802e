"""Makes the pictures of the README anew: the demo is lived through, then its page photographed and its phone drawn.

    python -m demo.pictures

Needs the packages of `test` and an installed Chromium. Knows where files go; the story is told by `demo.story`.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Browser, FloatRect, sync_playwright

from demo.living import connected_phones, live
from demo.phone_window import copy_of_phone, draw
from demo.season import invent
from demo.serving import GroupServer, running_server
from demo.story import GROUP, SHOWN
from tests.browser.chromium import chromium_that_runs

HERE = Path(__file__).parent
SEED = 1  # the season that is shipped
SEASON = "/season/2026"


@dataclass(frozen=True, slots=True)
class Picture:
    """One picture: its file, the width of the screen [CSS pixels], and with which part of the page it ends."""

    file: str
    width: int
    ends_with: str
    pixels_a_css_pixel: float = 1


PICTURES = (
    Picture("season_page_wide.png", 1280, ".legend"),
    Picture("season_page_phone.png", 400, ".mix:nth-of-type(4)", 1.5),
)
SCREENS = ("phone_trap.png", "phone_season.png")
MARGIN = 8  # CSS pixels below the last part


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
            draw_the_phone(folder)


def draw_the_phone(folder: Path) -> None:
    """The phone's screens that the README shows."""
    data = copy_of_phone(folder / "phones" / f"{SHOWN}.sqlite", folder / "window")
    drawn = {picture.name: picture for picture in draw(data, folder / "drawn")}
    for name in SCREENS:
        shutil.copyfile(drawn[name], HERE / name)
        print(f"{HERE / name}: {drawn[name].stat().st_size / 1000:.0f} kB", file=sys.stderr)


def photograph(server: GroupServer) -> None:
    """All pictures of a running server's season page, by a browser that is connected as people connect theirs."""
    with sync_playwright() as playwright, chromium_that_runs(playwright) as browser:
        for picture in PICTURES:
            size = take(browser, server, picture)
            print(f"{HERE / picture.file}: {size / 1000:.0f} kB", file=sys.stderr)


def take(browser: Browser, server: GroupServer, picture: Picture) -> int:
    """Take one picture; returns its size in bytes."""
    context = browser.new_context(
        viewport={"width": picture.width, "height": 800},
        device_scale_factor=picture.pixels_a_css_pixel,
        color_scheme="light",
    )
    page = context.new_page()
    page.goto(server.address_for_browser())
    page.get_by_role("button").click()
    page.wait_for_url("**/season")
    page.goto(server.address + SEASON)
    last = page.locator(picture.ends_with).first.bounding_box()
    if last is None:
        raise LookupError(f"The page has no {picture.ends_with}; say where the picture is to end.")
    shown = FloatRect(x=0, y=0, width=picture.width, height=last["y"] + last["height"] + MARGIN)
    taken = page.screenshot(path=HERE / picture.file, full_page=True, clip=shown)
    context.close()
    return len(taken)


if __name__ == "__main__":
    main()

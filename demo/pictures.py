"""Makes the pictures of the README anew: the season page of the invented season, in a real Chromium.

`python -m demo.pictures` needs the packages of the tests (playwright) and an installed Chromium.
"""

import shutil
import tempfile
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

from demo.living import connected_phones, live
from demo.season import invent
from demo.serving import GroupServer, running_server

PICTURES = Path(__file__).parent / "pictures"
SEED = 1
SEASON = "2026"
SIZES = {"wide": (1280, 900), "phone": (400, 860)}
ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
]


def main() -> None:
    """Live through the season, then take both pictures."""
    seasons = invent(SEED)
    with tempfile.TemporaryDirectory() as folder:
        data = Path(folder)
        with running_server(data / "server", "Three gardens (invented)") as server:
            live(seasons, connected_phones(seasons, data, server))
            take(server, PICTURES)


def take(server: GroupServer, folder: Path) -> None:
    """Take the season page at a desk and on a narrow screen."""
    folder.mkdir(exist_ok=True)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=ARGUMENTS)
        for name, (width, height) in SIZES.items():
            _picture(browser, server, (width, height), folder / f"season_page_{name}.png")
        browser.close()


def _picture(browser: Browser, server: GroupServer, size: tuple[int, int], file: Path) -> None:
    page = browser.new_page(viewport={"width": size[0], "height": size[1]}, color_scheme="light")
    page.goto(server.address_for_browser())
    page.get_by_role("button").click()
    page.goto(f"{server.address}/season/{SEASON}")
    page.screenshot(path=file)
    page.close()


if __name__ == "__main__":
    main()

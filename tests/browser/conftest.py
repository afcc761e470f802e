"""Fixtures: one server with invented groups, Chromium with ordinary and with large type, browsers connected by a code."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, StorageState, sync_playwright

from server.database.members import Group
from server.settings import Settings
from tests.browser import season
from tests.browser.chromium import LARGE, ORDINARY, chromium_that_runs
from tests.browser.timed_season import timed_season
from tests.server.running import RunningServer

PATIENCE = 15_000  # ms


@dataclass
class Groups:
    """A running server and its groups, each filled over HTTP as phones do it."""

    server: RunningServer
    by_name: dict[str, Group] = field(default_factory=dict)

    def fill(self, name: str, *seasons) -> None:
        """Make a group and push seasons to it."""
        group = self.by_name[name] = self.server.group(name)
        caller = self.server.caller(group)
        for entries in seasons:
            refused = [answer for answer in caller.push(entries) if answer["state"] != "shared"]
            assert refused == []

    def address(self, name: str) -> str:
        """A one-time address that makes a browser a device of that group."""
        return f"{self.server.url}/connect?code={self.server.code(self.by_name[name])}"


@pytest.fixture(scope="session")
def groups(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Groups]:
    """The server with a group that has seasons, one with hostile names, one that begins, and an empty one."""
    folder: Path = tmp_path_factory.mktemp("server")
    server = RunningServer(Settings(data=folder))
    server.start()
    try:
        yield _filled(Groups(server))
    finally:  # or its thread would keep the tests from ending
        server.stop()


def _filled(groups: Groups) -> Groups:
    groups.fill("Two gardens (invented)", season.northern_season(), season.southern_season())
    groups.fill("Odd names (invented)", season.hostile_names())
    groups.fill("Three trees (invented)", season.small_season())
    groups.fill("Three years (invented)", season.three_years())
    groups.fill("Timed garden (invented)", timed_season())
    groups.fill("Set apart (invented)", season.set_apart())
    groups.fill("Nothing yet")
    return groups


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    """Playwright, which moves the installed Chromium."""
    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="session")
def browsers(playwright: Playwright) -> Iterator[dict[int, Browser]]:
    """Chromium by the type size that its reader has set."""
    with chromium_that_runs(playwright) as ordinary, chromium_that_runs(playwright, LARGE) as large:
        yield {ORDINARY: ordinary, LARGE: large}


@pytest.fixture
def contexts(browsers: dict[int, Browser]) -> Iterator[Callable[..., BrowserContext]]:
    """Opens browsers of somebody who was never here; closed at the end."""
    opened: list[BrowserContext] = []

    def open_one(type_size: int = ORDINARY, width: int = 1280, height: int = 800, **more) -> BrowserContext:
        context = browsers[type_size].new_context(viewport={"width": width, "height": height}, **more)
        context.set_default_timeout(PATIENCE)
        opened.append(context)
        return context

    yield open_one
    for context in opened:
        context.close()


@pytest.fixture
def stranger(contexts: Callable[..., BrowserContext]) -> Page:
    """A page of a browser that is not connected."""
    return contexts().new_page()


@pytest.fixture(scope="session")
def cookies(groups: Groups, browsers: dict[int, Browser]) -> Callable[[str], StorageState]:
    """What a browser keeps that was connected to a group through the form, once for all tests."""

    @cache
    def connected_to(group: str) -> StorageState:
        context = browsers[ORDINARY].new_context()
        page = context.new_page()
        page.goto(groups.address(group))
        page.get_by_role("button", name="Connect").click()
        page.wait_for_url("**/season")
        state = context.storage_state()
        context.close()
        return state

    return connected_to


@pytest.fixture
def connected(
    groups: Groups, contexts: Callable[..., BrowserContext], cookies: Callable[[str], StorageState]
) -> Callable[..., Page]:
    """Opens the seasons page in a browser that is connected to a group."""

    def connect(group: str = "Two gardens (invented)", **more) -> Page:
        page = contexts(storage_state=cookies(group), **more).new_page()
        page.goto(f"{groups.server.url}/season")
        return page

    return connect

"""Errors: problem details for programs, a page for browsers, and nothing else leaks."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest

from shared_models.errors import PomewardError
from tests.builders import FieldPhone

SECRET = "SELECT secret FROM somewhere"


@pytest.mark.parametrize(
    ("method", "path", "status"),
    [
        ("GET", "/api/v1/nowhere", 404),
        ("DELETE", "/api/v1/entries", 405),
        ("GET", "/api/v1/entries", 401),
        ("POST", "/api/v1/entries", 401),
        ("GET", "/api/v1/season", 401),
        ("GET", "/api/v1/season/2026", 401),
        ("POST", "/api/v1/connect", 400),
    ],
)
def test_a_program_gets_problem_details(server, method: str, path: str, status: int):
    answer = server.stranger().http.request(method, path)
    assert answer.status_code == status
    assert answer.headers["content-type"] == "application/problem+json"
    assert answer.headers["cache-control"] == "no-store"
    problem = answer.json()
    assert problem["status"] == status
    assert set(problem) <= {"type", "title", "status", "detail", "field"}
    assert problem["detail"].endswith(".")


def test_a_route_that_does_not_take_a_method_names_those_that_it_takes(server):
    assert "POST" in server.stranger().http.request("PUT", "/api/v1/connect").headers["allow"]


def test_a_browser_gets_a_page(server):
    answer = server.stranger().http.get("/nowhere")
    assert answer.status_code == 404
    assert answer.headers["content-type"].startswith("text/html")
    assert "There is nothing at this address." in answer.text


@pytest.mark.parametrize("path", ["/api/v1/entries", "/api/v1/connect"])
def test_whoever_hangs_up_amid_a_request_is_no_fault_of_the_server(server, path: str):
    """A fault would be raised, so that it stands in the log; every walk through a dead spot would put one there."""
    arrives: Iterator[dict[str, Any]] = iter(
        [{"type": "http.request", "body": b'{"entries":[', "more_body": True}, {"type": "http.disconnect"}]
    )
    answered: list[dict[str, Any]] = []

    async def receive() -> dict[str, Any]:
        return next(arrives)

    async def send(message: dict[str, Any]) -> None:
        answered.append(message)

    named = {"type": "http", "http_version": "1.1", "method": "POST", "scheme": "http", "query_string": b""}
    headers = [(b"authorization", b"Bearer nobody's")]
    asyncio.run(server.app({**named, "path": path, "headers": headers}, receive, send))
    assert answered[0]["status"] == 400


def test_every_error_of_ours_has_its_place_in_the_table():
    from server.error_responses import OURS, problem_of

    def children(kind: type[Exception]) -> list[type[Exception]]:
        return [found for child in kind.__subclasses__() for found in (child, *children(child))]

    met_on_the_server = [kind for kind in children(PomewardError) if not kind.__module__.startswith("mobile")]
    unplaced = [kind.__name__ for kind in met_on_the_server if problem_of(kind.__new__(kind)) is OURS]
    assert unplaced == ["NotReachableError"], "which only a phone can meet"


@pytest.mark.parametrize("path", ["/api/v1/broken", "/broken"])
def test_a_fault_of_ours_tells_nothing_about_itself(server, caplog, path: str):
    def broken() -> None:
        raise RuntimeError(SECRET)

    server.app.router.routes.insert(0, type(server.app.router.routes[-2])(path, broken))
    with caplog.at_level(logging.CRITICAL + 1, "uvicorn.error"):
        answer = server.stranger().http.get(path)
    assert answer.status_code == 500
    assert SECRET not in answer.text and "Traceback" not in answer.text and "RuntimeError" not in answer.text


def test_a_store_that_fails_is_told_in_a_sentence_and_nothing_is_acknowledged(server, keeper):
    assert keeper.pulled_ids() == []
    with server.services.database.writing() as connection:
        connection.exec_driver_sql("ALTER TABLE entry RENAME TO entry_away")
    answer = keeper.post("/entries", content=b'{"entries":[]}')
    phone = FieldPhone()
    refused = keeper.post("/entries", content=f'{{"entries":[{phone.garden().model_dump_json()}]}}')
    with server.services.database.writing() as connection:
        connection.exec_driver_sql("ALTER TABLE entry_away RENAME TO entry")
    for one in (answer, refused):
        assert one.status_code in (200, 503)
    assert refused.status_code == 503
    assert refused.json()["type"] == "/problems/store-trouble"
    assert "entry" not in refused.json()["detail"] and "retry-after" in refused.headers
    assert keeper.pulled_ids() == []
    assert [one["state"] for one in keeper.push([phone.garden()])] == ["shared"]


def test_many_who_ask_at_once_all_get_their_answer(server, keeper):
    with ThreadPoolExecutor(30) as pool:
        answers = list(pool.map(lambda _: keeper.get("/season/2026").status_code, range(90)))
    assert answers == [200] * 90

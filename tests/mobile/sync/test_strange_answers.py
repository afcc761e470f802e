"""A port that answers like a hotspot, a proxy or half a server: nothing is taken for an answer that is none."""

import gzip
import json
import socket
from typing import Any

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.sync.connect import connect
from mobile.sync.remote_server import RemoteServer
from mobile.sync.replies import ServerFailedError
from shared_models.errors import (
    BadInputError,
    NotAllowedError,
    NotReachableError,
    PomewardError,
    TooLargeError,
)
from tests.mobile.phones import picking_visit
from tests.mobile.sync.served import Answer, answering, breaks_off, hangs_up, says

PAGE = b"<html><body>Please sign in to this network</body></html>"


def problem(status: int, detail: str, **more: str) -> Answer:
    """Problem details as a server of ours gives them."""
    body = json.dumps({"status": status, "detail": detail, **more}).encode()
    return says(status, "application/problem+json", body)


@pytest.mark.parametrize(
    "answer",
    [
        pytest.param(says(200, "text/html", PAGE), id="page of a hotspot"),
        pytest.param(says(200, "application/json", PAGE), id="page that claims to be data"),
        pytest.param(says(200, "application/json", b'{"ok": true}'), id="data of something else"),
        pytest.param(says(200, "application/json", b""), id="nothing"),
        pytest.param(says(302, "text/html", b"", Location="http://127.0.0.1:9/login"), id="redirection"),
        pytest.param(says(404, "text/html", PAGE), id="not found"),
        pytest.param(says(403, "text/html", PAGE), id="forbidden by a proxy"),
        pytest.param(says(401, "text/html", PAGE), id="sign in to a proxy"),
        pytest.param(says(502, "text/html", PAGE), id="bad gateway"),
        pytest.param(says(503, "text/plain", b"busy", Retry_After="5"), id="busy"),
        pytest.param(problem(503, "The store does not answer."), id="store in trouble"),
        pytest.param(problem(429, "Not so fast."), id="too often"),
        pytest.param(
            says(200, "application/json", gzip.compress(b'{"x":1}' * 99)[:20], Content_Encoding="gzip"),
            id="half of something packed",
        ),
        pytest.param(says(200, "application/json", b"not packed", Content_Encoding="gzip"), id="not packed"),
        pytest.param(hangs_up, id="hangs up"),
        pytest.param(breaks_off, id="breaks off"),
    ],
)
def test_whatever_is_no_answer_of_a_server_counts_as_not_reachable(answer: Answer) -> None:
    with answering(answer) as url, RemoteServer(url, "token") as server:
        for ask in (server.hello, lambda: server.pull(0, 10, ""), lambda: server.push(["{}"], "")):
            with pytest.raises(NotReachableError) as refusal:
                ask()
            assert str(refusal.value).endswith(".") and "kept" in str(refusal.value)


@pytest.mark.parametrize(
    ("answer", "error"),
    [
        (problem(401, "Connect again."), NotAllowedError),
        (problem(403, "This group is gone."), NotAllowedError),
        (problem(413, "Too much."), TooLargeError),
        (says(413, "text/html", PAGE), TooLargeError),
        (problem(500, "The server failed."), ServerFailedError),
        (problem(400, "This is no push.", field="entries"), BadInputError),
        (problem(409, "Fetch everything again."), BadInputError),
    ],
)
def test_a_servers_no_becomes_the_error_that_says_what_to_do(
    answer: Answer, error: type[PomewardError]
) -> None:
    with answering(answer) as url, RemoteServer(url, "token") as server, pytest.raises(error) as refusal:
        server.push(["{}"], "")
    assert type(refusal.value) is error and str(refusal.value).endswith(".")


def test_a_port_where_nobody_listens_counts_as_not_reachable() -> None:
    with socket.create_server(("127.0.0.1", 0)) as free:
        url = f"http://127.0.0.1:{free.getsockname()[1]}"
    with RemoteServer(url) as server, pytest.raises(NotReachableError):
        server.hello()


def test_the_token_does_not_follow_a_redirection() -> None:
    seen: list[str | None] = []

    def elsewhere(request: object) -> None:
        seen.append("asked")

    with (
        answering(elsewhere) as other,
        answering(says(307, "text/html", b"", Location=other)) as url,
        RemoteServer(url, "secret") as server,
        pytest.raises(NotReachableError),
    ):
        server.pull(0, 10, "")
    assert seen == []


def test_connecting_to_a_hotspot_changes_nothing(phone: PhoneStore) -> None:
    picking_visit(phone)
    with answering(says(200, "text/html", PAGE)) as url, pytest.raises(NotReachableError):
        connect(url, "ABCD-EFGH-JKMNP", phone, "phone")
    assert phone.membership.current() is None and phone.sharing().waiting == 4


@pytest.mark.parametrize("code", ["", "short", "x" * 41])
def test_what_is_no_code_is_refused_before_anything_is_sent(phone: PhoneStore, code: str) -> None:
    with pytest.raises(BadInputError, match="no connecting code") as refusal:
        connect("http://127.0.0.1:9", code, phone, "phone")
    assert refusal.value.field == "code"


@pytest.mark.parametrize(("entries", "packed"), [(1, False), (100, True)])
def test_large_bodies_are_packed_and_small_ones_are_not(entries: int, packed: bool) -> None:
    seen: list[tuple[str | None, bytes, str | None]] = []

    def notes(request: Any) -> None:
        seen.append((request.headers["Content-Encoding"], request.sent, request.headers["Authorization"]))
        problem(413, "Too much.")(request)

    with answering(notes) as url, RemoteServer(url, "secret") as server, pytest.raises(TooLargeError):
        server.push(['{"id":"x","text":"ü"}'] * entries, "")
    ((encoding, sent, authorization),) = seen
    plain = '{"entries":[' + ",".join(['{"id":"x","text":"ü"}'] * entries) + "]}"
    assert (encoding == "gzip") is packed and authorization == "Bearer secret"
    assert (gzip.decompress(sent) if packed else sent).decode() == plain


@pytest.mark.parametrize(
    ("asked", "understood"),
    [("120", 120.0), ("Fri, 27 Nov 2026 10:00:00 GMT", None), ("-1", None), ("", None)],
)
def test_how_long_a_busy_server_wants_to_be_left_alone_is_noted(asked: str, understood: float | None) -> None:
    def busy(request: Any) -> None:
        request.send_response(503)
        request.send_header("Retry-After", asked)
        request.send_header("Content-Length", "0")
        request.end_headers()

    with answering(busy) as url, RemoteServer(url, "secret") as server:
        with pytest.raises(NotReachableError) as caught:
            server.pull(0, 10, "")
        assert caught.value.retry_after == understood

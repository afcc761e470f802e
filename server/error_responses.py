"""The one table of errors: problem details (RFC 9457) for programs, a page for browsers. Nothing else leaks out.

The `type` of a problem is stable; a program may rely on it. What is not in the table is a fault of ours: the caller
learns that it happened, the server's own log tells what.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import orjson
from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect

from server.services.failures import NotConnectedError, UnknownGroupError
from shared_models.errors import (
    BadInputError,
    NotAllowedError,
    PomewardError,
    StartOverError,
    StoreError,
    TooLargeError,
)
from shared_models.language import say
from shared_models.protocol import API

ErrorPage = Callable[[int, str], Response]


@dataclass(frozen=True, slots=True)
class Problem:
    """How an error is answered."""

    status: int
    slug: str
    title: str
    headers: tuple[tuple[str, str], ...] = ()


# The nearest class of an error counts.
PROBLEMS: dict[type[Exception], Problem] = {
    NotConnectedError: Problem(
        401, "not-connected", "This device is not connected.", (("WWW-Authenticate", "Bearer"),)
    ),
    NotAllowedError: Problem(403, "not-allowed", "This is not allowed."),
    UnknownGroupError: Problem(404, "not-found", "There is no such thing here."),
    StartOverError: Problem(409, "cursor-reset", "Fetch everything again."),
    BadInputError: Problem(400, "bad-input", "What was sent cannot be taken."),
    TooLargeError: Problem(413, "too-large", "This is too much at once."),
    StoreError: Problem(
        503, "store-trouble", "The server's store does not answer.", (("Retry-After", "10"),)
    ),
}
OURS = Problem(500, "server-fault", "The server failed.")


def answer_errors(app: FastAPI, page: ErrorPage) -> None:
    """Answer every error of the app; `page` makes the page for a browser."""

    def answer(request: Request, error: Exception) -> Response:
        return _answer(request, problem_of(error), _sentence(error), _members(error), page)

    def unreadable(request: Request, error: Exception) -> Response:
        field = _field(error)
        sentence = say("“{field}” cannot be read; correct it.", field=field)
        return _answer(request, PROBLEMS[BadInputError], sentence, {"field": field}, page)

    def of_http(request: Request, error: Exception) -> Response:
        status = getattr(error, "status_code", 500)
        response = _answer(request, _problem_of_status(status), _sentence_of_status(status), {}, page)
        response.headers.update(getattr(error, "headers", None) or {})
        return response

    def hung_up(request: Request, error: Exception) -> Response:
        return Response(status_code=400)  # nobody hears it; as a fault of ours it would fill the log

    app.add_exception_handler(ClientDisconnect, hung_up)
    app.add_exception_handler(PomewardError, answer)
    app.add_exception_handler(RequestValidationError, unreadable)
    app.add_exception_handler(HTTPException, of_http)
    app.add_exception_handler(Exception, answer)


def problem_of(error: Exception) -> Problem:
    """The problem that an error is answered with."""
    known = (PROBLEMS[kind] for kind in type(error).__mro__ if kind in PROBLEMS)
    return next(known, OURS)


def _answer(
    request: Request, problem: Problem, sentence: str, members: dict[str, str], page: ErrorPage
) -> Response:
    headers = dict(problem.headers)
    if not request.url.path.startswith(API):
        response = page(problem.status, sentence)
        response.headers.update(headers)
        return response
    details: dict[str, Any] = {
        "type": f"/problems/{problem.slug}",
        "title": problem.title,
        "status": problem.status,
        "detail": sentence,
        **members,
    }
    return Response(
        orjson.dumps(details),
        problem.status,
        headers={"Cache-Control": "no-store", "X-Content-Type-Options": "nosniff", **headers},
        media_type="application/problem+json",
    )


def _members(error: Exception) -> dict[str, str]:
    """What a problem says beyond the usual: the place of a fault, the epoch under which to start over."""
    said = {name: getattr(error, name, None) for name in ("field", "epoch")}
    return {name: value for name, value in said.items() if value}


def _sentence(error: Exception) -> str:
    if isinstance(error, PomewardError):
        return str(error)
    return say(
        "The server failed on this request. Nothing of it was kept; try again, and tell who runs the server."
    )


def _field(error: Exception) -> str:
    errors = error.errors() if isinstance(error, RequestValidationError) else []
    return str(errors[0]["loc"][-1])[:40] if errors else "request"


def _problem_of_status(status: int) -> Problem:
    if status == 404:
        return PROBLEMS[UnknownGroupError]
    return Problem(status, "not-done-here", "This is not done here.")


def _sentence_of_status(status: int) -> str:
    if status == 404:
        return say("There is nothing at this address.")
    return say("This address does not take that kind of request.")

"""What came back over HTTP, made a message or an error of ours. The one table of the phone for statuses.

Whatever is not understood (the page of a hotspot, half an answer, a proxy's complaint) is "not reachable": the
outcome is unknown, everything is kept, and sending again is harmless.
"""

import ssl
from collections.abc import Iterator
from typing import TypeVar

import httpx
from pydantic import BaseModel, ValidationError

from mobile.sync.pinned import WrongKeyError
from shared_models.errors import (
    BadInputError,
    NotAllowedError,
    NotReachableError,
    PomewardError,
    StartOverError,
    TooLargeError,
)
from shared_models.language import say

M = TypeVar("M", bound=BaseModel)


class ServerFailedError(NotReachableError):
    """The server itself failed on what it was sent (500); something smaller may pass."""


class UntrustedServerError(NotReachableError):
    """What answers at the address did not prove to be the group's server. Nothing was sent to it."""


class _Problem(BaseModel):
    """Problem details (RFC 9457), as far as they are read here."""

    detail: str = ""
    field: str | None = None
    epoch: str | None = None


def message(kind: type[M], response: httpx.Response) -> M:
    """The message of an answer, or the error that it stands for."""
    if response.status_code != httpx.codes.OK:
        raise _error(response)
    try:
        return kind.model_validate_json(response.content)
    except ValidationError as error:
        raise NotReachableError(_not_from_pomeward()) from error


def unanswered(error: Exception) -> NotReachableError:
    """The error that a failed request stands for: nobody answered, only half, or somebody who is not the server."""
    causes = list(_causes(error)) if isinstance(error, httpx.ConnectError) else []
    if any(isinstance(cause, WrongKeyError) for cause in causes):
        return UntrustedServerError(_another_key())
    if any(isinstance(cause, ssl.SSLCertVerificationError) for cause in causes):
        return UntrustedServerError(_no_trusted_certificate())
    if any(isinstance(cause, ssl.SSLError) for cause in causes):
        return UntrustedServerError(_no_safe_connection())
    return unreachable()


def unreachable() -> NotReachableError:
    """Nobody answered, or only half."""
    return NotReachableError(
        say("The server cannot be reached. Everything is kept on this phone; it will be shared later.")
    )


def _error(response: httpx.Response) -> PomewardError:
    problem, status = _problem(response), response.status_code
    if status == httpx.codes.INTERNAL_SERVER_ERROR:
        return ServerFailedError(
            say("The server failed on what it was sent. Everything is kept on this phone; try again later.")
        )
    if status >= 500 or status == httpx.codes.TOO_MANY_REQUESTS:
        return NotReachableError(
            say("The server is busy or down. Everything is kept on this phone; it will be shared later."),
            _retry_after(response),
        )
    if status == httpx.codes.REQUEST_ENTITY_TOO_LARGE:
        return TooLargeError(say("This is more than the server takes at once."))
    if problem is None:  # a status without our details is somebody else's answer
        return NotReachableError(_not_from_pomeward())
    if status == httpx.codes.CONFLICT and problem.epoch:
        return StartOverError(problem.detail, problem.epoch)
    if status in (httpx.codes.UNAUTHORIZED, httpx.codes.FORBIDDEN):
        return NotAllowedError(problem.detail or _no_longer_connected())
    return BadInputError(problem.detail or say("The server did not take what it was sent."), problem.field)


def _retry_after(response: httpx.Response) -> float | None:
    """What the server asks for (RFC 9110, 10.2.3): seconds, or a date, which a phone's clock may not fit."""
    asked = response.headers.get("retry-after", "").strip()
    return float(asked) if asked.isascii() and asked.isdigit() and len(asked) < 10 else None


def _problem(response: httpx.Response) -> _Problem | None:
    if not response.headers.get("content-type", "").startswith("application/problem+json"):
        return None
    try:
        return _Problem.model_validate_json(response.content)
    except ValidationError:
        return None


def _causes(error: BaseException | None) -> Iterator[BaseException]:
    """The error and what led to it; the HTTP client cuts the chain of causes, but not what was being handled."""
    while error is not None:
        yield error
        error = error.__cause__ or error.__context__


def _another_key() -> str:
    return say(
        "What answers at this address has another key than the one that this phone was given for its server, so it "
        "may be somebody else. Nothing was sent to it, and everything is kept on this phone. Ask the coordinator "
        "whether the server was set up anew, and for a new connecting text."
    )


def _no_trusted_certificate() -> str:
    return say(
        "What answers at this address could not prove that it is this server. Nothing was sent to it, and everything "
        "is kept on this phone. Look whether this phone’s date is right; if so, tell the coordinator. A server at "
        "home is connected with the text that begins with “pomeward:”."
    )


def _no_safe_connection() -> str:
    return say(
        "No safe connection could be made with what answers at this address. Nothing was sent to it, and everything "
        "is kept on this phone. Compare the address, and tell the coordinator."
    )


def _not_from_pomeward() -> str:
    return say(
        "What answered at this address is no Pomeward server; perhaps the network first wants you to sign in. "
        "Everything is kept on this phone."
    )


def _no_longer_connected() -> str:
    return say(
        "This phone is no longer connected to its group. Everything is kept on it; connect it again with a new code."
    )

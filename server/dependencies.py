"""What a route is given: the services, the device that asks, the body of the request. Knows no route and no rule."""

import zlib
from dataclasses import dataclass
from typing import Annotated, cast

from anyio import CapacityLimiter
from fastapi import Depends, Query, Request

from server.database.engine import Database
from server.database.members import Device
from server.services.connecting import Connecting, not_connected
from server.services.exchange import Exchange
from server.services.looks import GroupLooks
from server.services.season_report import SeasonReports
from server.services.timings import Timings
from shared_models.errors import BadInputError, TooLargeError
from shared_models.language import say
from shared_models.protocol import HARD_LIMIT_BYTES
from shared_models.season.choice import Choice, Counted, Damage

_COOKIE = "pomeward"
_READ_TO_THE_END = 16 * HARD_LIMIT_BYTES  # a sender that is cut off before may never see our answer
_GZIP = 31  # zlib's window bits for a gzip header


@dataclass(frozen=True, slots=True)
class Services:
    """What one server process works with; `pushes` lets in as many at a time as get on best."""

    database: Database
    connecting: Connecting
    pushes: CapacityLimiter


async def services_of(request: Request) -> Services:
    """The services of the app that was asked."""
    return cast(Services, request.app.state.services)


OfServer = Annotated[Services, Depends(services_of)]


async def caller_of(request: Request) -> str:
    """The network address that asks, as far as it is known."""
    return request.client.host if request.client else ""


OfCaller = Annotated[str, Depends(caller_of)]


async def token_sent(request: Request) -> str:
    """The token that the request carries, whosever it is; NotConnectedError where there is none, before a body is read."""
    kind, _, token = request.headers.get("authorization", "").partition(" ")
    if kind.lower() != "bearer" or not token.strip():
        raise not_connected()
    return token.strip()


TokenSent = Annotated[str, Depends(token_sent)]


def device_with_token(token: TokenSent, services: OfServer) -> Device:
    """The device whose token the request carries; looked up every time, so that disconnecting works at once."""
    return services.connecting.device_of(token)


def is_encrypted(request: Request) -> bool:
    """Whether the browser's connection is, here or up to the proxy in front of this server."""
    return request.url.scheme == "https"


def cookie_name(request: Request) -> str:
    """Encrypted, a name that browsers tie to this very host; on loopback they would not take it."""
    return f"__Host-{_COOKIE}" if is_encrypted(request) else _COOKIE


def device_with_cookie(request: Request, services: OfServer) -> Device:
    """The device of a browser that was connected."""
    return services.connecting.device_of(request.cookies.get(cookie_name(request), ""))


TokenDevice = Annotated[Device, Depends(device_with_token)]
CookieDevice = Annotated[Device, Depends(device_with_cookie)]


async def exchange_of(services: OfServer, device: TokenDevice) -> Exchange:
    """The exchange of the device that asks."""
    return Exchange(services.database, device)


async def reports_of_token(services: OfServer, device: TokenDevice) -> SeasonReports:
    """The season reports of the group of the device that asks."""
    return SeasonReports(services.database, device.group)


async def reports_of_cookie(services: OfServer, device: CookieDevice) -> SeasonReports:
    """The season reports of the group of the browser that asks."""
    return SeasonReports(services.database, device.group)


async def looks_of_token(services: OfServer, device: TokenDevice) -> GroupLooks:
    """What is to be decided in the group of the device that asks."""
    return GroupLooks(services.database, device.group)


async def looks_of_cookie(services: OfServer, device: CookieDevice) -> GroupLooks:
    """What is to be decided in the group of the browser that asks."""
    return GroupLooks(services.database, device.group)


async def choice_of_query(
    garden: Annotated[str, Query(max_length=36)] = "",
    cultivar: Annotated[str, Query(max_length=200)] = "",
    damage: Damage = Damage.ANY,
    fruit: Counted = Counted.BEST,
) -> Choice:
    """What of a season is looked at, as the address says it; what is empty is not chosen."""
    return Choice(garden or None, cultivar or None, damage, fruit)


OfChoice = Annotated[Choice, Depends(choice_of_query)]


async def timings_of_token(services: OfServer, device: TokenDevice) -> Timings:
    """The timing of the group of the device that asks."""
    return Timings(services.database, device.group)


async def timings_of_cookie(services: OfServer, device: CookieDevice) -> Timings:
    """The timing of the group of the browser that asks."""
    return Timings(services.database, device.group)


async def body_of(request: Request) -> bytes:
    """The body of a request, unpacked; TooLargeError beyond the limit, which is counted while unpacking."""
    packing = request.headers.get("content-encoding", "identity").strip().lower()
    if packing not in ("identity", "gzip"):
        raise BadInputError(
            say("The body is packed as “{packing}”; send it plain or with gzip.", packing=packing[:20])
        )
    body = await _limited(request)
    return _unpacked(body) if packing == "gzip" else body


Body = Annotated[bytes, Depends(body_of)]


async def same_origin(request: Request) -> None:
    """A form is taken from our own pages only; BadInputError where another site sent it."""
    own = f"{request.url.scheme}://{request.headers.get('host', '')}"
    if request.headers.get("origin") != own:
        raise BadInputError(
            say(
                "This form did not come from this server's own page. Nothing was changed; open the page again."
            )
        )


SameOrigin = Depends(same_origin)


async def _limited(request: Request) -> bytes:
    parts, size = [], 0
    async for part in request.stream():
        size += len(part)
        if size > _READ_TO_THE_END:
            break
        if size <= HARD_LIMIT_BYTES:
            parts.append(part)
    if size > HARD_LIMIT_BYTES:
        raise _too_large()
    return b"".join(parts)


def _unpacked(body: bytes) -> bytes:
    unpacker = zlib.decompressobj(_GZIP)
    try:
        text = unpacker.decompress(body, HARD_LIMIT_BYTES + 1)
    except zlib.error:
        raise _damaged() from None
    if len(text) > HARD_LIMIT_BYTES:
        raise _too_large()
    if not unpacker.eof or unpacker.unused_data:
        raise _damaged()
    return text


def _too_large() -> TooLargeError:
    return TooLargeError(
        say(
            "This is more than {most} bytes; nothing of it was kept. Send less at a time.",
            most=HARD_LIMIT_BYTES,
        )
    )


def _damaged() -> BadInputError:
    return BadInputError(say("The body is no whole gzip file; nothing of it was kept. Send it again."))

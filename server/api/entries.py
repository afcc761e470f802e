"""POST /entries and GET /entries: push and pull. The group follows from the token and from nothing else."""

from typing import Annotated

from anyio import to_thread
from fastapi import APIRouter, Depends, Query, Request, Response

from server.api import answers
from server.api.descriptions import Push, takes
from server.dependencies import Body, OfServer, Services, TokenSent, exchange_of
from server.services.exchange import Exchange
from shared_models.protocol import MAX_PULL_ENTRIES, PullReply, PushReply

router = APIRouter()
OfDevice = Annotated[Exchange, Depends(exchange_of)]
# What the caller knows of the group's numbers; another one than the server's is answered with 409.
Epoch = Annotated[str, Query(max_length=40)]


@router.post("/entries", response_model=PushReply, openapi_extra=takes(Push))
async def push(token: TokenSent, body: Body, services: OfServer, epoch: Epoch = "") -> Response:
    """Take entries; each gets an answer of its own. gzip is taken."""
    asked = (services, token, body, epoch)
    return answers.text(await to_thread.run_sync(_push, *asked, limiter=services.pushes))


@router.get("/entries", response_model=PullReply)
def pull(
    exchange: OfDevice,
    request: Request,
    since: int = 0,
    limit: int = MAX_PULL_ENTRIES,
    epoch: Epoch = "",
) -> Response:
    """The entries numbered after `since`, without a hole. Who begins at 0 need not know an epoch."""
    return answers.packed_text(exchange.pull_text(since, limit, epoch), request)


def _push(services: Services, token: str, body: bytes, epoch: str) -> bytes:
    """Who asks and what is sent, in one go: a thread for each would cost a small push a tenth of its time."""
    return Exchange(services.database, services.connecting.device_of(token)).push_text(body, epoch)

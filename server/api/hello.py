"""GET /hello: who answers here and its limits. Needs no token."""

from fastapi import APIRouter, Response

from server.api import answers
from server.services.exchange import hello
from server.services.moments import now_utc
from shared_models.protocol import Hello

router = APIRouter()


@router.get("/hello", response_model=Hello)
async def say_hello() -> Response:
    """Who answers, which version of the protocol it speaks, and how much it takes at once."""
    return answers.message(hello(now_utc()))

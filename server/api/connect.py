"""POST /connect: a one-time code becomes a device's token."""

from fastapi import APIRouter, Response
from pydantic import ValidationError

from server.api import answers
from server.api.descriptions import takes
from server.dependencies import Body, OfCaller, OfServer
from shared_models.errors import BadInputError
from shared_models.protocol import ConnectReply, ConnectRequest
from shared_models.records.refusals import complaints

router = APIRouter()


@router.post("/connect", response_model=ConnectReply, openapi_extra=takes(ConnectRequest))
def connect(services: OfServer, caller: OfCaller, body: Body) -> Response:
    """Connect a device. The token is shown this once."""
    return answers.message(services.connecting.connect(_request(body), caller))


def _request(body: bytes) -> ConnectRequest:
    try:
        return ConnectRequest.model_validate_json(body)
    except ValidationError as error:
        first = complaints(error)[0]
        raise BadInputError(first.sentence, first.field) from error

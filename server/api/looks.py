"""GET /looks: what the people of the group have to decide. Every member may see it; deciding is done on a phone."""

from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response

from server.api import answers
from server.dependencies import looks_of_token
from server.services.looks import GroupLooks
from shared_models.look_words import ToldLooks

router = APIRouter()
OfGroup = Annotated[GroupLooks, Depends(looks_of_token)]


@router.get("/looks", response_model=ToldLooks)
def looks(of_group: OfGroup, request: Request) -> Response:
    """Edits that did not know of each other, with both values, and traps that were counted twice."""
    return answers.packed_text(of_group.told().model_dump_json(), request)

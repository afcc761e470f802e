"""GET /timing/{season}: when, in all gardens of a season, as known on a day."""

from typing import Annotated

from fastapi import APIRouter, Depends, Query, Request, Response

from server.api import answers
from server.dependencies import timings_of_token
from server.services.timings import Timings
from shared_models.timing.parts import SeasonTiming

router = APIRouter()
OfGroup = Annotated[Timings, Depends(timings_of_token)]


@router.get("/timing/{season}", response_model=SeasonTiming)
def timing(
    season: str, timings: OfGroup, request: Request, day: Annotated[str | None, Query(max_length=20)] = None
) -> Response:
    """Degree-days, biofix and what comes next; 2025/26 is written 2025-26, and no day means today in UTC."""
    return answers.packed_text(timings.timing(season, day).model_dump_json(), request)

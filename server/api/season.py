"""GET /season and GET /season/{key}: which seasons there are, and the report of one."""

from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response
from pydantic import BaseModel

from server.api import answers
from server.dependencies import reports_of_token
from server.services.season_report import SeasonReports
from shared_models.reports import SeasonReport

router = APIRouter()
OfGroup = Annotated[SeasonReports, Depends(reports_of_token)]


class SeasonKeys(BaseModel):
    """The seasons that the group has anything for."""

    seasons: list[str]


@router.get("/season", response_model=SeasonKeys)
def seasons(reports: OfGroup) -> Response:
    """The keys of the seasons that the group has anything for."""
    return answers.message(SeasonKeys(seasons=reports.keys()))


@router.get("/season/{key}", response_model=SeasonReport)
def season(key: str, reports: OfGroup, request: Request) -> Response:
    """The report of a season; 2025/26 is written 2025-26."""
    return answers.packed_text(reports.report(key).model_dump_json(), request)

"""GET /season, /season/{key}, its tables as CSV, and /years: which seasons there are, and reports of one and of several."""

from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response
from pydantic import BaseModel

from server.api import answers
from server.dependencies import OfChoice, reports_of_token
from server.services.season_report import SeasonReports
from shared_models.reports import SeasonReport
from shared_models.seasons import Hemisphere
from shared_models.years_report import YearsReport

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
def season(key: str, reports: OfGroup, choice: OfChoice, request: Request) -> Response:
    """The report of a season, or of one garden, cultivar, damage or fruit of it; 2025/26 is written 2025-26."""
    return answers.packed_text(reports.report(key, choice).model_dump_json(), request)


@router.get("/season/{key}/{table}.csv", response_class=Response)
def season_table(key: str, table: str, reports: OfGroup, choice: OfChoice) -> Response:
    """One table of the report as CSV (RFC 4180, UTF-8): mixes, trees, contrasts, costs or traps."""
    return answers.csv_table(reports.table(key, table, choice), f"{key}-{table}")


@router.get("/years", response_model=YearsReport)
def years(reports: OfGroup, request: Request, half: Hemisphere | None = None) -> Response:
    """Seasons side by side and together, what each tree gave for its work, traps of two seasons."""
    return answers.packed_text(reports.years(half).model_dump_json(), request)

"""The pages beside a season: its tables as files, several years together, and what a number of trees can show."""

from typing import Annotated

from fastapi import APIRouter, Depends, Query, Response

from server.dependencies import OfChoice, reports_of_cookie
from server.services.moments import now_utc
from server.services.season_report import SeasonReports
from server.web.pages import NameOfGroup
from server.web.rendering import HEADERS, page
from shared_models import planning_words, report_lists, year_words
from shared_models.season.planning import planned
from shared_models.season.report_parts import UsualFrom
from shared_models.seasons import Hemisphere

router = APIRouter(include_in_schema=False)
OfBrowser = Annotated[SeasonReports, Depends(reports_of_cookie)]
_Of100 = Annotated[int, Query(ge=1, le=100)]


@router.get("/season/{key}/{table}.csv")
def season_table(key: str, table: str, reports: OfBrowser, choice: OfChoice) -> Response:
    """One table of the report, to be kept as a file."""
    content = reports.table(key, table, choice)
    headers = {**HEADERS, "Content-Disposition": f'attachment; filename="pomeward-{key}-{table}.csv"'}
    return Response(content.encode(), media_type="text/csv; charset=utf-8; header=present", headers=headers)


@router.get("/years")
def years(reports: OfBrowser, group: NameOfGroup, half: Hemisphere | None = None) -> Response:
    """Seasons side by side and together, the ledger of trees, traps of two seasons."""
    report = reports.years(half)
    gardens = {line.garden for line in report.trees}
    return page(
        "years.html",
        group=group,
        report=report,
        methods={method.key: method for method in report.methods},
        invented=report_lists.is_invented(group, gardens),
        shared_until=shared_until(now_utc()),
        tell=year_words,
    )


@router.get("/plan")
def plan(
    group: NameOfGroup,
    trees: Annotated[int, Query(ge=1, le=1000)] = 8,
    fruit: Annotated[int, Query(ge=1, le=1000)] = 30,
    usual: _Of100 = 30,
    likeness: _Of100 = 10,
    comparisons: Annotated[int, Query(ge=1, le=50)] = 1,
) -> Response:
    """What a number of trees can show, reckoned with numbers of choice."""
    found = planned(usual / 100, UsualFrom.TYPED, likeness / 100, fruit, comparisons, (trees,))
    return page("plan.html", group=group, found=found, trees=trees, planning=planning_words)


def shared_until(moment: str) -> str:
    """A moment as the pages show it."""
    return f"{moment[:10]} {moment[11:16]} UTC"

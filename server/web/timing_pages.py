"""The page of timing: degree-days, biofix and what comes next, garden by garden. Parse, call a service, draw."""

from typing import Annotated

from fastapi import APIRouter, Depends, Query, Response

from server.dependencies import timings_of_cookie
from server.services.timings import Timings
from server.web.pages import NameOfGroup
from server.web.rendering import page
from shared_models import timing_text, timing_words
from shared_models.report_lists import is_invented

router = APIRouter(include_in_schema=False)
OfBrowser = Annotated[Timings, Depends(timings_of_cookie)]


@router.get("/timing")
def seasons(timings: OfBrowser, group: NameOfGroup) -> Response:
    """The seasons to choose from."""
    listed = [(key, key.replace("/", "-")) for key in reversed(timings.keys())]
    return page("timing_seasons.html", group=group, seasons=listed)


@router.get("/timing/{season}")
def timing(
    season: str,
    timings: OfBrowser,
    group: NameOfGroup,
    day: Annotated[str | None, Query(max_length=20)] = None,
) -> Response:
    """One season, as known on a day."""
    found = timings.timing(season, day)
    return page(
        "timing.html",
        group=group,
        timing=found,
        invented=is_invented(group, [garden.name for garden in found.gardens]),
        tell=timing_words,
        lay=timing_text,
    )

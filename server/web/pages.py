"""The pages: connect a browser, choose a season, read it. Parse, call a service, draw."""

from typing import Annotated

from fastapi import APIRouter, Depends, Form, Query, Request, Response
from fastapi.responses import HTMLResponse, RedirectResponse

from server.dependencies import (
    CookieDevice,
    OfCaller,
    OfChoice,
    OfServer,
    SameOrigin,
    cookie_name,
    is_encrypted,
    looks_of_cookie,
    reports_of_cookie,
)
from server.services.looks import GroupLooks
from server.services.moments import now_utc
from server.services.season_report import SeasonReports
from server.web.rendering import HEADERS, page
from server.web.season_page import season_page
from shared_models.errors import NotAllowedError
from shared_models.language import spoken, word
from shared_models.vocabulary import Role

router = APIRouter(include_in_schema=False)
OfBrowser = Annotated[SeasonReports, Depends(reports_of_cookie)]
LooksOfBrowser = Annotated[GroupLooks, Depends(looks_of_cookie)]


def name_of_group(services: OfServer, device: CookieDevice) -> str:
    """The name of the browser's group."""
    return services.connecting.group(device.group).name


NameOfGroup = Annotated[str, Depends(name_of_group)]
_ROLES = {Role.KEEPER: word("keeper"), Role.COORDINATOR: word("coordinator"), Role.VIEWER: word("viewer")}
CONNECTED_FOR = 400 * 86_400  # seconds; browsers keep no cookie longer


@router.get("/")
def start() -> Response:
    """The way in."""
    return RedirectResponse("/season", 303, headers=HEADERS)


@router.get("/connect")
def connect_form(services: OfServer, code: Annotated[str, Query(max_length=40)] = "") -> Response:
    """A form with the code filled in, which says whose device this browser becomes. Uses nothing up."""
    if not code:
        return _form()
    try:
        welcome = services.connecting.welcome(code)
    except NotAllowedError as error:
        return _form(403, trouble=str(error))
    return _form(code=code, group=welcome.group_name, role=spoken(_ROLES[welcome.role]))


@router.post("/connect", dependencies=[SameOrigin])
def connect_browser(
    request: Request,
    services: OfServer,
    caller: OfCaller,
    code: Annotated[str, Form(max_length=40)],
    name: Annotated[str, Form(max_length=60)] = "",
) -> Response:
    """Make this browser a device of the code's group."""
    try:
        token = services.connecting.connect_browser(code, name, caller)
    except NotAllowedError as error:
        return _form(403, trouble=str(error))
    answer = RedirectResponse("/season", 303, headers=HEADERS)
    answer.set_cookie(
        cookie_name(request),
        token,
        max_age=CONNECTED_FOR,
        path="/",
        secure=is_encrypted(request),
        httponly=True,
        samesite="lax",
    )
    return answer


@router.get("/season")
def seasons(reports: OfBrowser, group: NameOfGroup) -> Response:
    """The seasons to choose from."""
    listed = [(key, key.replace("/", "-")) for key in reversed(reports.keys())]
    return page("seasons.html", group=group, seasons=listed)


@router.get("/season/{key}")
def season(
    key: str, reports: OfBrowser, group: NameOfGroup, choice: OfChoice, looks: LooksOfBrowser
) -> Response:
    """One season, or a part of it: charts, tables and what is to be read with them."""
    page = season_page(reports.look(key, choice), now_utc(), group, looks.told())
    return HTMLResponse(page, headers=HEADERS)


def _form(status: int = 200, code: str = "", group: str = "", role: str = "", trouble: str = "") -> Response:
    return page("connect.html", status, code=code, group=group, role=role, trouble=trouble)

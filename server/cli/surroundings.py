"""What every command works with: the settings of the environment, the services opened for one command."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Annotated

import typer
from pydantic import ValidationError

from server.app import open_services
from server.dependencies import Services
from server.services.season_report import SeasonReports
from server.settings import PREFIX, Settings, settings_from
from shared_models.errors import BadInputError
from shared_models.language import say

GroupName = Annotated[str, typer.Argument(metavar="GROUP", help="The group's name or id.")]


def settings_here() -> Settings:
    """The settings of the environment; BadInputError names the one that cannot be taken."""
    try:
        return settings_from()
    except ValidationError as error:
        name = str(error.errors()[0]["loc"][0])
        raise BadInputError(
            say("The setting {name} cannot be taken; correct it.", name=PREFIX + name.upper()), name
        ) from error


@contextmanager
def open_here() -> Iterator[Services]:
    """The services, closed at the end of the block."""
    services = open_services(settings_here())
    try:
        yield services
    finally:
        services.database.close()


@contextmanager
def reports_of(group: str) -> Iterator[SeasonReports]:
    """The season reports of a group."""
    with open_here() as services:
        yield SeasonReports(services.database, services.connecting.group(group).id)

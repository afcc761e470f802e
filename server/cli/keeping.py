"""Commands that look after the server's own data."""

from typing import Annotated

import typer

from server.cli.surroundings import GroupName, open_here, reports_of
from server.services import audit as audits
from shared_models.language import say


def rebuild(group: GroupName) -> None:
    """Fold all records of a group anew from its log."""
    with reports_of(group) as reports:
        records = reports.rebuild()
    print(say("Folded {count} records anew.", count=records))


def audit(
    group: Annotated[
        str | None, typer.Argument(metavar="GROUP", help="The group's name or id; all if none.")
    ] = None,
) -> None:
    """Print who connected, failed to, was disconnected, and what was done to the data; oldest first."""
    with open_here() as services:
        found = audits.told(services.database, services.connecting.group(group).id if group else None)
    for line in found:
        print(line)

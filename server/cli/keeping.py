"""Commands that look after the server's own data."""

from server.cli.surroundings import GroupName, reports_of
from shared_models.language import say


def rebuild(group: GroupName) -> None:
    """Fold all records of a group anew from its log."""
    with reports_of(group) as reports:
        records = reports.rebuild()
    print(say("Folded {count} records anew.", count=records))

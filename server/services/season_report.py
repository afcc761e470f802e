"""The season report of a group, made from the state of this moment. Computes nothing itself."""

from server.database import season
from server.database.engine import Database
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.reports import SeasonReport, season_report
from shared_models.seasons import is_season_key


class SeasonReports:
    """The reports of one group."""

    def __init__(self, database: Database, group: str) -> None:
        self._database = database
        self._group = group

    def keys(self) -> list[str]:
        """The seasons that the group has anything for."""
        with self._database.writing() as connection:
            return season.season_keys(connection, self._group)

    def report(self, written_key: str) -> SeasonReport:
        """The report of a season; in an address the stroke of 2025/26 is written 2025-26. BadInputError if none."""
        key = season_key_of(written_key)
        with self._database.writing() as connection:
            records = season.season_records(connection, self._group, key)
        return season_report(records)

    def rebuild(self) -> int:
        """Fold everything anew from the log; returns the number of records."""
        with self._database.writing() as connection:
            return season.rebuild(connection, self._group)


def season_key_of(written: str) -> str:
    """The key of a season as it stands in an address; BadInputError where it names none."""
    key = written.replace("-", "/")
    if not is_season_key(key):
        raise BadInputError(
            say("“{key}” names no season; write 2026 in the north or 2026/27 in the south.", key=key[:20]),
            "season",
        )
    return key

"""When: the timing of a group's gardens in a season, made from the state of this moment. Computes nothing itself."""

from datetime import UTC, date, datetime

from server.database import season
from server.database.engine import Database
from server.services.season_report import season_key_of
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.timing.garden_timing import season_timing
from shared_models.timing.parts import SeasonTiming


class Timings:
    """The timing of one group's gardens."""

    def __init__(self, database: Database, group: str) -> None:
        self._database = database
        self._group = group

    def keys(self) -> list[str]:
        """The seasons that the group has anything for."""
        with self._database.writing() as connection:
            return season.season_keys(connection, self._group)

    def timing(self, written_key: str, written_day: str | None = None) -> SeasonTiming:
        """The timing of a season on a day (today in UTC, where none is given); BadInputError where either is none."""
        key, day = season_key_of(written_key), _day(written_day)
        with self._database.writing() as connection:
            ground = season.season_ground(connection, self._group, key)
        return season_timing(ground, day)


def _day(written: str | None) -> date:
    if not written:
        return datetime.now(UTC).date()
    try:
        return date.fromisoformat(written)
    except ValueError:
        raise BadInputError(
            say("“{value}” is no day; write it as 2026-05-31.", value=written[:20]), "day"
        ) from None

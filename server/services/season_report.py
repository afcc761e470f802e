"""The season report of a group, made from the state of this moment. Computes nothing itself."""

from dataclasses import dataclass

from server.database import season
from server.database.engine import Database
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.report_csv import TABLES, table
from shared_models.reports import SeasonReport, season_report
from shared_models.season.choice import EVERYTHING, Choice
from shared_models.season.offered import Offered, offered
from shared_models.seasons import Hemisphere, is_season_key
from shared_models.years_report import YearsReport, seasons_to_look_at, years_report


@dataclass(frozen=True, slots=True)
class LookedAt:
    """A report, what was chosen for it, and what else could be."""

    report: SeasonReport
    offered: Offered
    choice: Choice


class SeasonReports:
    """The reports of one group."""

    def __init__(self, database: Database, group: str) -> None:
        self._database = database
        self._group = group

    def keys(self) -> list[str]:
        """The seasons that the group has anything for."""
        with self._database.writing() as connection:
            return season.season_keys(connection, self._group)

    def report(self, written_key: str, choice: Choice = EVERYTHING) -> SeasonReport:
        """The report of a season, or of what is chosen of it; in an address the stroke of 2025/26 is written 2025-26.

        BadInputError where there is no such season or garden.
        """
        return self.look(written_key, choice).report

    def look(self, written_key: str, choice: Choice = EVERYTHING) -> LookedAt:
        """The same with what else could be chosen."""
        key = season_key_of(written_key)
        with self._database.writing() as connection:
            records = season.season_records(connection, self._group, key)
        could_be = offered(records)
        if choice.garden and choice.garden not in dict(could_be.gardens):
            raise BadInputError(
                say("There is no such garden in this season; choose one of the list."), "garden"
            )
        return LookedAt(season_report(records, choice), could_be, choice)

    def table(self, written_key: str, name: str, choice: Choice = EVERYTHING) -> str:
        """One table of the report as CSV; BadInputError where there is none of that name."""
        if name not in TABLES:
            names = ", ".join(sorted(TABLES))
            raise BadInputError(
                say("There is no table of that name; there are {names}.", names=names), "table"
            )
        return table(self.report(written_key, choice), name)

    def years(self, half: Hemisphere | None = None) -> YearsReport:
        """The report over the newest seasons of one half of the earth: the one named, else that of most seasons."""
        with self._database.writing() as connection:
            keys = season.season_keys(connection, self._group)
            halves = [half] if half else list(Hemisphere)
            records = {
                one: [
                    season.season_records(connection, self._group, key)
                    for key in seasons_to_look_at(keys, one)
                ]
                for one in halves
            }
        made = [years_report(records[one], one) for one in halves]
        return max(made, key=lambda report: len(report.seasons))

    def rebuild(self) -> int:
        """Fold everything anew from the log; returns the number of records."""
        with self._database.writing() as connection:
            return season.rebuild(connection, self._group)


def season_key_of(written: str) -> str:
    """The key of a season as it stands in an address; BadInputError where it names none."""
    key = written.replace("-", "/")
    if not is_season_key(key):
        raise BadInputError(
            say(
                "“{key}” names no season; write 2026 in the north or 2026/27 in the south.", key=written[:20]
            ),
            "season",
        )
    return key

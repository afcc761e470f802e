"""Importing picking scores from a table into a group. Writes through the exchange, as one device of the group.

Shows what it understood before it writes; where any line is bad it writes nothing.
"""

from server.database.engine import Database
from server.database.records import GroupRecords
from server.services.import_writing import bodies_of, push_import
from shared_models.errors import BadInputError
from shared_models.language import say_many
from shared_models.score_table.ground import Asked
from shared_models.score_table.planning import ImportPlan, plan_import
from shared_models.score_table.reading import ScoreTable


class ScoreImports:
    """Imports of scores into one group."""

    def __init__(self, database: Database, group: str) -> None:
        self._database = database
        self._group = group

    def understood(self, table: ScoreTable, asked: Asked) -> ImportPlan:
        """What importing the table would do; writes nothing."""
        with self._database.writing() as connection:
            return plan_import(table, GroupRecords(connection, self._group), asked)

    def write(self, table: ScoreTable, asked: Asked) -> ImportPlan:
        """Import the table; BadInputError where a line is bad, and nothing is written then. Returns what was written."""
        with self._database.writing() as connection:
            records = GroupRecords(connection, self._group)
            plan = plan_import(table, records, asked)
            _refuse_bad_lines(plan)
            bodies = bodies_of(self._group, records, plan.changes)
        push_import(self._database, self._group, bodies)
        return plan


def _refuse_bad_lines(plan: ImportPlan) -> None:
    if plan.bad:
        raise BadInputError(
            say_many(
                "{count} line of the table is bad; nothing was written. Line {line}: {sentence}",
                "{count} lines of the table are bad; nothing was written. The first is line {line}: {sentence}",
                len(plan.bad),
                line=plan.bad[0].line,
                sentence=plan.bad[0].sentence,
            ),
            plan.bad[0].column,
        )

"""Importing daily temperatures from a table into a group. Writes through the exchange, as one device of the group."""

from server.database.engine import Database
from server.database.records import GroupRecords
from server.services.import_writing import bodies_of, push_import
from shared_models.temperature_table.planning import TemperaturePlan, plan_temperatures
from shared_models.temperature_table.rows import AskedOfTable, TemperatureTable


class TemperatureImports:
    """Imports of temperatures into one group."""

    def __init__(self, database: Database, group: str) -> None:
        self._database = database
        self._group = group

    def understood(self, table: TemperatureTable, asked: AskedOfTable) -> TemperaturePlan:
        """What importing the table would do; writes nothing."""
        with self._database.writing() as connection:
            return plan_temperatures(table, GroupRecords(connection, self._group), asked)

    def write(self, table: TemperatureTable, asked: AskedOfTable) -> TemperaturePlan:
        """Import the good lines of the table; returns what was written."""
        with self._database.writing() as connection:
            records = GroupRecords(connection, self._group)
            plan = plan_temperatures(table, records, asked)
            bodies = bodies_of(self._group, records, plan.changes)
        push_import(self._database, self._group, bodies)
        return plan

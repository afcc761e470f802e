"""Importing daily temperatures from a table on the phone: shows what it understood, then records it. No file chooser.

Offers `TemperatureImport`.
"""

from mobile.storage.drafts import Draft
from mobile.storage.phone_store import PhoneStore
from shared_models.temperature_table.planning import TemperaturePlan, plan_temperatures
from shared_models.temperature_table.preview import temperature_preview
from shared_models.temperature_table.reading import read_temperature_file
from shared_models.temperature_table.rows import AskedOfTable

NOTHING_ASKED = AskedOfTable()


class TemperatureImport:
    """One table that somebody chose; BadInputError where it is no table of temperatures."""

    def __init__(self, store: PhoneStore, content: bytes, asked: AskedOfTable = NOTHING_ASKED) -> None:
        self._store = store
        self._asked = asked
        self._table = read_temperature_file(content, asked)

    def understood(self) -> TemperaturePlan:
        """What recording the table would do; BadInputError where it is left open which garden is meant."""
        return plan_temperatures(self._table, self._store, self._asked)

    def preview(self) -> str:
        """The same in plain lines, for checking before anything is recorded."""
        return temperature_preview(self.understood())

    def record(self) -> int:
        """Record the good lines in one transaction; returns how many entries were written."""
        drafts = [Draft(change.kind, change.fields, change.rec) for change in self.understood().changes]
        return len(self._store.record_all(drafts))

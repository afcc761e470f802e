"""What waits on this phone for somebody to decide: blind edits, and traps that were counted twice. Writes nothing.

Both are found by an index, so that they can be counted after every touch however much the phone holds.
"""

from collections.abc import Sequence

from mobile.storage.database import Database
from shared_models.blind_edits import BlindEdit
from shared_models.entries import Entry
from shared_models.season.double_counts import DoubleCount
from shared_models.store import looks
from shared_models.store.tables import OWN_GROUP


class Looks:
    """What needs the eyes of a person because two did not know of each other."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def blind_edits(self, recs: Sequence[str] | None = None) -> list[BlindEdit]:
        """Blind edits that nobody has settled, of these records or of all."""
        with self._database.reading() as core:
            return looks.open_blind_edits(core, OWN_GROUP, recs)

    def heads(self, rec: str, field: str) -> list[Entry]:
        """What was said of a field and replaced by nobody, oldest first; the last is what stands."""
        with self._database.reading() as core:
            return looks.open_heads(core, OWN_GROUP, rec, field)

    def double_counts(self, trap: str | None = None) -> list[DoubleCount]:
        """Traps counted twice that nobody has decided: one trap, or all."""
        with self._database.reading() as core:
            found = looks.open_double_counts(core, OWN_GROUP)
        return [one for one in found if trap in (None, one.trap)]

    def count(self) -> int:
        """How many there are of both."""
        with self._database.reading() as core:
            edits = looks.count_open_blind_edits(core, OWN_GROUP)
            return edits + len(looks.open_double_counts(core, OWN_GROUP))

"""What waits on this phone for somebody to decide: blind edits, and traps that were counted twice. Writes nothing.

Both are counted after every touch. Records that were edited blind stand in an index; of visits to traps only those that
are new since the last time are looked at, since years of them took longer than the touch.
"""

from collections.abc import Sequence

from sqlalchemy import Connection, text

from mobile.storage.database import Database
from shared_models.blind_edits import BlindEdit
from shared_models.entries import Entry
from shared_models.season.double_counts import DoubleCount
from shared_models.store import looks
from shared_models.store.tables import OWN_GROUP

# The newest row of the log, and how many stand aside: what is in the fold changes with one of them.
_LOG = text("SELECT coalesce(max(rowid), 0), (SELECT count(*) FROM entry WHERE aside IS 1) FROM entry")
_NEW_VISITS = text("SELECT DISTINCT rec FROM entry WHERE rowid > :seen AND kind = 'trap_visit'")


class Looks:
    """What needs the eyes of a person because two did not know of each other."""

    def __init__(self, database: Database) -> None:
        self._database = database
        self._seen: tuple[int, int] | None = None
        self._claims: set[str] = set()

    def blind_edits(self, recs: Sequence[str] | None = None) -> list[BlindEdit]:
        """Blind edits that nobody has settled, of these records or of all."""
        with self._database.reading() as core:
            return looks.open_blind_edits(core, OWN_GROUP, recs)

    def heads(self, rec: str, field: str) -> list[Entry]:
        """What was said of a field and replaced by nobody, oldest first; the last is what stands."""
        with self._database.reading() as core:
            return looks.open_heads(core, OWN_GROUP, rec, field)

    def double_counts(self) -> list[DoubleCount]:
        """Traps counted twice that nobody has decided."""
        with self._database.reading() as core:
            return self._double_counts(core)

    def count(self) -> int:
        """How many there are of both."""
        with self._database.reading() as core:
            return looks.count_open_blind_edits(core, OWN_GROUP) + len(self._double_counts(core))

    def _double_counts(self, core: Connection) -> list[DoubleCount]:
        newest, aside = core.execute(_LOG).one()
        if self._seen is None or self._seen[1] != aside:
            self._claims = looks.shared_claims(core, OWN_GROUP)
        elif self._seen[0] != newest:
            new = core.execute(_NEW_VISITS, {"seen": self._seen[0]}).scalars().all()
            self._claims |= looks.shared_claims(core, OWN_GROUP, new) if new else set()
        self._seen = newest, aside
        return looks.open_double_counts(core, OWN_GROUP, self._claims)

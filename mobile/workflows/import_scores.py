"""Importing picking scores from a table on the phone: shows what it understood, then records it. Knows no file chooser."""

from mobile.storage.drafts import Draft
from mobile.storage.phone_store import PhoneStore
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.score_table.ground import Asked
from shared_models.score_table.planning import ImportPlan, plan_import
from shared_models.score_table.preview import preview
from shared_models.score_table.reading import ScoreTable, read_score_file

NOTHING_ASKED = Asked()


class ScoreImport:
    """One table that somebody chose."""

    def __init__(self, store: PhoneStore, content: bytes, asked: Asked = NOTHING_ASKED) -> None:
        self._store = store
        self._asked = asked
        self._table: ScoreTable = read_score_file(content)

    def understood(self) -> ImportPlan:
        """What recording the table would do; BadInputError where garden or season are left open."""
        return plan_import(self._table, self._store, self._asked)

    def preview(self) -> str:
        """The same in plain lines, for checking before anything is recorded."""
        return preview(self.understood())

    def record(self) -> int:
        """Record the table, all of it or nothing; returns how many entries were written."""
        plan = self.understood()
        if plan.bad:
            raise BadInputError(
                say(
                    "A line of the table is bad; nothing was recorded. Correct the table and import it again."
                ),
                plan.bad[0].column,
            )
        drafts = [Draft(change.kind, change.fields, change.rec) for change in plan.changes]
        return len(self._store.record_all(drafts))

"""When the content that a record now has was said last; for records that have to be said before something is known.

"A record keeps the time of its first entry; what it says may be younger." An edit is dated by the id of the entry
that won the field: a phone makes ids later than every stamp that it has seen, whatever its own clock says, and ids
are all that is kept of edits on phone and server alike.
"""

from collections.abc import Iterable
from datetime import datetime, timedelta

from shared_models.fold import DELETED, FoldedRecord
from shared_models.identifiers import is_derived, made_ms


def last_word(folded: FoldedRecord, names: Iterable[str]) -> str:
    """The instant at which one of these fields was last set, or the record undone or taken back; at least `entered`."""
    winners = (folded.winners.get(name) for name in (*names, DELETED))
    edits = [winner for winner in winners if winner and winner != folded.rec and not is_derived(winner)]
    said = datetime.fromisoformat(folded.entered)
    zone = said.tzinfo
    epoch = datetime.fromisoformat("1970-01-01T00:00:00+00:00")
    latest = max(
        [said, *((epoch + timedelta(milliseconds=made_ms(edit))).astimezone(zone) for edit in edits)]
    )
    return folded.entered if latest == said else latest.isoformat(timespec="milliseconds")

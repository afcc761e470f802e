"""When the content that a record now has was said last; for records that have to be said before something is known.

"A record keeps the time of its first entry; what it says may be younger." An edit is dated by the id of the entry
that won the field: a phone makes ids later than every stamp that it has seen, whatever its own clock says, and ids
are all that is kept of edits on phone and server alike.
"""

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta

from shared_models.fold import DELETED, FoldedRecord
from shared_models.identifiers import is_derived, made_ms

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def last_word(folded: FoldedRecord, names: Iterable[str]) -> str:
    """The instant at which one of these fields was last set, or the record undone or taken back; at least `entered`."""
    first = _first_entry(folded)
    winners = {folded.winners.get(name) for name in (*names, DELETED)}
    edits = [one for one in winners if one and one != first and not is_derived(one)]
    said = datetime.fromisoformat(folded.entered)
    edited = [(_EPOCH + timedelta(milliseconds=made_ms(one))).astimezone(said.tzinfo) for one in edits]
    latest = max([said, *edited])
    return folded.entered if latest == said else latest.isoformat(timespec="milliseconds")


def _first_entry(folded: FoldedRecord) -> str:
    """The entry that made the record: of its own id, or the earliest that is left where that id was derived.

    Phones that import one table come to one derived id, and each makes its entry under an id of its own.
    """
    if not is_derived(folded.rec):
        return folded.rec
    return min(folded.winners.values(), default=folded.rec)

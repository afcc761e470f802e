"""What is written beside an edit, so that it settles what its phone knows to be open. Pure; knows no database.

An entry names one other that it replaces. Where two were said blind and both are here, whoever sets the field anew has
seen both: the new value is written in place of each.
"""

from collections.abc import Iterator, Sequence

from mobile.storage.drafts import Draft
from shared_models.blind_edits import heads
from shared_models.entries import Entry
from shared_models.fold import FoldedRecord, in_order
from shared_models.records.kinds import THAT_CHANGE, is_known


def settling(draft: Draft, told: Sequence[Entry], earlier: FoldedRecord | None) -> Iterator[Draft]:
    """The value in place of each other open one; nothing for nearly every edit, and where a decision says it itself."""
    if earlier is None or not earlier.blind or draft.replaces or draft.kind not in THAT_CHANGE:
        return
    ordered = in_order(entry for entry in told if is_known(entry.kind, entry.v))
    for name in sorted(set(earlier.blind) & set(draft.fields)):
        value = draft.fields[name]
        for lost in heads(ordered, name)[:-1]:
            if lost.f[name] != value:
                yield Draft(draft.kind, {name: value}, draft.rec, {name: lost.id})

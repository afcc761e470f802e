"""What somebody wants to record, checked and made an entry. Knows no database."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from pydantic import ValidationError

from mobile.storage.facts import Identity
from shared_models.entries import Entry, SealedEntry, seal, with_plain_numbers
from shared_models.errors import BadInputError
from shared_models.fold import FoldedRecord, replaced_by
from shared_models.language import say
from shared_models.records.kinds import KINDS, check_fields
from shared_models.records.refusals import complaints


@dataclass(frozen=True, slots=True)
class Draft:
    """Fields to set on a record: a new one (`rec` None, or an id that has no entry yet), or one that is there.

    `replaces` names for each field the entry whose value is replaced, where that is not the one that stands.
    """

    kind: str
    fields: dict[str, Any]
    rec: str | None = None
    replaces: Mapping[str, str] | None = None


@dataclass(frozen=True, slots=True)
class Circumstances:
    """Who makes an entry, when, under which id and stamp."""

    author: Identity
    now: datetime
    entry_id: str
    stamp: str


def sealed(draft: Draft, made: Circumstances, creates: bool, earlier: FoldedRecord | None) -> SealedEntry:
    """The entry of a draft, its bytes fixed for life; BadInputError where a field cannot be taken."""
    fields = with_plain_numbers(draft.fields)
    _check(draft.kind, fields, creates, earlier)
    try:
        entry = Entry(
            id=made.entry_id,
            rec=draft.rec or made.entry_id,
            kind=draft.kind,
            v=KINDS[draft.kind].version,
            f=fields,
            prev=dict(draft.replaces) if draft.replaces else replaced_by(earlier, fields),
            entered=made.now.isoformat(timespec="seconds"),
            tz=made.author.zone,
            by=made.author.person,
            device=made.author.device,
            stamp=made.stamp,
        )
    except ValidationError as error:
        complaint = complaints(error)[0]
        raise BadInputError(complaint.sentence, complaint.field) from error
    return seal(entry)


def _check(kind: str, fields: dict[str, Any], creates: bool, earlier: FoldedRecord | None) -> None:
    if kind not in KINDS:
        raise BadInputError(say("This app keeps no records of the kind “{kind}”.", kind=kind), "kind")
    if earlier is not None and earlier.kind != kind:
        raise BadInputError(
            say("This record is of the kind “{kind}” and stays one.", kind=earlier.kind), "kind"
        )
    for complaint in check_fields(kind, fields, creates):
        raise BadInputError(complaint.sentence, complaint.field)

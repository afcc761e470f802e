"""One visit to one tree, whatever it is for: marks and numbers on it, its end, its pauses. Knows no single round.

"Every touch is durable before the number that is returned changes." The visit is recorded with its first touch, in
the same transaction, so that a tree only looked at leaves nothing behind. A visit is a record of this phone alone;
visits of one tree add up.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import ClassVar

from mobile.storage.drafts import Draft
from mobile.storage.phone_store import PhoneStore
from mobile.workflows.drafting import fresh_id
from mobile.workflows.moments import NOW, Told, now, today
from mobile.workflows.tally import WHOLE, Amount, Part
from mobile.workflows.tree_list import TreeLine, TreeList
from shared_models.entries import Fields
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.records.fields import Doubt, Happening
from shared_models.records.tallies import NumberAtOnce, TallyMark, Visit
from shared_models.vocabulary import Fruit, Round
from shared_models.when import parse_when

IDLE_MINUTES = 15  # after so long without a touch the person is asked whether they were still at it


class Idle(StrEnum):
    """What the time since the last touch was, when a visit is ended: work, or being away."""

    WORKED = "worked"
    AWAY = "away"


@dataclass(frozen=True, slots=True)
class AtTree:
    """What every visit to a tree shows: the tree, when it began, minutes without a touch, and what to say about it.

    `visit` is None until the first touch; `note` is one sentence about the last touch, `doubts` what does not fit.
    """

    tree: TreeLine
    visit: str | None
    when: str
    idle_minutes: int
    ended: bool
    note: str | None
    doubts: tuple[Doubt, ...]


class TreeVisit:
    """A visit that is being made. Goes on with this phone's unfinished visit of today, or of the moment it is told."""

    round: ClassVar[Round] = Round.OTHER

    def __init__(self, store: PhoneStore, tree: str, told: Told = NOW, *, visit: str | None = None) -> None:
        self._store = store
        self._trees = TreeList(store)
        self.tree = self._trees.line(tree)
        self._by_now = told.when is None
        self._told = told.fields(store, {"tree": self.tree.tree})
        self._at_start: Fields = {}
        self._note: str | None = None
        self.made: str | None = None  # the mark or number that the newest touch made
        self.visit = visit or self._unfinished(told)
        self._touched = last_touch(store, self.visit) if self.visit else store.now()

    def _unfinished(self, told: Told) -> str | None:
        if told == NOW:
            return unfinished_today(self._store, self.round, self.tree, self._trees)
        mine = [
            visit for visit in _unended(self._store) if visit.round is self.round and is_told(visit, told)
        ]
        return max((one.rec for one in mine if self._trees.one(one.tree) == self.tree.tree), default=None)

    def pause(self, minutes: int) -> None:
        """Take minutes of the visit out of its hours."""
        self._set(pause_minutes=minutes + (self._record.pause_minutes or 0 if self._record else 0))

    def ladder_used(self, used: bool = True) -> None:
        """Note that a ladder was used; marks are made after coming down."""
        self._set(ladder=used)

    def end(self, idle: Idle = Idle.WORKED) -> str | None:
        """End the visit; returns the moment, or None where nothing was recorded.

        The end is now; the last touch where the person was away since, or that was on an earlier day. A visit that
        was told of later has no duration.
        """
        record = self._record
        if record is None:
            return None
        ended = self._end_of(record, idle)
        self._set(ended=ended)
        return ended

    def minus_one(self) -> None:
        """Take back the newest mark that this phone made on this visit; where there is none, say what to do."""
        self._note = None
        newest = self._store.newest_own_mark(self.visit) if self.visit else None
        if newest is None:
            self._note = say(
                "There is no mark of yours to take back here. Correct a number or somebody else's marks "
                "by a difference, with a reason; both stay readable."
            )
            return
        self._store.undo(newest)
        self._touched = self._store.now()

    @property
    def at_tree(self) -> AtTree:
        """What every visit shows."""
        record = self._record
        return AtTree(
            tree=self.tree,
            visit=self.visit,
            when=record.when if record else str(self._told["when"]),
            idle_minutes=self._idle_minutes() if record and not record.ended else 0,
            ended=bool(record and record.ended),
            note=self._note,
            doubts=tuple(record.doubts()) if record else (),
        )

    @property
    def _record(self) -> Visit | None:
        return self._store.get(Visit, self.visit) if self.visit else None

    def _mark(self, fields: Fields, *with_it: Draft) -> str:
        """One mark, and with the first touch the visit; returns the mark's id."""
        return self._touch(TallyMark.kind, fields, with_it)

    def _number(self, amount: Amount, fields: Fields, *with_it: Draft) -> str:
        return self._touch(NumberAtOnce.kind, fields | amount.fields(), with_it)

    def _touch(self, kind: str, fields: Fields, with_it: Sequence[Draft]) -> str:
        self._note = None
        visit, drafts = self._visit_for_touch()
        touch = Draft(kind, {"visit": visit, **fields})
        made = self._store.record_all([*with_it, *drafts, touch])
        self._began(visit)
        return made[-1]

    def _began(self, visit: str) -> None:
        self.visit, self._touched = visit, self._store.now()

    def _set(self, **fields: object) -> None:
        """Set fields of the visit; the visit itself is made with the first of them."""
        self._note = None
        visit, drafts = self._visit_for_touch()
        made = drafts[0].fields if drafts else {}
        self._store.record(Visit.kind, made | fields, visit)
        self._began(visit)

    def _visit_for_touch(self) -> tuple[str, list[Draft]]:
        """The visit that a touch belongs to, and the draft that makes it where it is not there (or was undone)."""
        if self.visit is not None and self._record is not None:
            return self.visit, []
        visit = fresh_id(self._store)
        return visit, [Draft(Visit.kind, self._start_fields(), visit)]

    def _settle_start(self) -> None:
        """Begin with the first touch where the tree was only looked at long before."""
        if self._by_now and self._record is None and self._idle_minutes() >= IDLE_MINUTES:
            self._told["when"] = now(self._store)

    def _start_fields(self) -> Fields:
        self._settle_start()
        return {"round": self.round.value, "tree": self.tree.tree, **self._told, **self._at_start}

    def _idle_minutes(self) -> int:
        return max(0, int((self._store.now() - self._touched).total_seconds() // 60))

    def _end_of(self, record: Visit, idle: Idle) -> str:
        if not _as_it_happened(record):
            return record.when
        last = self._touched.astimezone(self._store.now().tzinfo)
        if idle is Idle.AWAY or last.date() != today(self._store):
            return last.isoformat(timespec="seconds")
        return now(self._store)


def scored_fields(marks: Sequence[Fruit], part: Part = WHOLE, **more: object) -> Fields:
    """The fields of a fruit that was scored."""
    return {"marks": [mark.value for mark in marks], **part.fields(), **more}


def unfinished_today(store: PhoneStore, round_: Round, tree: TreeLine, trees: TreeList) -> str | None:
    """The unfinished visit of today that this phone's person made to a tree, the newest."""
    device, day = store.identity.device if store.identity else "", today(store)
    mine = [
        visit.rec
        for visit in store.few.of_days(Visit, day, day)
        if visit.round is round_
        and visit.ended is None
        and visit.done_by is None
        and trees.one(visit.tree) == tree.tree
        and visit.moment.day == day
        and made_here(store, visit.rec, device)
    ]
    return max(mine, default=None)


def is_told(visit: Happening, told: Told) -> bool:
    """Whether an unfinished visit is the one that a person tells of: the same moment, by the same person."""
    return told.when is not None and (visit.when, visit.done_by) == (told.when, told.done_by)


def _unended(store: PhoneStore) -> list[Visit]:
    return store.few.unended(Visit, store.identity.device) if store.identity else []


def made_here(store: PhoneStore, rec: str, device: str) -> bool:
    """Whether this phone made a record."""
    folded = store.folded(rec)
    return folded is not None and folded.device == device


def last_touch(store: PhoneStore, visit: str) -> datetime:
    """When anything was last entered on a visit."""
    touched = [entry.entered for entry in store.entries_of(visit)]
    newest = store.newest_own_mark(visit)
    if newest:
        touched += [entry.entered for entry in store.entries_of(newest)]
    touched += [number.entered for number in store.few.numbers_of(visit)]
    return max(map(datetime.fromisoformat, touched))


def visit_known(store: PhoneStore, visit: str) -> Visit:
    """The visit of an id; BadInputError where this phone has none."""
    found = store.get(Visit, visit)
    if found is None:
        raise BadInputError(say("This visit is not on this phone, or was undone."), "visit")
    return found


def _as_it_happened(visit: Visit) -> bool:
    """Whether a visit was recorded as it happened, so that its end tells how long it took."""
    began = parse_when(visit.when).instant
    entered = datetime.fromisoformat(visit.entered)
    return began is not None and (entered - began).total_seconds() < 3600

"""Small readable builders of entries for tests, as phones make them: each with its own hybrid clock and ids.

Knows no store and no server. `FieldPhone().garden()` is the entry that makes a garden; its id is the garden's.
"""

from __future__ import annotations

from datetime import datetime, timedelta, timezone
from typing import Any

from shared_models.entries import Entry, with_plain_numbers
from shared_models.fold import DELETED, FoldedRecord, replaced_by
from shared_models.identifiers import new_id
from shared_models.records.kinds import KINDS
from shared_models.stamps import HybridClock

SUMMER = timezone(timedelta(hours=2))
MORNING = datetime(2026, 8, 20, 8, 0, tzinfo=SUMMER)


class FieldPhone:
    """One phone: a wall clock that goes on a second with every entry, a hybrid clock, a device and a person."""

    def __init__(self, wall: datetime = MORNING, zone: str = "Europe/Rome") -> None:
        self.wall = wall
        self.zone = zone
        self.clock = HybridClock()
        self.device = new_id(_ms(wall))
        self.person_id = new_id(_ms(wall))

    def makes(self, kind: str, fields: dict[str, Any]) -> Entry:
        """The entry that makes a record; `rec` is its own id."""
        entry_id = new_id(_ms(self.wall))
        return self._entry(entry_id, entry_id, kind, fields, None)

    def edits(self, made: Entry, seen: FoldedRecord | None = None, /, **fields: Any) -> Entry:
        """A later entry on a record; `seen` is what the person had before them."""
        return self._entry(
            new_id(_ms(self.wall)), made.rec, made.kind, with_plain_numbers(fields), replaced_by(seen, fields)
        )

    def undoes(self, made: Entry) -> Entry:
        """Undo a record."""
        return self.edits(made, **{DELETED: True})

    def redoes(self, made: Entry) -> Entry:
        """Take an undo back."""
        return self.edits(made, **{DELETED: False})

    def receives(self, *entries: Entry) -> None:
        """Take note of entries that came from elsewhere."""
        for entry in entries:
            self.clock.receive(entry.stamp)

    # -- what stands there
    def person(self, name: str = "Ada") -> Entry:
        """A person."""
        return self.makes("person", {"name": name})

    def garden(self, name: str = "Hill", hemisphere: str = "north", **more: Any) -> Entry:
        """A garden."""
        return self.makes("garden", {"name": name, "hemisphere": hemisphere, **more})

    def tree(self, garden: Entry | str, label: str = "1", **more: Any) -> Entry:
        """A tree of a garden."""
        return self.makes("tree", {"label": label, "garden": _id(garden), **more})

    def graft(self, tree: Entry, cultivar: str, **more: Any) -> Entry:
        """One cultivar on a tree."""
        return self.makes("graft", {"tree": tree.rec, "cultivar": cultivar, **more})

    def same_tree(self, a: Entry, b: Entry) -> Entry:
        """Two tree records that are one tree."""
        return self.makes("same_tree", {"a": a.rec, "b": b.rec})

    def trap(self, garden: Entry, label: str = "T1", **more: Any) -> Entry:
        """A trap of a garden."""
        return self.makes("trap", {"label": label, "garden": garden.rec, **more})

    # -- what happened
    def untreated(self, tree: Entry, season: str = "2026", **more: Any) -> Entry:
        """A tree declared left untreated."""
        said = {"tree": tree.rec, "season": season, "left_untreated": True, "when": self.now()}
        return self.makes("plan_line", {**said, **more})

    def job(self, method: str, *trees: Entry, **more: Any) -> Entry:
        """Work done to trees."""
        said = {"method": method, "trees": [tree.rec for tree in trees], "when": self.now()}
        return self.makes("job", {**said, **more})

    def visit(self, tree: Entry | str, round: str = "picking", **more: Any) -> Entry:
        """A visit to a tree."""
        return self.makes("visit", {"tree": _id(tree), "round": round, "when": self.now(), **more})

    def pick(self, tree: Entry, **more: Any) -> Entry:
        """A pick of a tree."""
        return self.makes("pick", {"tree": tree.rec, "when": self.now(), **more})

    def mark(self, visit: Entry | str, *marks: str, source: str = "picked", **more: Any) -> Entry:
        """One fruit tallied, +1."""
        scored = {"marks": list(marks)} if marks else {}
        return self.makes("mark", {"visit": _id(visit), "source": source, **scored, **more})

    def bag(self, visit: Entry | str) -> Entry:
        """One bag tallied, +1."""
        return self.makes("mark", {"visit": _id(visit), "what": "bag"})

    def number(self, visit: Entry | str, n: float, *marks: str, source: str = "picked", **more: Any) -> Entry:
        """Many alike at once."""
        scored = {"marks": list(marks)} if marks else {}
        return self.makes("number", {"visit": _id(visit), "n": n, "source": source, **scored, **more})

    def adjustment(self, visit: Entry, n: int, *marks: str, source: str = "picked", **more: Any) -> Entry:
        """A tally corrected by a difference."""
        scored = {"marks": list(marks)} if marks else {}
        said = {"visit": visit.rec, "n": n, "reason": "counted again", "source": source}
        return self.makes("adjustment", {**said, **scored, **more})

    def trap_visit(self, trap: Entry, moths: int | None, **more: Any) -> Entry:
        """A visit to a trap; no number means that it was not visited."""
        found = {"state": "not_visited"} if moths is None else {"state": "counted", "moths": moths}
        return self.makes("trap_visit", {"trap": trap.rec, "when": self.now(), **found, **more})

    def now(self) -> str:
        """The phone's time as it is written."""
        return self.wall.isoformat(timespec="seconds")

    def _entry(
        self, entry_id: str, rec: str, kind: str, fields: dict[str, Any], prev: dict[str, str] | None
    ) -> Entry:
        entry = Entry(
            id=entry_id,
            rec=rec,
            kind=kind,
            v=KINDS[kind].version if kind in KINDS else 1,
            f=with_plain_numbers(fields),
            prev=prev,
            entered=self.now(),
            tz=self.zone,
            by=self.person_id,
            device=self.device,
            stamp=self.clock.tick(_ms(self.wall)),
        )
        self.wall += timedelta(seconds=1)
        return entry


def _id(record: Entry | str) -> str:
    return record if isinstance(record, str) else record.rec


def _ms(wall: datetime) -> int:
    return max(0, int(wall.timestamp() * 1000))

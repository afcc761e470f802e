"""Records of traps: the trap, where it hangs from when to when, and each visit to it."""

from typing import Annotated, ClassVar

from pydantic import StrictBool

from shared_models.entries import Identifier
from shared_models.records.fields import (
    Count,
    DayText,
    Doubt,
    Happening,
    Label,
    MomentText,
    Record,
    ShortText,
    Text,
    between,
    doubt,
)
from shared_models.vocabulary import CountMode, TrapState


class Trap(Record):
    """A trap with its label, garden and place in walking order."""

    kind: ClassVar[str] = "trap"
    changes: ClassVar[bool] = True
    label: Label
    garden: Identifier
    form: ShortText | None = None
    order: Annotated[float, between(-1e6, 1e6)] | None = None
    retired: StrictBool = False


class Placement(Record):
    """Where a trap hangs from one day to another, and which gardens it serves besides its own."""

    kind: ClassVar[str] = "placement"
    changes: ClassVar[bool] = True
    trap: Identifier
    garden: Identifier
    from_day: DayText
    to_day: DayText | None = None
    height_m: Annotated[float, between(0, 30)] | None = None
    place: ShortText | None = None

    def doubts(self) -> list[Doubt]:
        """Warns where a placement ends before it begins."""
        if self.to_day and self.to_day < self.from_day:
            return [doubt("to_day", "This placement ends before it begins.")]
        return []


class TrapVisit(Happening):
    """One visit to a trap: the raw number as it was read, never the catch (that is computed from all visits).

    `previous` is the visit that this phone knew as the last one; two counts naming one previous are a double count.
    `instead` is the other of the two, where this one was taken back because that one counts.
    """

    kind: ClassVar[str] = "trap_visit"
    trap: Identifier
    state: TrapState
    moths: Count | None = None
    mode: CountMode = CountMode.NEW
    emptied: StrictBool = False
    liner_changed: StrictBool = False
    lure_type: ShortText | None = None
    lure_load_mg: Annotated[float, between(0, 1000)] | None = None
    males: Count | None = None
    females: Count | None = None
    other_insects: Text | None = None
    previous: Identifier | None = None
    instead: Identifier | None = None
    ended: MomentText | None = None

    @property
    def counted(self) -> bool:
        """Whether this visit is a count; none is a count."""
        return self.state is TrapState.COUNTED and self.moths is not None

    def doubts(self) -> list[Doubt]:
        """Warns on a count without a number, sexes that exceed it, and very many moths."""
        found = []
        if self.state is TrapState.COUNTED and self.moths is None:
            found.append(doubt("moths", "This visit says counted but holds no number; none is a number too."))
        if self.moths is not None and (self.males or 0) + (self.females or 0) > self.moths:
            found.append(doubt("males", "More males and females than moths are noted."))
        if (self.moths or 0) > 500:
            found.append(doubt("moths", "{moths} moths in one trap is unusually many.", moths=self.moths))
        return found

"""What is known of a trap from its visits: the last ones, what is on the liner, days since, due changes. Writes nothing.

Offers `TrapLog`, read from the phone for one trap.
"""

from dataclasses import dataclass
from datetime import date

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.people import names, somebody
from mobile.workflows.spoken_moments import when_in_words
from shared_models.language import say
from shared_models.records.traps import Placement, TrapVisit
from shared_models.season.catches import Catch, catches, in_order, on_liner
from shared_models.trap_places import NOWHERE, trap_places
from shared_models.vocabulary import CountMode, TrapState


@dataclass(frozen=True, slots=True)
class PastVisit:
    """One earlier visit as it is shown: the day in words, the raw number, its catch, who, and how it was counted."""

    visit: str
    when: str
    in_words: str
    day: date | None
    state: TrapState
    moths: int | None
    mode: CountMode
    catch: int
    days: int | None
    who: str


class TrapLog:
    """The visits to one trap in their order, read once; `without` is the visit that is just being made.

    That visit is handed to the methods as it is now, so that a touch reads nothing else again.
    """

    def __init__(self, store: PhoneStore, trap: str, without: str | None = None) -> None:
        self._names = names(store)
        self._places = trap_places(store.few.standing(Placement)).get(trap, NOWHERE)
        self.visits = in_order(
            visit
            for visit in store.few.naming(TrapVisit, [trap])
            if visit.trap == trap and visit.rec != without
        )

    def before(self, visit: TrapVisit | None) -> list[TrapVisit]:
        """The other visits that came before one, or all of them."""
        if visit is None:
            return self.visits
        return [one for one in self.visits if _place(one) < _place(visit)]

    def past(self, limit: int = 5, before: TrapVisit | None = None) -> tuple[PastVisit, ...]:
        """The last visits, newest first."""
        catch_of = {catch.visit: catch for catch in catches(self.visits, self._places)}
        newest = self.before(before)[::-1][:limit]
        return tuple(self._past(visit, catch_of[visit.rec]) for visit in newest)

    def catch_of(self, visit: TrapVisit) -> Catch:
        """What one visit adds, reckoned with all visits."""
        with_it = in_order([*self.visits, visit])
        return next(one for one in catches(with_it, self._places) if one.visit == visit.rec)

    def on_liner(self, before: TrapVisit | None = None) -> int:
        """Moths on the liner after the visits so far."""
        return on_liner(self.before(before), self._places, before.moment.day if before else None)

    def caught_since_new_liner(self, visit: TrapVisit | None = None) -> int:
        """Moths caught on the liner that is in now (moths taken off have used up its glue too)."""
        with_it = in_order([*self.visits, *([visit] if visit else [])])
        caught = 0
        for one, catch in zip(with_it, catches(with_it, self._places), strict=True):
            caught = 0 if one.liner_changed else caught + catch.catch
        return caught

    def lure_type(self) -> str | None:
        """The type of the last lure that was noted."""
        return next((visit.lure_type for visit in reversed(self.visits) if visit.lure_type), None)

    def lure_since(self) -> date | None:
        """The day of the lure that is in now: the last change noted, else the day the trap was last hung."""
        changed = [visit.moment.first for visit in self.visits if visit.lure_type or visit.lure_load_mg]
        return next((day for day in reversed(changed) if day), max(self._places.hung_on, default=None))

    def last_day(self) -> date | None:
        """The day of the last visit that reached the trap."""
        days = [visit.moment.last for visit in self.visits if visit.state is not TrapState.NOT_VISITED]
        return next((day for day in reversed(days) if day), None)

    def _past(self, visit: TrapVisit, catch: Catch) -> PastVisit:
        return PastVisit(
            visit.rec,
            visit.when,
            when_in_words(visit.when),
            visit.moment.day,
            visit.state,
            visit.moths,
            visit.mode,
            catch.catch,
            catch.days,
            self._names.get(visit.person, somebody()),
        )


def found_in_words(past: PastVisit) -> str:
    """What a visit found, in words."""
    if past.state is TrapState.COUNTED and past.moths is not None:
        if past.mode is CountMode.ON_LINER:
            return say("{moths} on the liner", moths=past.moths)
        return say("{moths} new", moths=past.moths)
    return _STATE_WORDS[past.state]()


_STATE_WORDS = {
    TrapState.COUNTED: lambda: say("no number"),
    TrapState.NOT_VISITED: lambda: say("not visited"),
    TrapState.LOST: lambda: say("trap lost"),
    TrapState.FLOODED: lambda: say("flooded"),
    TrapState.UNREADABLE: lambda: say("can't be read"),
}


def _place(visit: TrapVisit) -> tuple[tuple[str, str], str]:
    return (visit.moment.order, visit.rec)

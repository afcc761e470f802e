"""At the trap: one touch a moth, *none* as easy as a number, and on to the next trap in walking order.

Offers `TrapRound` (the traps of the walk) and `TrapAtHand` (one visit being made); each touch is an entry on the one
record of the visit, so a count that is broken off keeps what was counted. Nothing is on by itself.
"""

from dataclasses import dataclass
from datetime import date

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.moments import NOW, Told, now, today
from mobile.workflows.own_rules import own_rules
from mobile.workflows.spoken_moments import day_in_words
from mobile.workflows.trap_log import PastVisit, TrapLog, found_in_words
from mobile.workflows.traps import TrapLine, trap_known, traps_in_walking_order
from mobile.workflows.tree_visit import is_told, made_here
from shared_models.calculations.trap_catch import per_week
from shared_models.entries import Fields
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.records.fields import Doubt
from shared_models.records.traps import Trap, TrapVisit
from shared_models.reference.work_rules import WorkRules
from shared_models.season.catches import claim_of
from shared_models.vocabulary import CountMode, TrapState
from shared_models.when import parse_when

_MOST_A_DAY = 20  # visits to one trap on one day that are shown


@dataclass(frozen=True, slots=True)
class TrapView:
    """What a screen shows of the trap at hand.

    `number` is None until one is said, 0 is "none"; `state` is None until a number or the want of one is said, also
    where the liner or the lure was changed already.
    """

    trap: str
    label: str
    visit: str | None
    when: str
    number: int | None
    state: TrapState | None
    mode: CountMode
    emptied: bool
    new_liner: bool
    new_lure: str | None
    lure_load_mg: float | None
    males: int | None
    females: int | None
    catch: int | None
    on_liner_before: int
    per_trap_week: float | None
    last: tuple[PastVisit, ...]
    days_since: int | None
    same_day: tuple[str, ...]
    question: str | None
    overlaps: str | None
    notes: tuple[str, ...]
    doubts: tuple[Doubt, ...]


@dataclass(frozen=True, slots=True)
class TrapDone:
    """A finished visit, and the next trap in walking order that was not reached today; None where there is none."""

    view: TrapView
    next_trap: TrapLine | None


class TrapRound:
    """One walk past the traps, of one garden or of all."""

    def __init__(self, store: PhoneStore, garden: str | None = None) -> None:
        self._store = store
        self._garden = garden

    def traps(self) -> list[TrapLine]:
        """The traps in walking order."""
        return traps_in_walking_order(self._store, self._garden)

    def open(self, trap: str, told: Told = NOW) -> "TrapAtHand":
        """Stand before a trap; nothing is recorded by that. Goes on with an unfinished visit of today, or as told."""
        return TrapAtHand(self._store, trap, told, self._garden)

    def open_again(self, visit: str) -> "TrapAtHand":
        """Stand where a visit was made, with everything that was recorded on it."""
        made = self._store.get(TrapVisit, visit)
        if made is None:
            raise BadInputError(
                say("This visit is not on this phone any more; nothing was changed."), "visit"
            )
        return TrapAtHand(self._store, made.trap, garden=self._garden, visit=visit)

    def next_after(self, trap: str, day: date | None = None) -> TrapLine | None:
        """The next trap in walking order that was not reached on a day, today where none is given."""
        walk = self.traps()
        here = [line.trap for line in walk].index(trap) + 1 if trap in {line.trap for line in walk} else 0
        reached = self._reached_on(day or today(self._store))
        return next(
            (line for line in [*walk[here:], *walk[:here]] if line.trap not in reached | {trap}), None
        )

    def _reached_on(self, day: date) -> set[str]:
        return {
            visit.trap for visit in self._store.few.of_days(TrapVisit, day, day) if visit.moment.day == day
        }


class TrapAtHand:
    """One visit to a trap while it is made; the record begins with the first touch."""

    def __init__(
        self,
        store: PhoneStore,
        trap: str,
        told: Told = NOW,
        garden: str | None = None,
        *,
        visit: str | None = None,
    ) -> None:
        self._store = store
        self.trap: Trap = trap_known(store, trap)
        self._garden = garden
        self._told = told
        self._when = told.fields(store, {"trap": trap})
        self._note: str | None = None
        self._decided: list[tuple[str, str | None]] = []  # later counts, with the visit they named before
        self._liner_takes = WorkRules(own_rules(store)).value("liner_moths")
        self.visit = visit or (
            _unfinished_today(store, trap) if told == NOW else _unfinished(store, trap, told)
        )
        self.refresh()
        # The last answer for this trap is offered first.
        self._mode = self._log.visits[-1].mode if self._log.visits else CountMode.NEW

    def plus_one(self) -> TrapView:
        """One moth more."""
        return self._touch(moths=self._moths + 1, state=TrapState.COUNTED.value)

    def minus_one(self) -> TrapView:
        """One moth less; at none it stays none."""
        record = self._record
        if record is None or record.moths is None:
            return self._with_note(say("No number is said yet."))
        if record.moths == 0:
            return self._with_note(say("The number is none already."))
        return self._touch(moths=record.moths - 1)

    def none(self) -> TrapView:
        """No moth: a count like any other."""
        return self.number(0)

    def number(self, moths: int) -> TrapView:
        """A typed number."""
        return self._touch(moths=moths, state=TrapState.COUNTED.value)

    def not_counted(self, state: TrapState) -> TrapView:
        """Not visited, lost, flooded or unreadable; this is no count, whatever was touched before."""
        if state is TrapState.COUNTED:
            raise BadInputError(say("A count needs a number; none is a number too."), "state")
        return self._touch(state=state.value)

    def count_as(self, mode: CountMode) -> TrapView:
        """All on the liner now, or new since the last visit."""
        self._mode = mode
        return self._touch(mode=mode.value) if self._record else self.view

    def emptied(self, yes: bool = True) -> TrapView:
        """All moths were taken off."""
        return self._touch(emptied=yes)

    def new_liner(self, yes: bool = True) -> TrapView:
        """The liner was changed."""
        return self._touch(liner_changed=yes)

    def new_lure(self, lure_type: str | None = None, load_mg: float | None = None) -> TrapView:
        """The lure was changed, to this type and load."""
        lure = {"lure_type": (lure_type or self._log.lure_type() or say("lure")).strip()}
        return self._touch(**lure, **({} if load_mg is None else {"lure_load_mg": load_mg}))

    def sexed(self, males: int, females: int) -> TrapView:
        """How many of the moths were males and females."""
        return self._touch(males=males, females=females)

    def later_count_is_since_this_one(self) -> TrapView:
        """Decide that a later count, which named the same visit before it, counted only what came after this one."""
        later = self._counts_naming_the_same_visit()
        self._decided = [(visit.rec, visit.previous) for visit in later]
        for visit in later:
            reason = say("A count in between was entered later.")
            self._store.record(TrapVisit.kind, {"previous": self.visit, "reason": reason}, visit.rec)
        self.refresh()
        return self._changed()

    def done(self) -> TrapDone:
        """End the visit and go on in walking order; BadInputError where nothing was said of this trap yet."""
        record = self._record
        if record is None:
            raise BadInputError(
                say("Nothing is recorded for this trap yet: give a number, none, or why it was not counted."),
                "moths",
            )
        at_once = parse_when(record.when).instant is not None and self._told.when is None
        self._touch(ended=now(self._store) if at_once else record.when)
        walk = TrapRound(self._store, self._garden)
        return TrapDone(self.view, walk.next_after(self.trap.rec, self._day()))

    def take_back(self, before: TrapView) -> TrapView:
        """Be as it was before a touch; a visit that began with that touch is undone."""
        if before.overlaps:
            self._leave_undecided()
        if before.visit is None and self.visit is not None:
            self._store.undo(self.visit)
            self.visit, self._mode = None, before.mode
            self.refresh()
            return self._changed()
        return self._touch(
            moths=before.number,
            state=(before.state or TrapState.COUNTED).value,
            mode=before.mode.value,
            emptied=before.emptied,
            liner_changed=before.new_liner,
            lure_type=before.new_lure,
            lure_load_mg=before.lure_load_mg,
            males=before.males,
            females=before.females,
        )

    def go_on(self) -> TrapView:
        """Take back that the visit was ended."""
        return self._touch(ended=None)

    @property
    def view(self) -> TrapView:
        """The trap as it is now."""
        record = self._record
        last = self._log.past(before=record)
        catch = self._log.catch_of(record) if record else None
        rate = (
            per_week(catch.catch, catch.days) if catch and record and record.counted and catch.days else None
        )
        return TrapView(
            trap=self.trap.rec,
            label=self.trap.label,
            visit=record.rec if record else None,
            when=record.when if record else str(self._when["when"]),
            number=record.moths if record else None,
            state=_state_said(record) if record else None,
            mode=record.mode if record else self._mode,
            emptied=bool(record and record.emptied),
            new_liner=bool(record and record.liner_changed),
            new_lure=record.lure_type if record else None,
            lure_load_mg=record.lure_load_mg if record else None,
            males=record.males if record else None,
            females=record.females if record else None,
            catch=catch.catch if catch and record and record.counted else None,
            on_liner_before=self._log.on_liner(record),
            per_trap_week=rate,
            last=last,
            days_since=self._days_since(last),
            same_day=tuple(_told_of(past) for past in self._of_this_day()),
            question=self._question(),
            overlaps=self._overlaps(),
            notes=tuple(note for note in (self._note, self._liner_note(record)) if note),
            doubts=tuple(record.doubts()) if record else (),
        )

    @property
    def _record(self) -> TrapVisit | None:
        return self._store.get(TrapVisit, self.visit) if self.visit else None

    @property
    def _moths(self) -> int:
        record = self._record
        return record.moths or 0 if record else 0

    def _leave_undecided(self) -> None:
        """Later counts name the visit again that they named before it was decided."""
        for visit, previous in self._decided:
            reason = say("It was not decided after all.")
            self._store.record(TrapVisit.kind, {"previous": previous, "reason": reason}, visit)
        if self._decided:
            self._decided = []
            self.refresh()

    def _touch(self, **fields: object) -> TrapView:
        made: Fields = dict(fields)
        if self._record is None:
            self.visit = self._start(made)
        else:
            self._store.record(TrapVisit.kind, made, self.visit)
        return self._changed()

    def _start(self, fields: Fields) -> str:
        """Make the visit with its first touch, which is when the trap is counted; `previous` is what is known now."""
        self.refresh()
        when = self._told.fields(self._store, {"trap": self.trap.rec})
        order = parse_when(str(when["when"])).order
        before = [visit for visit in self._log.visits if visit.moment.order <= order]
        known = {"previous": before[-1].rec} if before else {}
        start = {"trap": self.trap.rec, "state": TrapState.COUNTED.value, "mode": self._mode.value}
        return self._store.record(TrapVisit.kind, start | when | known | fields)

    def _changed(self) -> TrapView:
        self._note = None
        return self.view

    def _with_note(self, note: str) -> TrapView:
        self._note = note
        return self.view

    def refresh(self) -> None:
        """Read the other visits anew, as after an exchange with the server."""
        self._log = TrapLog(self._store, self.trap.rec, without=self.visit)

    def _days_since(self, last: tuple[PastVisit, ...]) -> int | None:
        day, before = self._day(), next((past.day for past in last if past.day), None)
        return (day - before).days if day and before else None

    def _day(self) -> date | None:
        record = self._record
        return parse_when(record.when if record else str(self._when["when"])).day

    def _of_this_day(self) -> list[PastVisit]:
        day = self._day()
        return [past for past in self._log.past(_MOST_A_DAY) if day is not None and past.day == day]

    def _question(self) -> str | None:
        same_day = self._of_this_day()
        if not same_day:
            return None
        instant = parse_when(same_day[0].when).instant
        since = f"{instant:%H:%M}" if instant else same_day[0].in_words
        return say("This trap was counted already today. Are all of these new since {time}?", time=since)

    def _counts_naming_the_same_visit(self) -> list[TrapVisit]:
        record = self._record
        if record is None or not record.counted:
            return []
        later = [one for one in self._log.visits if one not in self._log.before(record)]
        claim = claim_of(record)
        return [one for one in later if claim and one.counted and claim_of(one) == claim]

    def _overlaps(self) -> str | None:
        later = self._counts_naming_the_same_visit()
        day = later[0].moment.first if later else None
        if not later:
            return None
        return say(
            "The count of {day} goes back to the same visit as this one, so moths may stand in both. "
            "Say whether it counted only what came after this visit.",
            day=day_in_words(day) if day else say("day not known"),
        )

    def _liner_note(self, record: TrapVisit | None) -> str | None:
        caught = self._log.caught_since_new_liner(record)
        if self._liner_takes is None or caught < self._liner_takes:
            return None
        return say(
            "{moths} moths since the last new liner: change it, since glue takes fewer from about {limit} on.",
            moths=caught,
            limit=f"{self._liner_takes:g}",
        )


def _state_said(record: TrapVisit) -> TrapState | None:
    """The state; None where the trap was touched but no number was said, which is not a count and not a 0."""
    return None if record.state is TrapState.COUNTED and not record.counted else record.state


def _told_of(past: PastVisit) -> str:
    instant = parse_when(past.when).instant
    return say(
        "{who} at {time}: {found}",
        who=past.who,
        time=f"{instant:%H:%M}" if instant else past.in_words,
        found=found_in_words(past),
    )


def _unfinished(store: PhoneStore, trap: str, told: Told) -> str | None:
    mine = store.few.unended(TrapVisit, store.identity.device) if store.identity else []
    return max((visit.rec for visit in mine if visit.trap == trap and is_told(visit, told)), default=None)


def _unfinished_today(store: PhoneStore, trap: str) -> str | None:
    device, day = store.identity.device if store.identity else "", today(store)
    mine = [
        visit.rec
        for visit in store.few.of_days(TrapVisit, day, day)
        if visit.trap == trap
        and visit.ended is None
        and visit.moment.day == day
        and made_here(store, visit.rec, device)
    ]
    return max(mine, default=None)

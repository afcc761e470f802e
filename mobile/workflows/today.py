"""Today: what was being done when the phone went away, who keeps out where, and what is due from the last visits.

Offers `today_view` and `go_on`, which opens an unfinished visit again where it was.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.bagging import BaggingVisit
from mobile.workflows.drops_round import DropsVisit
from mobile.workflows.first_start import gardens
from mobile.workflows.history import lines_of
from mobile.workflows.label_clocks import KeepOut, keep_outs
from mobile.workflows.moments import season_of_garden, today
from mobile.workflows.picking import PickingVisit
from mobile.workflows.spoken_moments import day_in_words
from mobile.workflows.trap_log import TrapLog
from mobile.workflows.trap_round import CHANGE_LINER_AT, TrapAtHand
from mobile.workflows.traps import TrapLine, traps_in_walking_order
from mobile.workflows.tree_list import TreeList
from mobile.workflows.tree_visit import TreeVisit, visit_known
from shared_models.language import say, say_many
from shared_models.records.gardens import Garden
from shared_models.records.jobs import Job
from shared_models.records.tallies import Visit
from shared_models.records.traps import TrapVisit
from shared_models.seasons import season_named
from shared_models.vocabulary import DROPS_ROUND, Round

TRAP_AFTER_DAYS = (
    3  # traps are read twice a week (extension guides of Washington and California; common practice)
)
LURE_AFTER_DAYS = 42  # a lure lasts 4 to 6 weeks (a British fruit research station; 4 in heat)
DROPS_AFTER_DAYS = 7  # stung fruit and drops are picked up every 1 to 2 weeks (California master gardeners)
DROPS_FOR = timedelta(days=122)  # drops rounds are offered for four months after June drop (common practice)

_LONGEST_SPAN = timedelta(days=183)  # a round noted as between two days may have begun so long before


class DueKind(StrEnum):
    """What kind of thing is due."""

    TRAP = "trap"
    LURE = "lure"
    LINER = "liner"
    DROPS = "drops"


@dataclass(frozen=True, slots=True)
class Due:
    """One thing to do, with the sentence that says why; `days` since it was last done, None where it never was."""

    kind: DueKind
    sentence: str
    garden: str
    trap: str | None
    days: int | None


@dataclass(frozen=True, slots=True)
class GoOn:
    """An unfinished visit of this phone. `round` is trap, or the round of a visit to a tree; `of` the trap or tree."""

    visit: str
    kind: str
    sentence: str
    round: str
    of: str


@dataclass(frozen=True, slots=True)
class TodayView:
    """The first place of the phone."""

    day: str
    go_on: tuple[GoOn, ...]
    keep_out: tuple[KeepOut, ...]
    due: tuple[Due, ...]


def today_view(store: PhoneStore) -> TodayView:
    """What there is to see and to do today, in walking order."""
    return TodayView(
        day=day_in_words(today(store)),
        go_on=tuple(_unfinished(store)),
        keep_out=tuple(keep_outs(store)),
        due=(*_due_at_traps(store), *_due_drops(store)),
    )


def go_on(store: PhoneStore, visit: str) -> TreeVisit | TrapAtHand:
    """Open an unfinished visit again, with everything that was recorded on it."""
    at_trap = store.get(TrapVisit, visit)
    if at_trap is not None:
        return TrapAtHand(store, at_trap.trap, visit=visit)
    known = visit_known(store, visit)
    return _VISITS[known.round](store, known.tree, visit=visit)


_VISITS: dict[Round, type[TreeVisit]] = {
    Round.BAGGING: BaggingVisit,
    Round.DROPS: DropsVisit,
    Round.PICKING: PickingVisit,
    Round.OTHER: TreeVisit,
}


def _unfinished(store: PhoneStore) -> Iterator[GoOn]:
    device = store.identity.device if store.identity else ""
    mine: list[Visit | TrapVisit] = [*store.few.unended(Visit, device)]
    mine += store.few.unended(TrapVisit, device)
    found = {visit.rec: visit for visit in sorted(mine, key=lambda visit: visit.rec, reverse=True)}
    for line in lines_of(store, found.values()):
        yield GoOn(line.rec, line.kind, say("Go on: {what}", what=line.sentence), *_where(found[line.rec]))


def _where(visit: Visit | TrapVisit) -> tuple[str, str]:
    if isinstance(visit, TrapVisit):
        return "trap", visit.trap
    return visit.round.value, visit.tree


def _due_at_traps(store: PhoneStore) -> Iterator[Due]:
    for trap in traps_in_walking_order(store):
        log = TrapLog(store, trap.trap)
        yield from _reading_due(store, trap, log.last_day())
        if log.caught_since_new_liner() >= CHANGE_LINER_AT:
            sentence = say(
                "Trap {trap}: change the liner, {moths} moths since the last new one.",
                trap=trap.label,
                moths=log.caught_since_new_liner(),
            )
            yield Due(DueKind.LINER, sentence, trap.garden, trap.trap, None)
        yield from _lure_due(store, trap, log.lure_since())


def _reading_due(store: PhoneStore, trap: TrapLine, last: date | None) -> Iterator[Due]:
    if last is None:
        yield Due(
            DueKind.TRAP, say("Trap {trap}: not counted yet.", trap=trap.label), trap.garden, trap.trap, None
        )
        return
    days = (today(store) - last).days
    if days >= TRAP_AFTER_DAYS:
        sentence = say("Trap {trap}: count, last {days} days ago.", trap=trap.label, days=days)
        yield Due(DueKind.TRAP, sentence, trap.garden, trap.trap, days)


def _lure_due(store: PhoneStore, trap: TrapLine, since: date | None) -> Iterator[Due]:
    days = (today(store) - since).days if since else 0
    if days >= LURE_AFTER_DAYS:
        sentence = say("Trap {trap}: the lure is {weeks} weeks old.", trap=trap.label, weeks=days // 7)
        yield Due(DueKind.LURE, sentence, trap.garden, trap.trap, days)


def _due_drops(store: PhoneStore) -> Iterator[Due]:
    listed = TreeList(store)
    for garden in gardens(store):
        key = season_of_garden(store, garden.rec)
        starts = season_named(key).june_drop_ends if key else None
        if (
            starts is None
            or not starts <= today(store) <= starts + DROPS_FOR
            or not listed.standing(garden.rec)
        ):
            continue
        last = _last_drops_round(store, garden, listed, starts)
        days = (today(store) - last).days if last and last >= starts else None
        if days is None or days >= DROPS_AFTER_DAYS:
            yield Due(DueKind.DROPS, _drops_sentence(garden, days), garden.rec, None, days)


def _drops_sentence(garden: Garden, days: int | None) -> str:
    if days is None:
        return say("{garden}: no drops round since June drop yet.", garden=garden.name)
    return say_many(
        "{garden}: drops round, last {count} day ago.",
        "{garden}: drops round, last {count} days ago.",
        days,
        garden=garden.name,
    )


def _last_drops_round(store: PhoneStore, garden: Garden, trees: TreeList, since: date) -> date | None:
    gardens_of = {line.tree: line.garden for line in trees.all()}
    days = [
        visit.moment.last
        for visit in store.few.of_days(Visit, since - _LONGEST_SPAN, today(store))
        if visit.round is Round.DROPS and gardens_of.get(trees.one(visit.tree)) == garden.rec
    ]
    days += [
        job.moment.last
        for job in store.few.naming(Job, [garden.rec])
        if job.method == DROPS_ROUND and job.garden == garden.rec
    ]
    return max((day for day in days if day), default=None)

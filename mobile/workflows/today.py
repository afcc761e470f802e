"""Today: what was being done when the phone went away, who keeps out where, what is due and why, and heat so far.

Offers `today_view` and `go_on`, which opens an unfinished visit again where it was.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.bagging import BaggingVisit
from mobile.workflows.copy_reminder import CopyReminder, copy_reminder
from mobile.workflows.drops_round import DropsVisit
from mobile.workflows.due import Due, GardensToday
from mobile.workflows.flight_notices import FlightNotice, flight_notices
from mobile.workflows.history import lines_of
from mobile.workflows.label_clocks import KeepOut, keep_outs
from mobile.workflows.picking import PickingVisit
from mobile.workflows.spoken_moments import day_in_words
from mobile.workflows.timing import HeatLine, heat_lines
from mobile.workflows.trap_round import TrapAtHand, TrapRound
from mobile.workflows.tree_visit import TreeVisit, visit_known
from shared_models.language import say
from shared_models.records.tallies import Visit
from shared_models.records.traps import TrapVisit
from shared_models.timing.due_work import DueKind
from shared_models.vocabulary import Round

__all__ = ["Due", "DueKind", "GoOn", "TodayView", "go_on", "today_view"]


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
    heat: tuple[HeatLine, ...] = ()
    notices: tuple[FlightNotice, ...] = ()
    copy: CopyReminder | None = None


def today_view(store: PhoneStore) -> TodayView:
    """What there is to see and to do today, garden by garden, traps in walking order."""
    here = GardensToday(store)
    return TodayView(
        day=day_in_words(here.day),
        go_on=tuple(_unfinished(store)),
        keep_out=tuple(keep_outs(store)),
        due=tuple(here.due()),
        heat=tuple(heat_lines(here.timings, here.day)),
        notices=tuple(flight_notices(store, here.timings.values(), here.day)),
        copy=copy_reminder(store),
    )


def go_on(store: PhoneStore, visit: str) -> TreeVisit | TrapAtHand:
    """Open an unfinished visit again, with everything that was recorded on it."""
    if store.get(TrapVisit, visit) is not None:
        return TrapRound(store).open_again(visit)
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

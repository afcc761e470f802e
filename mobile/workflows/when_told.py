"""What *when?* offers and takes: the times of now, a typed day, seasons to choose from, a moment given later.

Offers `offered`, `day_typed`, `answer_to`, `told_in_words` and `tell_when`, which writes. The moments are `moments`'.
"""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.corrections import correct
from mobile.workflows.moments import Told, gardens_of, today
from mobile.workflows.spoken_moments import when_in_words
from mobile.workflows.trap_log import TrapLog
from shared_models.entries import Fields
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.records.fields import Happening
from shared_models.records.kinds import record_of
from shared_models.records.traps import TrapVisit
from shared_models.seasons import season_of
from shared_models.when import parse_when

_STEP = 5  # [min] nobody remembers a minute


@dataclass(frozen=True, slots=True)
class Offered:
    """What is offered first: now in words, an hour ago as hour and minute, today, yesterday, a week ago."""

    now: str
    hour: int
    minute: int
    today: date
    yesterday: date
    week_ago: date


@dataclass(frozen=True, slots=True)
class Answered:
    """A moment as told, in words; `seasons` where nobody can tell from it which season it belongs to."""

    told: Told
    in_words: str
    seasons: tuple[str, ...] = ()


def offered(store: PhoneStore) -> Offered:
    """As it is now in the garden."""
    here, day = store.now(), today(store)
    before = max(here - timedelta(hours=1), here.replace(hour=0, minute=0))
    return Offered(
        f"{here:%H:%M}",
        before.hour,
        before.minute // _STEP * _STEP,
        day,
        day - timedelta(days=1),
        day - timedelta(days=7),
    )


def day_typed(text: str) -> date:
    """A day as typed, such as 2026-05-17; BadInputError where it is none."""
    try:
        return datetime.strptime(text.strip(), "%Y-%m-%d").date()
    except ValueError:
        raise BadInputError(
            say("“{text}” is no day; write year, month and day such as 2026-05-17.", text=text.strip()[:20]),
            "when",
        ) from None


def answer_to(store: PhoneStore, told: Told, where: Fields | None = None) -> Answered:
    """What a person told, in words, and the seasons to choose from; BadInputError where the moment cannot be.

    `where` names garden, tree, trees or trap as a record does; without it every garden of the phone may be meant.
    """
    told.fields(store, where)
    seasons = () if told.when is None or told.season else seasons_to_choose(store, told.when, where or {})
    return Answered(told, told_in_words(told), seasons)


def told_in_words(told: Told) -> str:
    """Such as "now", "Tuesday 2 June" or "day not known, season 2026"."""
    moment = say("now") if told.when is None else when_in_words(told.when)
    return say("{moment}, season {season}", moment=moment, season=told.season) if told.season else moment


def seasons_to_choose(store: PhoneStore, when: str, where: Fields) -> tuple[str, ...]:
    """The seasons that a moment may belong to, newest first; empty where it tells its season, or no garden does."""
    halves = {place.hemisphere for place in gardens_of(store, where)}
    if len(halves) != 1:
        return ()
    (half,), moment, day = halves, parse_when(when), today(store)
    first, last = moment.first or day - timedelta(days=365), moment.last or day
    found = dict.fromkeys(season_of(one, half) for one in (last, first))
    return tuple(found) if len(found) > 1 else ()


def tell_when(store: PhoneStore, rec: str, told: Told) -> Told:
    """Give a happening that was recorded another moment, with its picks; returns what was told of it before."""
    folded = store.folded(rec)
    record = record_of(folded) if folded else None
    if not isinstance(record, Happening):
        raise BadInputError(say("This record is not on this phone."), "rec")
    changes = told.fields(store, record_fields(record)) | {"season": told.season}
    if isinstance(record, TrapVisit):
        changes["previous"] = _previous(store, record, str(changes["when"]))
    correct(store, rec, say("The time was told after the first touch."), **changes)
    return Told(record.when, record.done_by, record.season)


def record_fields(record: Happening) -> Fields:
    """What a record names that stands in a garden."""
    named = {name: getattr(record, name, None) for name in ("garden", "tree", "trees", "trap")}
    return {name: value for name, value in named.items() if value}


def _previous(store: PhoneStore, visit: TrapVisit, when: str) -> str | None:
    order = parse_when(when).order
    log = TrapLog(store, visit.trap, without=visit.rec)
    return next((one.rec for one in reversed(log.visits) if one.moment.order <= order), None)

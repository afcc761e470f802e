"""*When?*: now, earlier today, a day, between two days, don't know; and the season that follows. Writes nothing.

Offers `now`, `earlier_today`, `on_day`, `between_days`, `NOT_KNOWN` (ISO 8601 texts in the phone's zone with their
offset), `Told` (what a person says beside the thing itself), and `season_of_garden`.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.drafting import said
from shared_models.entries import Fields
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.records.gardens import Garden, Tree
from shared_models.records.traps import Trap
from shared_models.seasons import is_season_key, season_named, season_of
from shared_models.stamps import EARLIEST_MS, LATEST_MS
from shared_models.when import UNKNOWN, When, parse_when

NOT_KNOWN = UNKNOWN
_AHEAD = timedelta(minutes=10)  # two phones' clocks may differ by a few minutes


def now(store: PhoneStore) -> str:
    """This moment."""
    return store.now().isoformat(timespec="seconds")


def today(store: PhoneStore) -> date:
    """The day it is in the garden."""
    return store.now().date()


def earlier_today(store: PhoneStore, at: time) -> str:
    """A time of this day. Where the clocks went forward over it, the hour after; where it came twice, the first."""
    here = store.now()
    told = datetime.combine(here.date(), at, here.tzinfo)
    # By way of UTC, since a time in the hour that was skipped exists in no offset.
    moment = told.astimezone(UTC).astimezone(here.tzinfo)
    if moment > here:
        raise BadInputError(
            say("{time} is still to come today; give an earlier time, or say now.", time=f"{at:%H:%M}"),
            "when",
        )
    return moment.isoformat(timespec="seconds")


def on_day(store: PhoneStore, day: date) -> str:
    """A day without its time."""
    return _checked(store, day.isoformat())


def between_days(store: PhoneStore, first: date, last: date) -> str:
    """Between two days, both included."""
    if first > last:
        raise BadInputError(
            say("{first} lies after {last}; give the earlier day first.", first=first, last=last), "when"
        )
    if first == last:
        return on_day(store, first)
    return _checked(store, f"{first.isoformat()}/{last.isoformat()}")


@dataclass(frozen=True, slots=True)
class Told:
    """What a person says of a happening beside the thing itself; nothing said means now, by whoever records it.

    `when` is a text from this module, `done_by` a person's id, `season` a season key given by hand.
    """

    when: str | None = None
    done_by: str | None = None
    season: str | None = None

    def fields(self, store: PhoneStore, where: Fields | None = None) -> Fields:
        """As they are recorded; BadInputError where the moment cannot be, or the season cannot be of `where`.

        `where` names garden, tree, trees or trap as a record does.
        """
        if self.season is not None:
            refuse_other_season(store, self.season, where or {})
        when = _now_or_not_known(store) if self.when is None else _checked(store, self.when)
        return said(when=when, done_by=self.done_by, season=self.season)


NOW = Told()


def season_of_garden(store: PhoneStore, garden: str, when: str | None = None) -> str | None:
    """The season of a moment (now, where none is given) in a garden; None where it cannot be known.

    A span belongs to a season where both its ends do.
    """
    place = store.get(Garden, garden)
    moment = parse_when(when or now(store))
    if place is None or moment.first is None or moment.last is None:
        return None
    start = season_of(moment.first, place.hemisphere)
    return start if start == season_of(moment.last, place.hemisphere) else None


def refuse_other_season(store: PhoneStore, season: str, where: Fields) -> None:
    """BadInputError where a text names no season, or one that a garden of `where` has not, on its half of the earth."""
    if not is_season_key(season):
        raise BadInputError(
            say(
                "“{season}” names no season; write 2026 in the north or 2026/27 in the south.",
                season=season[:20],
            ),
            "season",
        )
    named = season_named(season)
    for place in _gardens(store, where):
        if place.hemisphere is not named.hemisphere:
            raise BadInputError(
                say(
                    "“{season}” is no season of {garden}: over those days it has {first} and {second}. Choose one of "
                    "them; nothing was recorded.",
                    season=season,
                    garden=place.name,
                    first=season_of(named.first_day, place.hemisphere),
                    second=season_of(named.last_day, place.hemisphere),
                ),
                "season",
            )


def season_or_ask(store: PhoneStore, garden: str, when: str | None, by_hand: str | None) -> str:
    """The season given by hand, else that of the moment; BadInputError where a person has to choose."""
    if by_hand is not None:
        refuse_other_season(store, by_hand, {"garden": garden})
    found = by_hand or season_of_garden(store, garden, when)
    if found is None:
        raise BadInputError(
            say("Nobody can tell from this date which season it belongs to; choose the season."), "season"
        )
    return found


def gardens_of(store: PhoneStore, where: Fields) -> Iterator[Garden]:
    """The gardens that fields name, or in which the trees or the trap stand that they name; all where none is named."""
    if any(where.get(name) for name in ("garden", "tree", "trap", "trees")):
        yield from _gardens(store, where)
    else:
        yield from (place for place in store.all(Garden) if not place.retired)


def _gardens(store: PhoneStore, where: Fields) -> Iterator[Garden]:
    """The gardens that fields name, or in which the trees or the trap stand that they name; those that are here."""
    standing = [where.get("tree"), where.get("trap"), *(where.get("trees") or [])]
    found = [store.get(Tree, one) or store.get(Trap, one) for one in standing if one]
    for garden in dict.fromkeys([where.get("garden"), *(one.garden for one in found if one)]):
        place = store.get(Garden, garden) if garden else None
        if place is not None:
            yield place


def _checked(store: PhoneStore, text: str) -> str:
    try:
        moment = parse_when(text)
    except ValueError as error:
        raise BadInputError(str(error), "when") from error
    if _lies_ahead(store.now(), moment):
        raise BadInputError(
            say("{when} is still to come; what is recorded has happened.", when=moment.text), "when"
        )
    return text


def _lies_ahead(here: datetime, moment: When) -> bool:
    """Whether a moment is still to come; a clock that has lost its date cannot tell, and then nothing is refused."""
    if not _is_believed(here):
        return False
    if moment.instant is not None:
        return moment.instant > here + _AHEAD
    return moment.last is not None and moment.last > here.date()


def _now_or_not_known(store: PhoneStore) -> str:
    """Now; not known where the clock has lost its date, so that nothing lands in the season of 1970."""
    return now(store) if _is_believed(store.now()) else NOT_KNOWN


def _is_believed(here: datetime) -> bool:
    return EARLIEST_MS <= here.timestamp() * 1000 <= LATEST_MS

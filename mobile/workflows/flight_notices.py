"""Flight notices: the traps of a garden met its rule; where, when, by which rule. Nothing about products, ever.

They follow from the entries that came with the last exchange, so every phone of the group tells the same. Offers
`flight_notices`, `put_away` and `put_back` (on this device), `mute_flight` (for this person, on all devices) and `is_muted`.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from mobile.storage.phone_store import PhoneStore
from shared_models.calculations.biofix import Rule, State
from shared_models.language import say, spoken
from shared_models.records.timing import NoticeChoice, notice_choice_id
from shared_models.timing.parts import GardenTiming
from shared_models.timing_words import RULES, between

TOLD_FOR = 21  # days after the catch that met the rule (common practice)
MOST_PUT_AWAY = 200
_PUT_AWAY = "notices_put_away"


@dataclass(frozen=True, slots=True)
class FlightNotice:
    """Flight in a garden; `key` names it when it is put away, and changes when its days do."""

    key: str
    garden: str
    sentence: str


def flight_notices(store: PhoneStore, timings: Iterable[GardenTiming], day: date) -> list[FlightNotice]:
    """What is to be told now; nothing where this person does not want it."""
    if is_muted(store):
        return []
    away = set(store.choices().get(_PUT_AWAY, []))
    found = [_notice(one) for one in timings if _is_news(one, day)]
    return [one for one in found if one.key not in away]


def put_away(store: PhoneStore, notice: FlightNotice) -> None:
    """Tell it no more on this device."""
    away = [*store.choices().get(_PUT_AWAY, []), notice.key]
    store.save_choices(store.choices() | {_PUT_AWAY: away[-MOST_PUT_AWAY:]})


def put_back(store: PhoneStore, notice: FlightNotice) -> None:
    """Tell it again on this device."""
    away = [key for key in store.choices().get(_PUT_AWAY, []) if key != notice.key]
    store.save_choices(store.choices() | {_PUT_AWAY: away})


def mute_flight(store: PhoneStore, muted: bool = True) -> None:
    """Whether this phone's person wants no flight notices, on any device."""
    person = store.identity.person if store.identity else ""
    store.record(NoticeChoice.kind, {"about": person, "flight": not muted}, notice_choice_id(person))


def is_muted(store: PhoneStore) -> bool:
    """Whether this phone's person wants no flight notices."""
    person = store.identity.person if store.identity else ""
    choice = store.get(NoticeChoice, notice_choice_id(person))
    return choice is not None and not choice.flight


def _is_news(timing: GardenTiming, day: date) -> bool:
    flight = timing.flight
    if flight.state is not State.MET or flight.rule in (Rule.BY_HAND, Rule.NONE) or flight.last is None:
        return False
    return 0 <= (day - date.fromisoformat(flight.last)).days <= TOLD_FOR


def _notice(timing: GardenTiming) -> FlightNotice:
    flight = timing.flight
    sentence = say(
        "{garden}: flight in the traps, {days}. Rule: {rule}. Catch times the flight; it does not measure damage.",
        garden=timing.name,
        days=between(flight.first, flight.last),
        rule=spoken(RULES[flight.rule]),
    )
    return FlightNotice(f"{timing.garden} {flight.first} {flight.last}", timing.garden, sentence)

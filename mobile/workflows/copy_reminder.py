"""The reminder to make a copy: once a week while something is recorded that is nowhere else. Knows no window.

Offers `CopyReminder`, `copy_reminder`, `put_off` and `not_put_off`. Where nothing is recorded, as in winter, nothing is
asked. Whether it is asked at all is a choice for this device (`device_choices`).
"""

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from mobile.storage.copies import LastCopy, OnlyHere
from mobile.storage.phone_store import PhoneStore
from mobile.workflows.device_choices import choices
from mobile.workflows.invented import is_invented
from mobile.workflows.spoken_moments import day_in_words
from shared_models.identifiers import made_ms
from shared_models.language import say, say_many

WEEK = timedelta(days=7)
_PUT_OFF = "copy_put_off"


@dataclass(frozen=True, slots=True)
class CopyReminder:
    """Why a copy would be good, in whole sentences."""

    sentence: str


def copy_reminder(store: PhoneStore) -> CopyReminder | None:
    """What is to be said today; None where all is shared or copied, the last copy is fresh, or nobody wants to be asked."""
    if is_invented(store) or not choices(store).remind_of_copies or _is_put_off(store):
        return None
    lost, last = store.copies.only_here(), store.copies.last()
    return CopyReminder(_sentence(store, lost, last)) if _is_time(store, lost, last) else None


def put_off(store: PhoneStore) -> None:
    """Ask again in a week."""
    store.save_choices(store.choices() | {_PUT_OFF: (store.now().date() + WEEK).isoformat()})


def not_put_off(store: PhoneStore) -> None:
    """Ask as before."""
    store.save_choices(store.choices() | {_PUT_OFF: None})


def _is_put_off(store: PhoneStore) -> bool:
    until = store.choices().get(_PUT_OFF)
    return until is not None and store.now().date() < date.fromisoformat(until)


def _is_time(store: PhoneStore, lost: OnlyHere, last: LastCopy | None) -> bool:
    """Whether something is nowhere else, and the last copy is a week old; in a group, only what was not shared for a week."""
    if lost.oldest is None:
        return False
    now = store.now()
    oldest = datetime.fromtimestamp(made_ms(lost.oldest) / 1000, UTC)
    is_alone = store.membership.current() is None
    copied = datetime.fromisoformat(last.made) if last else None
    if copied is not None and now - copied <= WEEK:
        return False
    return now - oldest > WEEK or (is_alone and copied is not None)


def _sentence(store: PhoneStore, lost: OnlyHere, last: LastCopy | None) -> str:
    if store.membership.current() is None:
        only = say_many(
            "{count} record is on this phone only.",
            "{count} records are on this phone only.",
            lost.in_no_copy,
        )
    else:
        only = say_many(
            "{count} record has not been shared for more than a week.",
            "{count} records have not been shared, some for more than a week.",
            lost.in_no_copy,
        )
    if last is None:
        return say("{only} No copy was made yet.", only=only)
    day = datetime.fromisoformat(last.made).astimezone(store.now().tzinfo).date()
    return say("{only} The last copy is of {day}.", only=only, day=day_in_words(day))

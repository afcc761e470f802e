"""The hours of a visit to a tree: how long it runs, pauses taken out, mended afterwards, opened again.

Offers `hours_of`, `mend_hours`, `hours_as_now`, `clock_time`, `open_again`.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, time, timedelta

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.corrections import correct
from mobile.workflows.moments import earlier_today
from mobile.workflows.tree_visit import visit_known
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.records.tallies import Visit
from shared_models.when import parse_when

_CLOCK = re.compile(r"(\d{1,2})[:.\s](\d{2})")


@dataclass(frozen=True, slots=True)
class Hours:
    """How long a visit runs, pauses left out; `minutes` is None where it was told of a day without its time."""

    began: str | None
    minutes: int | None
    pause_minutes: int
    running: bool
    sentence: str


def hours_of(store: PhoneStore, visit: str | None) -> Hours | None:
    """The hours of a visit as they stand now; None before its first touch."""
    record = store.get(Visit, visit) if visit else None
    if record is None:
        return None
    began = parse_when(record.when).instant
    ended = parse_when(record.ended).instant if record.ended else None
    pause = record.pause_minutes or 0
    if began is None or (record.ended and ended is None):
        return Hours(None, None, pause, record.ended is None, say("Hours not known."))
    until = ended or store.now()
    minutes = max(0, int((until - began).total_seconds() // 60) - pause)
    clock = f"{began.astimezone(store.now().tzinfo):%H:%M}"
    return Hours(clock, minutes, pause, ended is None, _in_words(clock, minutes, pause, ended is None))


def mend_hours(
    store: PhoneStore, visit: str, *, began: time | None = None, pause_minutes: int | None = None
) -> Hours:
    """Give a visit of today another beginning or other pauses; what was noted before stays readable.

    BadInputError where it would begin after it ended, or pause longer than it ran; nothing is changed then.
    """
    record = visit_known(store, visit)
    changes: dict[str, object] = {}
    if began is not None:
        changes["when"] = _begins(store, record, began)
    if pause_minutes is not None:
        changes["pause_minutes"] = pause_minutes
    _refuse_longer_pause(store, record, changes)
    if changes:
        correct(store, visit, say("The hours were mended."), **changes)
    found = hours_of(store, visit)
    assert found is not None  # the visit is known
    return found


def hours_as_now(store: PhoneStore, visit: str) -> Callable[[PhoneStore], None]:
    """How the hours of a visit are put back to what they are now; asked before they are changed."""
    record = visit_known(store, visit)
    before = {"when": record.when, "pause_minutes": record.pause_minutes}

    def put_back(again: PhoneStore) -> None:
        now = visit_known(again, visit)
        changes = {name: value for name, value in before.items() if getattr(now, name) != value}
        if changes:
            correct(again, visit, say("The hours were put back."), **changes)

    return put_back


def clock_time(text: str) -> time | None:
    """A time as typed, such as 9:10; None where nothing is typed. BadInputError where it is none."""
    if not text.strip():
        return None
    found = _CLOCK.fullmatch(text.strip())
    try:
        return time(int(found[1]), int(found[2])) if found else time.fromisoformat("")
    except ValueError:
        raise BadInputError(
            say("“{text}” is no time of day; write it such as 9:10.", text=text.strip()[:20]), "when"
        ) from None


def open_again(store: PhoneStore, visit: str) -> None:
    """Take back that a visit was ended."""
    store.record(Visit.kind, {"ended": None}, visit_known(store, visit).rec)


def _begins(store: PhoneStore, record: Visit, began: time) -> str:
    told = parse_when(record.when)
    if told.day != store.now().date():
        raise BadInputError(
            say("This visit is not of today; change its day and time in the history."), "when"
        )
    when = earlier_today(store, began)
    ended = parse_when(record.ended).instant if record.ended else None
    if ended is not None and datetime.fromisoformat(when) > ended:
        raise BadInputError(
            say("It ended at {ended}, before {began}.", ended=f"{ended:%H:%M}", began=f"{began:%H:%M}"),
            "when",
        )
    return when


def _refuse_longer_pause(store: PhoneStore, record: Visit, changes: dict[str, object]) -> None:
    began = parse_when(str(changes.get("when", record.when))).instant
    until = (parse_when(record.ended).instant if record.ended else None) or store.now()
    pause = changes.get("pause_minutes", record.pause_minutes)
    if began is not None and isinstance(pause, int) and timedelta(minutes=pause) > until - began:
        raise BadInputError(
            say(
                "A pause of {pause} minutes is longer than the visit itself, {ran} minutes.",
                pause=pause,
                ran=int((until - began).total_seconds() // 60),
            ),
            "pause_minutes",
        )


def _in_words(began: str, minutes: int, pause: int, running: bool) -> str:
    lasted = say("{hours} h {minutes} min", hours=minutes // 60, minutes=minutes % 60)
    lasted = lasted if minutes >= 60 else say("{minutes} min", minutes=minutes)
    sentence = (
        say("Since {began}: {lasted}.", began=began, lasted=lasted)
        if running
        else say("From {began} on: {lasted}, ended.", began=began, lasted=lasted)
    )
    without = say("Pauses of {minutes} min are taken out.", minutes=pause) if pause else ""
    return " ".join(filter(None, [sentence, without]))

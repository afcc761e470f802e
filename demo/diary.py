"""Moments of a day's work on one phone, in the phone's own local time. Knows no doings."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta

from demo.place import PHONES


def at(phone: str, day: date, hour: int, minute: int = 0) -> datetime:
    """A moment of a day as that phone shows it."""
    return datetime.combine(day, time(hour, minute), PHONES[phone].clock)


def from_hour(phone: str, day: date, hour: int, minutes: int = 5) -> Iterator[datetime]:
    """Moments from an hour on, so many minutes apart."""
    moment = at(phone, day, hour)
    while True:
        yield moment
        # By way of UTC, since local times of one zone are added without regard to clocks that change.
        moment = (moment.astimezone(UTC) + timedelta(minutes=minutes)).astimezone(moment.tzinfo)

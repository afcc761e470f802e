"""When something happened, in the words people have for it: an instant, a day, between two days, or not known.

Written in ISO 8601: `2026-06-04T14:02:11+02:00`, `2026-06-04`, `2026-06-01/2026-06-05`, and `unknown`.
The *field day* is the local date in the record's own offset; it is never recomputed from a reader's zone.
"""

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import lru_cache

UNKNOWN = "unknown"
EARLIEST, LATEST = date(1950, 1, 1), date(2100, 12, 31)
# Only the extended form: Python also reads week dates and compact ones, which nobody else would sort alike.
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_CLOCK = r"([01][0-9]|2[0-3]):[0-5][0-9]"
INSTANT_FORM = re.compile(_DAY.pattern + rf"T{_CLOCK}(:[0-5][0-9](\.[0-9]{{1,6}})?)?(Z|[+-]{_CLOCK})")


@dataclass(frozen=True, slots=True)
class When:
    """A moment as it was told: `first` and `last` day (both None when not known), `instant` if it has one."""

    text: str
    first: date | None
    last: date | None
    instant: datetime | None

    @property
    def day(self) -> date | None:
        """The field day where it is one day, else None."""
        return self.first if self.first == self.last else None

    @property
    def order(self) -> tuple[str, str]:
        """Sorts moments: by field day, then by instant; a bare day comes before the instants of that day."""
        instant = self.instant.astimezone(UTC).isoformat() if self.instant else ""
        return (self.first.isoformat() if self.first else "", instant)


@lru_cache(maxsize=65536)
def parse_when(text: str) -> When:
    """Read a moment; ValueError with a whole sentence where it cannot be one."""
    if text == UNKNOWN:
        return When(text, None, None, None)
    try:
        moment = _span(text) if "/" in text else _instant(text) if "T" in text else _day(text)
    except (ValueError, IndexError):
        raise ValueError(_NOT_A_MOMENT.format(text=text[:40])) from None
    return _within_bounds(moment)


def is_instant(text: str) -> bool:
    """Whether this is a moment with its time and offset; cheaper than reading it, for texts that come only once.

    >>> is_instant("2026-06-04T14:02:11+02:00"), is_instant("2026-06-04T25:00Z"), is_instant("2026-06-04")
    (True, False, False)
    """
    return INSTANT_FORM.fullmatch(text) is not None and is_day(text[:10])


@lru_cache(maxsize=4096)  # many instants share a day
def is_day(text: str) -> bool:
    """Whether this is a day that can be recorded."""
    try:
        return EARLIEST <= date.fromisoformat(text) <= LATEST
    except ValueError:
        return False


def ends_before(end: str, start: str) -> bool:
    """Whether one moment certainly lies before the start of another; of days not known nothing is certain.

    >>> ends_before("2026-06-04T09:00+01:00", "2026-06-04T09:30+02:00"), ends_before("2026-06-04", "unknown")
    (False, False)
    """
    last, first = parse_when(end), parse_when(start)
    if last.instant and first.instant:
        return last.instant < first.instant
    return last.last is not None and first.first is not None and last.last < first.first


_NOT_A_MOMENT = (
    "“{text}” is no moment; give a day (2026-06-04), a time with its offset "
    "(2026-06-04T14:02+02:00), two days (2026-06-01/2026-06-05) or “unknown”."
)


def _day(text: str) -> When:
    if not _DAY.fullmatch(text):
        raise ValueError(text)
    day = date.fromisoformat(text)
    return When(text, day, day, None)


def _instant(text: str) -> When:
    if not INSTANT_FORM.fullmatch(text):
        raise ValueError(text)
    instant = datetime.fromisoformat(text)
    return When(text, instant.date(), instant.date(), instant)


def _span(text: str) -> When:
    first, last = text.split("/")
    start, end = _day(first), _day(last)
    if start.first is None or end.last is None or start.first > end.last:
        raise ValueError(text)
    return When(text, start.first, end.last, None)


def _within_bounds(moment: When) -> When:
    if moment.first is None or moment.last is None:
        return moment
    if moment.first < EARLIEST or moment.last > LATEST:
        raise ValueError(
            f"The date {moment.text} lies outside {EARLIEST.year} to {LATEST.year}; correct the date."
        )
    return moment

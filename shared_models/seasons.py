"""Which season a day belongs to, north and south. Knows no records.

A season is named by the year of harvest in the north ("2026") and by both years in the south ("2026/27").
It starts on 1 January in the north and on 1 July in the south.
"""

import re
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

_NORTH = re.compile(r"[12][0-9]{3}")
_SOUTH = re.compile(r"([12][0-9]{3})/([0-9]{2})")


class Hemisphere(StrEnum):
    """Which half of the earth a garden lies in; asked when a garden is made."""

    NORTH = "north"
    SOUTH = "south"


@dataclass(frozen=True, slots=True)
class Season:
    """One season of one hemisphere, first and last day included."""

    key: str
    hemisphere: Hemisphere
    first_day: date
    last_day: date

    def holds(self, day: date) -> bool:
        """Whether the day lies in this season."""
        return self.first_day <= day <= self.last_day

    @property
    def june_drop_ends(self) -> date:
        """The day from which fallen fruit counts as drops: 1 July, in the south 1 January (common practice)."""
        if self.hemisphere is Hemisphere.NORTH:
            return date(self.first_day.year, 7, 1)
        return date(self.first_day.year + 1, 1, 1)


def season_of(day: date, hemisphere: Hemisphere) -> str:
    """The key of the season that a local day belongs to.

    >>> season_of(date(2026, 6, 30), Hemisphere.NORTH), season_of(date(2026, 6, 30), Hemisphere.SOUTH)
    ('2026', '2025/26')
    """
    if hemisphere is Hemisphere.NORTH:
        return f"{day.year:04d}"
    first = day.year if day.month >= 7 else day.year - 1
    return f"{first:04d}/{(first + 1) % 100:02d}"


def season_named(key: str) -> Season:
    """The season of a key; ValueError with a sentence where it is none.

    >>> season_named("2025/26").last_day
    datetime.date(2026, 6, 30)
    """
    if _NORTH.fullmatch(key):
        year = int(key)
        return Season(key, Hemisphere.NORTH, date(year, 1, 1), date(year, 12, 31))
    south = _SOUTH.fullmatch(key)
    if south and (int(south[1]) + 1) % 100 == int(south[2]):
        year = int(south[1])
        return Season(key, Hemisphere.SOUTH, date(year, 7, 1), date(year + 1, 6, 30))
    raise ValueError(f"“{key}” names no season; write 2026 in the north or 2026/27 in the south.")


def season_before(season: Season) -> Season:
    """The season of the same half of the earth one year earlier.

    >>> season_before(season_named("2025/26")).key
    '2024/25'
    """
    return season_named(season_of(season.first_day - timedelta(days=1), season.hemisphere))


def is_season_key(key: str) -> bool:
    """Whether a text names a season."""
    try:
        season_named(key)
    except ValueError:
        return False
    return True

"""The report over several seasons from everything that this phone holds; the same as the server's. No network needed.

Offers `years_of` (may take seconds) and `years_text`.
"""

from mobile.storage.phone_store import PhoneStore
from shared_models.seasons import Hemisphere
from shared_models.years.parts import YearsReport
from shared_models.years_report import seasons_to_look_at, years_report
from shared_models.years_text import years_as_text


def years_of(store: PhoneStore, half: Hemisphere | None = None) -> YearsReport:
    """The newest seasons of one half of the earth: the one named, else that of most seasons."""
    keys = store.season_keys()
    halves = [half] if half else list(Hemisphere)
    made = [years_report([store.season(key) for key in seasons_to_look_at(keys, one)], one) for one in halves]
    return max(made, key=lambda report: len(report.seasons))


def years_text(store: PhoneStore, half: Hemisphere | None = None) -> str:
    """The same as plain text."""
    return years_as_text(years_of(store, half))

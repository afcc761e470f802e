"""The season's report from everything that this phone holds, and its text; no network needed.

Offers `season_choices`, `report_of`, `report_text`, `held_until`. How far the entries reach is said beside the report
and never in it, since a report is a function of entries and season alone.
"""

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.first_start import gardens
from mobile.workflows.moments import season_of_garden
from mobile.workflows.spoken_moments import when_in_words
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.report_text import as_text
from shared_models.reports import SeasonReport, season_report


def season_choices(store: PhoneStore) -> list[str]:
    """The seasons that can be looked at, newest first: those with records, and the ones that run in the gardens."""
    running = {season_of_garden(store, garden.rec) for garden in gardens(store)}
    keys = set(store.season_keys()) | {key for key in running if key}
    return sorted(keys, reverse=True)


def report_of(store: PhoneStore, key: str | None = None) -> SeasonReport:
    """The report of a season: the one named, else the newest with records."""
    return season_report(store.season(_chosen(store, key)))


def report_text(store: PhoneStore, key: str | None = None) -> str:
    """The report as plain text."""
    return as_text(report_of(store, key))


def held_until(store: PhoneStore) -> str:
    """How far what this phone holds can be taken for everything."""
    sharing = store.sharing()
    if sharing.exchanged_at is None:
        return say("From the records of this phone alone.")
    return say("From all records as shared until {when}.", when=when_in_words(sharing.exchanged_at))


def _chosen(store: PhoneStore, key: str | None) -> str:
    if key is not None:
        return key
    known = sorted(store.season_keys(), reverse=True) or season_choices(store)
    if not known:
        raise BadInputError(say("There is no season yet: name a garden first."), "season")
    return known[0]

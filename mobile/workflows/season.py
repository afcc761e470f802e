"""The season's report from everything that this phone holds; no network needed.

Offers `season_choice` (quick), `report_of` (may take seconds; kept until something is recorded), `kept_report`,
`report_text`, `held_until`. How far the entries reach is said beside the report and never in it, since a report is a
function of entries and season alone.
"""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from datetime import date
from typing import Any
from weakref import WeakKeyDictionary

from mobile.storage.outbox import NeedsALook
from mobile.storage.phone_store import PhoneStore
from mobile.workflows.first_start import gardens
from mobile.workflows.moments import season_of_garden
from mobile.workflows.spoken_moments import when_in_words
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.records.gardens import Garden, Tree
from shared_models.records.tallies import Visit
from shared_models.records.traps import Trap, TrapVisit
from shared_models.report_text import as_text
from shared_models.reports import SeasonReport, season_report
from shared_models.season.choice import EVERYTHING, Choice, Counted, Damage
from shared_models.seasons import season_named, season_of

KEPT = 6  # reports; the seasons and gardens that somebody looks through in one evening

_Held = tuple[
    int, list[NeedsALook]
]  # what tells that nothing changed: how many entries, and which are held back


@dataclass(frozen=True, slots=True)
class SeasonChoice:
    """What is looked at, and what else could be: seasons newest first; gardens (id, name) of that season's half.

    `season` is None where there is no garden yet.
    """

    season: str | None
    of: Choice
    seasons: tuple[str, ...]
    gardens: tuple[tuple[str, str], ...]
    held_until: str


@dataclass(frozen=True, slots=True)
class KeptReport:
    """A report that was made before; `current` where nothing was recorded or fetched since."""

    report: SeasonReport
    current: bool


@dataclass(frozen=True, slots=True)
class _Made:
    held: _Held
    report: SeasonReport


_KEPT: WeakKeyDictionary[PhoneStore, dict[tuple[str, Choice], _Made]] = WeakKeyDictionary()


def season_choices(store: PhoneStore) -> list[str]:
    """The seasons that can be looked at, newest first: those with records, and the ones that run in the gardens."""
    running = {season_of_garden(store, garden.rec) for garden in gardens(store)}
    keys = set(store.season_keys()) | {key for key in running if key}
    return sorted(keys, reverse=True)


def season_choice(store: PhoneStore, key: str | None = None, of: Choice = EVERYTHING) -> SeasonChoice:
    """What is looked at where a season and a part of it are asked for; a garden of the other half is not."""
    seasons = season_choices(store)
    season = _chosen(store, key) if seasons else None
    there = [(one.rec, one.name) for one in _gardens_of(store, season)] if season else []
    known = of if of.garden in {None, *dict(there)} else replace(of, garden=None)
    return SeasonChoice(season, known, tuple(seasons), tuple(there), held_until(store))


def report_of(store: PhoneStore, key: str | None = None, of: Choice = EVERYTHING) -> SeasonReport:
    """The report of a season, the one named or that of the newest visit; of all of it, or of a part."""
    season = _chosen(store, key)
    held = _held(store)
    made = _KEPT.setdefault(store, {}).get((season, of))
    if made is None or made.held != held:
        made = _Made(held, season_report(store.season(season), of))
        _keep(store, (season, of), made)
    return made.report


def kept_report(store: PhoneStore, key: str, of: Choice = EVERYTHING) -> KeptReport | None:
    """The report as it was made last, at once; None where it was not made since the start."""
    made = _KEPT.get(store, {}).get((key, of))
    return KeptReport(made.report, made.held == _held(store)) if made else None


def choice_from(told: Mapping[str, Any]) -> Choice:
    """A choice from its plain arguments; everything where they say nothing, or something that this release does not know."""
    try:
        return Choice(
            garden=told.get("garden"),
            cultivar=told.get("cultivar"),
            damage=Damage(told.get("damage") or Damage.ANY),
            fruit=Counted(told.get("fruit") or Counted.BEST),
        )
    except ValueError:
        return EVERYTHING


def plain_choice(of: Choice) -> dict[str, Any]:
    """The plain arguments of a choice; nothing of what is everything."""
    return {name: value for name, value in asdict(of).items() if value != getattr(EVERYTHING, name)}


def report_text(store: PhoneStore, key: str | None = None) -> str:
    """The report as plain text."""
    return as_text(report_of(store, key))


def held_until(store: PhoneStore) -> str:
    """How far what this phone holds can be taken for everything."""
    sharing = store.sharing()
    if sharing.exchanged_at is None:
        return say("From the records of this phone alone.")
    return say("From all records as shared until {when}.", when=when_in_words(sharing.exchanged_at))


def _keep(store: PhoneStore, which: tuple[str, Choice], made: _Made) -> None:
    kept = _KEPT.setdefault(store, {})
    kept.pop(which, None)
    kept[which] = made
    while len(kept) > KEPT:
        del kept[next(iter(kept))]


def _held(store: PhoneStore) -> _Held:
    return store.entries_held(), store.sharing().needs_a_look


def _gardens_of(store: PhoneStore, season: str) -> list[Garden]:
    half = season_named(season).hemisphere
    return [garden for garden in gardens(store) if garden.hemisphere is half]


def _chosen(store: PhoneStore, key: str | None) -> str:
    if key is not None:
        return key
    known = [_last_visited(store), *sorted(store.season_keys(), reverse=True), *season_choices(store)]
    found = next((key for key in known if key), None)
    if found is None:
        raise BadInputError(say("There is no season yet: name a garden first."), "season")
    return found


def _last_visited(store: PhoneStore) -> str | None:
    """The season of the newest visit to a tree or trap: with gardens on both halves, the newest key may be empty."""
    halves = {garden.rec: garden.hemisphere for garden in store.all(Garden)}
    garden_of = {tree.rec: tree.garden for tree in store.all(Tree)}
    garden_of |= {trap.rec: trap.garden for trap in store.all(Trap)}
    last = [
        (day, halves[garden_of[of]])
        for kind, field in ((Visit, "tree"), (TrapVisit, "trap"))
        for (of,), day in store.few.last_days(kind, [field], date.min).items()
        if garden_of.get(of) in halves
    ]
    return season_of(*max(last)) if last else None

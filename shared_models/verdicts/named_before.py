"""Which comparisons were surely named before the first fruit was scored. Knows times, no numbers.

"What is in force now was named before scoring", not merely begun then: a comparison that was changed, or undone and
taken back, after scoring began is found afterwards. One that was changed or withdrawn after scoring began still
counts among the named ones, for else the unlucky ones of many could be taken away.
"""

from dataclasses import dataclass
from datetime import date

from shared_models.records.fields import Happening
from shared_models.records.methods import PlannedContrast
from shared_models.records.tallies import Visit
from shared_models.season_records import SeasonRecords
from shared_models.vocabulary import Source, Tallied
from shared_models.when import When, parse_when


@dataclass(frozen=True, slots=True)
class Naming:
    """A named comparison: since when it says what it says, and whether that was surely before the first score."""

    contrast: PlannedContrast
    at: When
    before_scoring: bool


def namings(records: SeasonRecords) -> list[Naming]:
    """The comparisons that are named now, in the order of naming."""
    began = first_score(records)
    named = [(one, in_force_since(one)) for one in records.all(PlannedContrast)]
    ordered = sorted(named, key=lambda pair: (pair[1].order, pair[0].rec))
    return [Naming(one, at, _is_before(at, began)) for one, at in ordered]


def given_up(records: SeasonRecords) -> int:
    """How many comparisons were named before the first score and changed or withdrawn after it."""
    began = first_score(records)
    touched = [*records.all(PlannedContrast), *records.withdrawn]
    return sum(
        _is_before(_latest(one.when, one.entered), began) and not _is_before(in_force_since(one), began)
        for one in touched
    )


def in_force_since(one: Happening) -> When:
    """Since when a record says what it says: never before it was written down, nor before it was last changed."""
    return _latest(one.when, one.entered, one.last_word)


def first_score(records: SeasonRecords) -> When | None:
    """When the first picked fruit of the season was scored; None where none was.

    Where the day of a scoring is not known, it is the day on which it was entered.
    """
    scored = {
        count.visit
        for count in records.tallies
        if count.what == Tallied.FRUIT and count.source in ("", Source.PICKED) and count.marks
    }
    moments = [_scored_at(visit) for visit in records.all(Visit) if visit.rec in scored]
    return min(moments, key=lambda moment: moment.order, default=None)


def _scored_at(visit: Visit) -> When:
    return visit.moment if visit.moment.first or not visit.entered else parse_when(visit.entered)


def _latest(*moments: str) -> When:
    return max((parse_when(one) for one in moments if one), key=lambda moment: moment.order)


def _is_before(named: When, began: When | None) -> bool:
    """Surely before; of the same day only where both have their times."""
    if began is None or began.first is None:
        return True
    if named.instant and began.instant:
        return named.instant < began.instant
    return (named.last or date.max) < began.first

"""What was said only when scores were known already: what trees had, and what counts as a method. Knows no numbers."""

from collections.abc import Mapping
from datetime import date, datetime

from shared_models.records.fields import Record
from shared_models.records.jobs import Job
from shared_models.records.methods import OwnMethod
from shared_models.season.rows import SeasonRows
from shared_models.vocabulary import Reach


def said_after_scoring(season: SeasonRows, first_scored: Mapping[str, date]) -> frozenset[str]:
    """Trees of which a method, or that they were left untreated, was entered only after their first scoring day.

    It may be a page of a notebook that was copied late, or something that was remembered when the fruit were seen.
    """
    before: set[tuple[str, str]] = set()
    after: set[tuple[str, str]] = set()
    for job in season.records.all(Job):
        method = season.treatments.methods.get(job.method)
        if method is None or not method.in_mix or method.reach is Reach.GARDEN:
            continue
        entered = _entered(job)
        for tree in season.treatments.trees_of(job):
            late = tree in first_scored and entered > first_scored[tree]
            (after if late else before).add((tree, job.method))
    for tree, line in season.treatments.declared.items():
        if tree in first_scored and _entered(line) > first_scored[tree]:
            after.add((tree, ""))
    return frozenset(tree for tree, _ in after - before)


def methods_changed_after_scoring(season: SeasonRows, first_scored: Mapping[str, date]) -> frozenset[str]:
    """Methods of which it was changed what counts as having had them, when the first fruit was scored already."""
    if not first_scored:
        return frozenset()
    began = min(first_scored.values())
    return frozenset(own.key for own in season.records.all(OwnMethod) if _entered(own) > began)


def _entered(record: Record) -> date:
    """The day on which it was entered, or on which it was last changed."""
    said = record.last_word or record.entered
    return datetime.fromisoformat(said).date() if said else date.min

"""Work done to trees or a garden: netting, bands, thinning, mating disruption and others, and the group's own.

Offers `record_job`, `finish_job`, `rain_after`, `method_choices`. Sprays with their label facts are `spray`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from mobile.storage.drafts import Draft
from mobile.storage.phone_store import PhoneStore
from mobile.workflows.drafting import fresh_id, said
from mobile.workflows.moments import NOW, Told, now
from mobile.workflows.tally import WHOLE, Amount
from mobile.workflows.tree_list import TreeList
from shared_models.entries import Fields
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.records.fields import Doubt
from shared_models.records.jobs import Job
from shared_models.records.methods import OwnMethod
from shared_models.records.tallies import NumberAtOnce, Visit
from shared_models.vocabulary import METHODS, Fruit, Method, Reach, Round, Source


@dataclass(frozen=True, slots=True)
class JobDone:
    """A job that was recorded; `notes` are sentences to show, none of them blocks."""

    job: str
    notes: tuple[str, ...]
    doubts: tuple[Doubt, ...]


def record_job(
    store: PhoneStore,
    method: str,
    *,
    trees: Sequence[str] = (),
    garden: str | None = None,
    ended: str | None = None,
    minutes: int | None = None,
    people: int | None = None,
    partly: bool = False,
    removed: Amount | None = None,
    removed_damaged: bool = False,
    told: Told = NOW,
    **more: Any,
) -> JobDone:
    """Record work. `minutes` is how long it took, `people` how many were at it, those without a phone too.

    `removed` is the number of damaged fruit taken off one tree in this job. `more` are further fields of a job:
    place, cost, note, rain_after …
    """
    fields = told.fields(store, {"trees": trees, "garden": garden}) | said(
        method=method,
        trees=list(dict.fromkeys(trees)) or None,
        garden=garden,
        ended=ended,
        minutes=minutes,
        people=people,
        partly=partly or None,
        removed_damaged=(removed_damaged or removed is not None) or None,
        **more,
    )
    job = fresh_id(store)
    numbered = _removed_drafts(store, job, list(trees), removed, told) if removed else []
    store.record_all([Draft(Job.kind, fields, job), *numbered])
    return JobDone(job, _notes(store, fields, removed), job_doubts(store, job))


def finish_job(store: PhoneStore, job: str, ended: str | None = None) -> JobDone:
    """Give a job its end: now, or the moment given."""
    _job_known(store, job)
    store.record(Job.kind, {"ended": ended or now(store)}, job)
    return JobDone(job, (), job_doubts(store, job))


def rain_after(store: PhoneStore, job: str, rained: bool = True) -> JobDone:
    """Note whether rain fell on a job afterwards."""
    _job_known(store, job)
    store.record(Job.kind, {"rain_after": rained}, job)
    return JobDone(job, (), job_doubts(store, job))


def method_choices(store: PhoneStore) -> list[Method]:
    """All methods that can be chosen: the trade's, and the group's own."""
    own = {method.key: method.as_method() for method in store.all(OwnMethod)}
    return list((METHODS | own).values())


def job_doubts(store: PhoneStore, job: str) -> tuple[Doubt, ...]:
    """What does not seem to fit in a job that was recorded."""
    found = store.get(Job, job)
    return tuple(found.doubts()) if found else ()


def _job_known(store: PhoneStore, job: str) -> Job:
    found = store.get(Job, job)
    if found is None:
        raise BadInputError(say("This job is not on this phone, or was undone."), "job")
    return found


def _removed_drafts(
    store: PhoneStore, job: str, trees: list[str], removed: Amount, told: Told
) -> list[Draft]:
    """The number of fruit that a job took off stands on a visit to its one tree."""
    if len(trees) != 1:
        raise BadInputError(
            say(
                "Fruit taken off is numbered tree by tree; record the job for one tree, or go round by tree."
            ),
            "removed",
        )
    when = told.fields(store)
    visit = fresh_id(store)
    visited = {"round": Round.OTHER.value, "tree": trees[0], "job": job, "ended": when["when"], **when}
    number = {
        "visit": visit,
        "marks": [Fruit.DAMAGED.value],
        "source": Source.REMOVED.value,
        **WHOLE.fields(),
        **removed.fields(),
    }
    return [Draft(Visit.kind, visited, visit), Draft(NumberAtOnce.kind, number)]


def _notes(store: PhoneStore, fields: Fields, removed: Amount | None) -> tuple[str, ...]:
    notes = []
    if fields.get("removed_damaged") and removed is None:
        notes.append(
            say(
                "Say how many damaged fruit were taken off, tree by tree; without it no rate of all fruit is shown."
            )
        )
    method = next((one for one in method_choices(store) if one.key == fields["method"]), None)
    if method is not None and method.reach is Reach.GARDEN and fields.get("trees"):
        gardens = {TreeList(store).line(tree).garden_name for tree in fields["trees"]}
        notes.append(
            say(
                "This method protects whole gardens; it counts for all trees of {gardens}.",
                gardens=", ".join(sorted(gardens)),
            )
        )
    return tuple(notes)

"""Growth stages that were seen: noted of a tree, a cultivar or a whole garden, and the newest one of sprayed trees.

Offers `note_stage`, `stage_noted`.
"""

from datetime import timedelta

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.drafting import said
from mobile.workflows.moments import NOW, Told
from mobile.workflows.tree_list import TreeList
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.records.jobs import Job
from shared_models.records.timing import Stage
from shared_models.reference.growth_stages import growth_stages
from shared_models.timing.bloom import NOTED_FOR


def note_stage(
    store: PhoneStore,
    bbch: str,
    *,
    garden: str | None = None,
    tree: str | None = None,
    cultivar: str | None = None,
    told: Told = NOW,
) -> str:
    """Note a stage; returns its record. BadInputError where the scale has no such code."""
    if bbch not in growth_stages():
        raise BadInputError(
            say("BBCH {bbch} is no stage of the scale for pome fruit; choose one.", bbch=bbch[:10]), "bbch"
        )
    where = said(garden=garden, tree=tree, cultivar=cultivar)
    return store.record(Stage.kind, {**told.fields(store, where), **where, "bbch": bbch})


def stage_noted(store: PhoneStore, job: Job) -> str | None:
    """The stage noted last before a job, of its trees or garden, if that is not long ago; the furthest on of a day."""
    day = job.moment.last
    if day is None:
        return None
    listed = TreeList(store)
    trees = {one for tree in job.trees for one in listed.records_of(tree)}
    gardens = {listed.line(tree).garden for tree in job.trees if listed.label(tree)} | {job.garden}
    recent = store.few.of_days(Stage, day - timedelta(NOTED_FOR), day)
    near = [one for one in recent if one.tree in trees or (one.tree is None and one.garden in gardens)]
    newest = max(near, key=lambda one: (one.moment.order, one.bbch), default=None)
    return newest.bbch if newest else None

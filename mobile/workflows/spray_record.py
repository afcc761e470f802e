"""Which rule a spray record has to meet on this device, what is missing for it, and the sign for a sprayed row.

Offers `spray_rule`, `choose_spray_rule`, `record_kind` (the sentence about legal records) and `row_sign`.
"""

from datetime import datetime

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.label_clocks import (
    NOT_GIVEN,
    UNTIL_DRY,
    first_picking_day,
    names_of,
    pre_harvest_days,
    re_entry_ends,
    re_entry_hours,
)
from mobile.workflows.spoken_moments import as_known, day_in_words, when_in_words
from mobile.workflows.tree_list import TreeList
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.records.gardens import Garden, Tree
from shared_models.records.jobs import Job, Product
from shared_models.spray_records import SprayedPlace, SprayRule, record_sentence
from shared_models.when import parse_when

_CHOICE = "spray_rule"


def spray_rule(store: PhoneStore) -> SprayRule:
    """The rule that was chosen on this device; none where nobody chose, or a later release did."""
    kept = store.choices().get(_CHOICE, "")
    return SprayRule(kept) if kept in set(SprayRule) else SprayRule.NONE


def choose_spray_rule(store: PhoneStore, rule: SprayRule) -> None:
    """Choose the rule for records made and read here."""
    store.save_choices(store.choices() | {_CHOICE: rule.value})


def record_kind(store: PhoneStore, job: Job) -> str:
    """Whether this is a legal spray record by the chosen rule, and what is missing."""
    return record_sentence(spray_rule(store), job, _place(store, job))


def _place(store: PhoneStore, job: Job) -> SprayedPlace:
    trees = [tree for rec in job.trees if (tree := store.get(Tree, rec))]
    if not trees and job.garden:
        trees = [tree for tree in store.all(Tree) if tree.garden == job.garden and not tree.retired]
    gardens = [store.get(Garden, rec) for rec in {tree.garden for tree in trees} | {job.garden} if rec]
    return SprayedPlace(
        crop_known=bool(trees) and all(tree.species for tree in trees),
        position_known=bool(gardens)
        and all(one is not None and one.lat is not None and one.lon is not None for one in gardens),
    )


# ---------------------------------------------------------------- the sign
def row_sign(store: PhoneStore, job: str) -> str:
    """A sign to print and hang at a sprayed row; BadInputError where this phone has no such spray."""
    found = store.get(Job, job)
    if found is None or not found.products:
        raise BadInputError(say("This spray is not on this phone; no sign was made."), "job")
    lines = [
        say("SPRAYED"),
        say("Trees: {trees}", trees=_trees(store, found)),
        say("When: {when}", when=when_in_words(found.when)),
        say("With: {names}", names=names_of(found.products)),
        *_keep_out(store, found),
        *_picking(found),
        say(
            "Keep children and animals away. The label is the law; this sign only reminds of what was typed from it."
        ),
        as_known(store.now()),
    ]
    return "\n".join(lines) + "\n"


def _trees(store: PhoneStore, job: Job) -> str:
    listed = TreeList(store)
    labels = [label for tree in job.trees if (label := listed.label(tree))]
    garden = store.get(Garden, job.garden) if job.garden else None
    return ", ".join(dict.fromkeys(labels)) or (garden.name if garden else say("not noted"))


def _keep_out(store: PhoneStore, job: Job) -> list[str]:
    hours, ended = re_entry_hours(job.products), parse_when(job.ended or job.when).instant
    found = []
    if hours is not None:
        found.append(_until(store, ended, hours))
    if any(one.re_entry_hours == UNTIL_DRY for one in job.products):
        found.append(say("Keep out at least until the spray has dried."))
    if any(one.re_entry_hours in (None, NOT_GIVEN) for one in job.products):
        found.append(
            say("No re-entry interval was typed for {names}: see the label.", names=_silent_re_entry(job))
        )
    return found


def _until(store: PhoneStore, ended: datetime | None, hours: float) -> str:
    if ended is None:
        return say("Keep out for {hours} hours from the end of the spray.", hours=f"{hours:g}")
    until = re_entry_ends(ended, hours).astimezone(store.now().tzinfo)
    return say("Keep out until {until}.", until=when_in_words(until.isoformat(timespec="minutes")))


def _silent_re_entry(job: Job) -> str:
    return names_of([one for one in job.products if one.re_entry_hours in (None, NOT_GIVEN)])


def _picking(job: Job) -> list[str]:
    days, sprayed = pre_harvest_days(job.products), job.moment.last
    silent: list[Product] = [one for one in job.products if not isinstance(one.pre_harvest_days, int)]
    found = []
    if days is not None and sprayed is not None:
        found.append(
            say(
                "First day to pick, drops too: {first} ({days} days).",
                first=day_in_words(first_picking_day(sprayed, days)),
                days=days,
            )
        )
    if silent or sprayed is None:
        found.append(say("{names}: see the label before picking.", names=names_of(silent or job.products)))
    return found
